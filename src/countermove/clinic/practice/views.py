"""The practice's pages: its beginning, its settings, one's own."""

from __future__ import annotations

from allauth.account.utils import perform_login
from allauth.core import ratelimit
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters

from countermove.clinic.accounts.forms import OwnForm
from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.practice.access import log, site_for
from countermove.clinic.practice.forms import SiteForm, StartForm
from countermove.clinic.practice.models import AccessEntry, Membership
from countermove.clinic.practice.roles import Action, Role


@sensitive_post_parameters("token", "password")
@never_cache
def start(request: HttpRequest) -> HttpResponse:
    """Begin: the token from the terminal makes the owner's account and the first site."""
    limited: HttpResponse | None = ratelimit.consume_or_429(request, action="token")
    if limited:
        return limited
    if User.objects.exists():
        return redirect("account_login")
    form = StartForm(request.POST or None)
    owner = form.begin() if form.is_valid() else None
    if owner is not None:
        signed_in: HttpResponse = perform_login(request, owner)
        return signed_in
    return render(request, "practice/start.html", {"form": form})


@login_required
def practice(request: SignedInRequest) -> HttpResponse:
    """Show one's own settings and the sites one belongs to."""
    theirs = (
        Membership.objects.filter(user=request.user).select_related("site").order_by("site__name")
    )
    shown = {"own": OwnForm(instance=request.user), "memberships": theirs, "owner": Role.OWNER}
    return render(request, "practice/practice.html", shown)


@login_required
def site_settings(request: SignedInRequest, pk: int) -> HttpResponse:
    """Show and keep a site's name, telephone, emergency number and paper."""
    site = site_for(request.user, pk, Action.MANAGE)
    form = SiteForm(request.POST or None, instance=site)
    if form.is_valid():
        form.save()
        log(request.user, site, AccessEntry.What.CHANGE, "site", site.pk)
        messages.success(request, _("Kept."))
        return redirect("practice")
    return render(request, "practice/site.html", {"form": form, "site": site})
