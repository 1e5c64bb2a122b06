"""The request of somebody who is signed in, and asking for the password once more."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

from allauth.account.decorators import reauthentication_required
from django.http import HttpRequest, HttpResponse

from countermove.clinic.accounts.models import User

View = TypeVar("View", bound=Callable[..., HttpResponse])


class SignedInRequest(HttpRequest):
    """A request behind `login_required`: its user is one of ours."""

    user: User


def password_again(view: View) -> View:
    """
    Let a view ask for the password again, unless it was given in the last five minutes.

    Stands below `login_required`. What was sent by POST is kept and goes on after the password.
    """
    return cast(View, reauthentication_required(view))
