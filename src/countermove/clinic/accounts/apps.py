"""Its name to Django."""

from django.apps import AppConfig


class AccountsConfig(AppConfig):
    """The app's label and place."""

    name = "countermove.clinic.accounts"
    label = "accounts"
