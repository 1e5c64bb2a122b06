"""Nobody signs up by themselves: the owner's account comes from the terminal, others from them."""

from allauth.account.adapter import DefaultAccountAdapter
from django.http import HttpRequest
from django.urls import reverse
from django.utils.translation import gettext_lazy as _


class ClosedDoor(DefaultAccountAdapter):  # type: ignore[misc]
    """allauth's adapter, with sign-up shut and our words."""

    error_messages = DefaultAccountAdapter.error_messages | {
        "username_password_mismatch": _("User name and password do not fit together."),
        "too_many_login_attempts": _(
            "Too many wrong passwords, so this account is shut for five minutes. Wait, then try"
            " again, or ask for a one-time token."
        ),
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        """Say no."""
        return False

    def get_password_change_redirect_url(self, request: HttpRequest) -> str:
        """Go back to one's own settings."""
        return reverse("practice")
