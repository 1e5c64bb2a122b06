"""Its name to Django."""

from django.apps import AppConfig


class PracticeConfig(AppConfig):
    """The app's label and place."""

    name = "countermove.clinic.practice"
    label = "practice"
