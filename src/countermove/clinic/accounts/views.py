"""Coming in: the login page, and a new password by a one-time token."""

from __future__ import annotations

from allauth.account import views as allauth_views
from allauth.account.utils import perform_login
from allauth.core import ratelimit
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST

from countermove.clinic.accounts.forms import OwnForm, TokenPasswordForm
from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.requests import SignedInRequest


def login(request: HttpRequest) -> HttpResponse:
    """Show the login page; a practice without accounts starts with its first."""
    if not User.objects.exists():
        return redirect("start")
    response: HttpResponse = allauth_views.login(request)
    return response


@sensitive_post_parameters("token", "password")
@never_cache
def token_password(request: HttpRequest) -> HttpResponse:
    """Set a new password by a one-time token, and sign in."""
    limited: HttpResponse | None = ratelimit.consume_or_429(request, action="token")
    if limited:
        return limited
    form = TokenPasswordForm(request.POST or None)
    user = form.save() if form.is_valid() else None
    if user is not None:
        signed_in: HttpResponse = perform_login(request, user)
        return signed_in
    return render(request, "accounts/token_password.html", {"form": form})


@login_required
@require_POST
def own_settings(request: SignedInRequest) -> HttpResponse:
    """Keep one's own name and units."""
    form = OwnForm(request.POST, instance=request.user)
    if not form.is_valid():
        return render(request, "accounts/own.html", {"form": form}, status=422)
    form.save()
    messages.success(request, _("Kept."))
    return redirect("practice")
