"""Its name to Django."""

from django.apps import AppConfig


class WorkConfig(AppConfig):
    """The app's label and place."""

    name = "countermove.clinic.work"
    label = "work"
