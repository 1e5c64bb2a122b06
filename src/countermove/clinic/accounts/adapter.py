"""Nobody signs up by themselves: the owner's account comes from the terminal, others from them."""

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest


class ClosedDoor(DefaultAccountAdapter):  # type: ignore[misc]
    """allauth's adapter, with sign-up shut."""

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Say no."""
        return False
