"""Its name to Django."""

from django.apps import AppConfig


class PeopleConfig(AppConfig):
    """The app's label and place."""

    name = "countermove.clinic.people"
    label = "people"
