"""Calls: done, with what was agreed, and taken back."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.people.access import athlete_for
from countermove.clinic.people.calls_made import keep_call, take_back
from countermove.clinic.practice.access import log
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Action
from countermove.errors import BadInput

CHANGE = AccessEntry.What.CHANGE


@login_required
@require_POST
def done(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Keep that somebody was called, and what was agreed."""
    athlete = athlete_for(request.user, key, Action.MEASURE)
    try:
        with transaction.atomic():
            keep_call(athlete, request.POST.get("agreed", ""), on=localdate(), by=request.user)
            log(request.user, athlete.site, CHANGE, "call", athlete.key)
    except BadInput as error:
        messages.error(request, str(error))
    else:
        messages.success(request, _("Kept: %(name)s was called.") % {"name": athlete.name})
    return redirect("people")


@login_required
@require_POST
def undo(request: SignedInRequest, key: UUID, pk: int) -> HttpResponse:
    """Take a call back; who did not call is to be called still."""
    athlete = athlete_for(request.user, key, Action.MEASURE)
    call = get_object_or_404(athlete.calls.filter(undoes=None), pk=pk)
    with transaction.atomic():
        take_back(call, by=request.user)
        log(request.user, athlete.site, CHANGE, "call", athlete.key)
    messages.success(request, _("Taken back: the call to %(name)s.") % {"name": athlete.name})
    return redirect("athlete", key=key) if "back" in request.POST else redirect("people")
