"""Its name to Django."""

from django.apps import AppConfig


class VisitsConfig(AppConfig):
    """The app's label and place."""

    name = "countermove.clinic.visits"
    label = "visits"
