"""Managing members. Each of these pages asks for the password again after half an hour."""

from __future__ import annotations

from collections.abc import Callable

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.requests import SignedInRequest, password_again
from countermove.clinic.accounts.tokens import issue
from countermove.clinic.practice.access import log, site_for
from countermove.clinic.practice.forms import MemberForm, RoleForm
from countermove.clinic.practice.members import (
    add_member,
    change_role,
    may_issue,
    remove_member,
)
from countermove.clinic.practice.models import AccessEntry, Membership, Site
from countermove.clinic.practice.roles import Action, Role


@login_required
@never_cache
def members(request: SignedInRequest, pk: int) -> HttpResponse:
    """List a site's members; add one, and show once the token to hand over."""
    site = site_for(request.user, pk, Action.MANAGE)
    password_again(request)
    form = MemberForm(request.POST or None, site=site)
    if not form.is_valid():
        return _page(request, site, form)
    user, token = add_member(site, **form.cleaned_data)
    _log(request, site, user)
    return _page(request, site, MemberForm(site=site), added=user, token=token)


@login_required
@require_POST
def role(request: SignedInRequest, pk: int, user_pk: int) -> HttpResponse:
    """Give a member another role."""
    member = member_for(request.user, pk, user_pk)
    password_again(request)
    form = RoleForm(request.POST)
    if form.is_valid():
        _change(request, member, lambda: change_role(member, form.cleaned_data["role"]))
    return redirect("practice_members", pk=pk)


@login_required
@require_POST
def remove(request: SignedInRequest, pk: int, user_pk: int) -> HttpResponse:
    """End a membership."""
    member = member_for(request.user, pk, user_pk)
    password_again(request)
    done = _change(request, member, lambda: remove_member(member))
    if done and member.user == request.user:
        return redirect("practice")
    return redirect("practice_members", pk=pk)


@login_required
@never_cache
@require_POST
def new_token(request: SignedInRequest, pk: int, user_pk: int) -> HttpResponse:
    """Show once a token with which a member sets a new password."""
    member = member_for(request.user, pk, user_pk)
    if not may_issue(request.user, member.user):
        raise Http404
    password_again(request)
    token = issue(member.user)
    _log(request, member.site, member.user)
    form = MemberForm(site=member.site)
    return _page(request, member.site, form, added=member.user, token=token)


def member_for(owner: User, site_pk: int, user_pk: int) -> Membership:
    """Give a membership that somebody manages; 404 unless theirs."""
    site = site_for(owner, site_pk, Action.MANAGE)
    found = Membership.objects.select_related("user", "site")
    return get_object_or_404(found, site=site, user=user_pk)


def _change(request: SignedInRequest, member: Membership, change: Callable[[], None]) -> bool:
    try:
        change()
    except ValidationError as refused:
        messages.error(request, refused.messages[0])
        return False
    _log(request, member.site, member.user)
    messages.success(request, _("Kept."))
    return True


def _log(request: SignedInRequest, site: Site, user: User) -> None:
    log(request.user, site, AccessEntry.What.CHANGE, "member", user.pk)


def _page(
    request: SignedInRequest,
    site: Site,
    form: MemberForm,
    *,
    added: User | None = None,
    token: str | None = None,
) -> HttpResponse:
    there = Membership.objects.filter(site=site).select_related("user").order_by("user__name")
    rows = [
        {
            "user": member.user,
            "role": RoleForm(instance=member, auto_id=f"id_%s_{member.user_id}")["role"],
            "may_issue": may_issue(request.user, member.user),
        }
        for member in there
    ]
    shown = {
        "site": site,
        "form": form,
        "rows": rows,
        "added": added,
        "token": token,
        "roles": Role.choices,
    }
    status = 422 if form.is_bound and form.errors else 200
    return render(request, "practice/members.html", shown, status=status)
