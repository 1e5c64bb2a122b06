"""The request of somebody who is signed in, and asking for the password once more."""

from __future__ import annotations

from allauth.account.decorators import reauthentication_required
from django.http import HttpRequest

from countermove.clinic.accounts.models import User

# allauth's own check, on a view that does nothing: it raises, and allauth's middleware asks.
_ask = reauthentication_required(lambda request: None)


class SignedInRequest(HttpRequest):
    """A request behind `login_required`: its user is one of ours."""

    user: User


def password_again(request: SignedInRequest) -> None:
    """
    Ask for the password again, unless it was given in the last half hour.

    A view calls this once access is settled, so that whoever may not come in gets 404 and is asked
    for nothing. After the password a page opens where it was asked for, and what was sent by POST
    goes on as it was sent. The demo's one user has no password and is never asked.
    """
    _ask(request)
