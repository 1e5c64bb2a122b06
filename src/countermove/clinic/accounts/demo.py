"""In the demo nobody has a password: whoever sits at this machine is its one practitioner."""

from __future__ import annotations

from collections.abc import Callable
from ipaddress import ip_address

from django.contrib.auth import login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse

from countermove.clinic.accounts.models import User

BACKEND = "allauth.account.auth_backends.AuthenticationBackend"


def no_password(answer: Callable[[HttpRequest], HttpResponse]) -> Callable[..., HttpResponse]:
    """Give the middleware that signs the demo's one user in, on loopback alone."""

    def signed_in(request: HttpRequest) -> HttpResponse:
        if not is_loopback(request.META.get("REMOTE_ADDR", "")):
            raise PermissionDenied("the demo answers this machine alone")
        if not request.user.is_authenticated:
            login(request, User.objects.get(), backend=BACKEND)
        return answer(request)

    return signed_in


def is_loopback(address: str) -> bool:
    """Tell whether an address is this machine; what is no address is not."""
    try:
        return ip_address(address).is_loopback
    except ValueError:
        return False
