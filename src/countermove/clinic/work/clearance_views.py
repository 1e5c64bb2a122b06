"""Clearance: the questions, who read the answers, what follows, and what was agreed to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.requests import SignedInRequest, password_again
from countermove.clinic.people.access import athlete_for
from countermove.clinic.people.clearances import (
    LASTS_MONTHS,
    add_answers,
    answers_in,
    given_answers,
    groups_for,
    keep_answers,
    last_day,
    lift,
    months_after,
    open_for,
    others_for,
    sign,
    with_earlier_lifts,
)
from countermove.clinic.people.consents import (
    against_testing,
    consents_in_force,
    keep_consent,
    needs_guardian,
)
from countermove.clinic.people.convert import clearance_in_force, person_record
from countermove.clinic.people.models import Athlete, Clearance, Consent
from countermove.clinic.practice.access import log, may
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Action
from countermove.clinic.work.examinations import examine_athlete
from countermove.errors import BadInput
from countermove.record import Decision, Purpose
from countermove.safety import clear, consented

What = AccessEntry.What


@login_required
@require_http_methods(["GET", "POST"])
def clearance(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Show the questions and the decision; keep answers."""
    user = request.user
    if request.method == "GET":
        athlete = athlete_for(user, key)
        log(user, athlete.site, What.VIEW, "clearance", athlete.key)
        return _page(request, athlete)
    athlete = athlete_for(user, key, Action.MEASURE)
    signs = may(user, athlete.site, Action.SIGN) and "sign" in request.POST

    def keep() -> None:
        today = localdate()
        catalogue = catalogue_of(athlete.site_id)
        answers = answers_in(request.POST.dict(), catalogue)
        written = request.POST.get("expires", "") if signs else ""
        keep_answers(
            athlete,
            answers,
            asked=today,
            expires=last_day(written, today),
            by=user,
            signed=signs,
            reason=request.POST.get("reason", ""),
        )

    return _kept(request, athlete, keep)


@login_required
@require_POST
def clearance_add(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Keep answers to questions that the row in force leaves open."""
    user = request.user
    athlete = athlete_for(user, key, Action.MEASURE)
    row = _in_force(athlete)
    signs = may(user, athlete.site, Action.SIGN) and "sign" in request.POST

    def keep() -> None:
        if str(row.pk) != request.POST.get("row"):
            raise BadInput(_("Newer answers came in meanwhile; read them first."))
        answers = answers_in(request.POST.dict(), catalogue_of(athlete.site_id))
        add_answers(row, answers, by=user, signed=signs, on=localdate())

    return _kept(request, athlete, keep)


@login_required
@require_POST
def clearance_sign(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Sign the answers that stand; only what was seen is signed."""
    user = request.user
    athlete = athlete_for(user, key, Action.SIGN)
    row = _in_force(athlete)

    def keep() -> None:
        if str(row.pk) != request.POST.get("row") and row.reviewed_by is None:
            raise BadInput(_("Newer answers came in meanwhile; read them, then sign."))
        sign(row, by=user, expires=last_day(request.POST.get("expires", ""), row.asked))

    return _kept(request, athlete, keep)


@login_required
@require_POST
def clearance_override(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Lift one narrowing caution, with a reason and the password."""
    user = request.user
    athlete = athlete_for(user, key, Action.OVERRIDE)
    row = _in_force(athlete)
    password_again(request)

    def keep() -> None:
        lift(
            row,
            request.POST.get("caution", ""),
            by=user,
            reason=request.POST.get("reason", ""),
            on=localdate(),
            catalogue=catalogue_of(athlete.site_id),
        )

    return _kept(request, athlete, keep)


@login_required
@require_POST
def consent(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Keep a consent given or taken back."""
    user = request.user
    athlete = athlete_for(user, key, Action.MEASURE)

    def keep() -> None:
        keep_consent(
            athlete,
            purpose=request.POST.get("purpose", ""),
            recipient=request.POST.get("recipient", ""),
            given=request.POST.get("given") == "yes",
            guardian=request.POST.get("guardian", ""),
            on=localdate(),
            by=user,
        )

    return _kept(request, athlete, keep)


@login_required
@never_cache
@require_GET
def clearance_sheet(request: SignedInRequest, key: UUID) -> HttpResponse:
    """
    Give the blank questions to print, for answering beforehand.

    It names the athlete, and which questions are asked tells sex and age: so the password is asked.
    """
    user = request.user
    athlete, today = athlete_for(user, key), localdate()
    password_again(request)
    log(user, athlete.site, What.EXPORT, "clearance sheet", athlete.key)
    whole = person_record(athlete)
    context = {
        "athlete": athlete,
        "groups": groups_for(whole, {}, on=today, catalogue=catalogue_of(athlete.site_id)),
        "guardian": needs_guardian(athlete, today),
    }
    return render(request, "people/clearance_sheet.html", context)


def _in_force(athlete: Athlete) -> Clearance:
    row = clearance_in_force(athlete)
    if row is None:
        raise Http404
    return row


def _kept(request: SignedInRequest, athlete: Athlete, keep: Callable[[], None]) -> HttpResponse:
    """Save in one transaction with what follows from it; a refusal shows the page, nothing lost."""
    user = request.user
    try:
        with transaction.atomic():
            keep()
            log(user, athlete.site, What.CHANGE, "clearance", athlete.key)
            examine_athlete(athlete, catalogue_of(athlete.site_id))
    except BadInput as error:
        return _page(request, athlete, error=str(error), status=400)
    messages.success(request, _("Kept."))
    return redirect("clearance", key=athlete.key)


def _page(
    request: SignedInRequest, athlete: Athlete, *, error: str = "", status: int = 200
) -> HttpResponse:
    context = _context(request.user, athlete, request.POST.dict())
    return render(request, "people/clearance.html", context | {"error": error}, status=status)


def _context(user: User, athlete: Athlete, sent: dict[str, str]) -> dict[str, Any]:
    today, catalogue = localdate(), catalogue_of(athlete.site_id)
    whole, row = person_record(athlete), clearance_in_force(athlete)
    judged = clear(whole, on=today, catalogue=catalogue)
    corrects = row if row and row.asked == today else None
    typed = {name: answer for name, answer in sent.items() if name in catalogue.cautions}
    known = typed or (corrects.answers if corrects else {})
    still_open = open_for(whole, typed, on=today, catalogue=catalogue)
    past = athlete.clearances.select_related("made_by", "reviewed_by").prefetch_related(
        "overrides__by"
    )
    return {
        "athlete": athlete,
        "row": row,
        "today": today,
        "judged": judged,
        "reasons": with_earlier_lifts(judged.reasons, athlete, row),
        "stops": judged.decision in (Decision.REFER, Decision.ASK_FIRST),
        "given": given_answers(row, catalogue) if row else [],
        "corrects": corrects,
        "sent": sent,
        "groups": groups_for(whole, known, on=today, catalogue=catalogue),
        "others": others_for(whole, known, on=today, catalogue=catalogue),
        "open": still_open,
        "left_open": sum(len(group.questions) for group in still_open),
        "expires": months_after(today, LASTS_MONTHS),
        "expires_row": months_after(row.asked, LASTS_MONTHS) if row else None,
        "past": past.order_by("-made_at", "-pk"),
        "consents": consents_in_force(athlete),
        "consented": consented(whole, Purpose.TESTING, on=today),
        "unagreed": against_testing(athlete, today),
        "purposes": Consent.Purpose.choices,
        "guardian": needs_guardian(athlete, today),
        "may_ask": may(user, athlete.site, Action.MEASURE),
        "may_sign": may(user, athlete.site, Action.SIGN),
        "may_override": may(user, athlete.site, Action.OVERRIDE),
    }
