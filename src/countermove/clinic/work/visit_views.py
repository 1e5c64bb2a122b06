"""A visit: begun, in the athlete's words, shown as cards, and as a note to copy."""

from __future__ import annotations

from functools import partial
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control, never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from countermove.catalogue import load_catalogue
from countermove.clinic.accounts.requests import SignedInRequest, password_again
from countermove.clinic.accounts.units import worded
from countermove.clinic.people.access import athlete_for
from countermove.clinic.people.consents import against_testing, recipients_of
from countermove.clinic.practice.access import log, may
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.access import visit_for
from countermove.clinic.visits.blanks import Blank
from countermove.clinic.visits.cards import Card, card_of
from countermove.clinic.visits.models import Visit
from countermove.clinic.visits.notes import note_of
from countermove.clinic.visits.pictures import picture_of
from countermove.clinic.visits.scene import Scene, scene_of
from countermove.clinic.visits.testing_order import FIRST_LOOK, in_testing_order
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.visit_saves import save
from countermove.errors import CountermoveError
from countermove.record import Examination

What = AccessEntry.What


@login_required
@require_http_methods(["GET", "POST"])
def visit_new(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Ask for history and goal, and begin today's visit; begun twice it is one."""
    user = request.user
    athlete = athlete_for(user, key, Action.MEASURE)
    unagreed = against_testing(athlete, localdate())
    if request.method == "GET" or unagreed:
        edits = may(user, athlete.site, Action.EDIT)
        context = {"athlete": athlete, "may_edit": edits, "unagreed": unagreed}
        status = 400 if request.method == "POST" else 200
        return render(request, "visits/begin.html", context, status=status)
    with transaction.atomic():
        row = athlete.visits.filter(date=localdate()).order_by("pk").first()
        if row is None:
            row = Visit(athlete=athlete, date=localdate(), tester=user)
            save(row, user, partial(_keep_words, row, request))
    return redirect("visit", key=row.key)


@login_required
@require_GET
def visit(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Show a visit as cards, one test a card, in the order of testing."""
    row = visit_for(request.user, key)
    log(request.user, row.athlete.site, What.VIEW, "visit", row.key)
    return show(request, row)


@login_required
@require_POST
def visit_words(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Keep the history and goal in the athlete's words, and the note."""
    user = request.user
    row = visit_for(user, key, Action.MEASURE)
    save(row, user, partial(_keep_words, row, request))
    if request.htmx:  # type: ignore[attr-defined]
        return HttpResponse(_("Kept."))
    messages.success(request, _("Kept."))
    return redirect("visit", key=row.key)


def _keep_words(row: Visit, request: SignedInRequest) -> None:
    """Keep what was said; the goal is the athlete's, and changed by those who may edit."""
    row.said = request.POST.get("said", row.said).strip()
    row.note = request.POST.get("note", row.note).strip()
    row.save()
    athlete, goal = row.athlete, request.POST.get("goal", row.athlete.goal).strip()
    if goal != athlete.goal and may(request.user, athlete.site, Action.EDIT):
        athlete.goal = goal
        athlete.save()


@login_required
@never_cache
@require_GET
def visit_note(request: SignedInRequest, key: UUID) -> HttpResponse:
    """
    Give the note of a visit as plain text, after the password.

    It is the practice's own, or for one recipient, who is named by the number of a consent.
    """
    user = request.user
    row = visit_for(user, key, Action.EXPORT)
    recipients = recipients_of(row.athlete, localdate())
    whom = request.GET.get("for", "")
    told = next((one for one in recipients if str(one.row.pk) == whom), None)
    if whom and told is None:
        raise Http404
    password_again(request)
    context = {"visit": row, "athlete": row.athlete, "recipients": recipients, "told": told}
    if told and not told.agreed:
        return render(request, "visits/note.html", context, status=403)
    kind = "visit note for a recipient" if told else "visit note"
    log(user, row.athlete.site, What.EXPORT, kind, row.key)
    whom = told.row.recipient if told else ""
    text = worded(note_of(fetched(request, row), *examined(row), whom=whom), user)
    return render(request, "visits/note.html", context | {"text": text})


@login_required
@require_GET
@cache_control(private=True, max_age=86400)
def test_picture(request: SignedInRequest, test: str) -> HttpResponse:
    """Give the drawing of a test: the catalogue's, nobody's; fetched when its card opens."""
    drawn = picture_of(test, load_catalogue())
    if not drawn:
        raise Http404
    return HttpResponse(drawn, content_type="image/svg+xml")


def examined(visit: Visit) -> tuple[Examination | None, str]:
    """Give the examination of the athlete's latest visit, or None and why there is none."""
    latest = visit.athlete.visits.order_by("-date", "-pk").first()
    if latest != visit:
        return None, _("not examined: this is not the latest visit")
    try:
        return examine_athlete(visit.athlete, catalogue_of(visit.athlete.site_id)), ""
    except CountermoveError as error:
        return None, str(error)


def fetched(request: SignedInRequest, visit: Visit) -> Scene:
    """Fetch what the visit's page needs, for this user."""
    user = request.user
    writes = may(user, visit.athlete.site, Action.MEASURE)
    catalogue = catalogue_of(visit.athlete.site_id)
    return scene_of(visit, user, today=localdate(), catalogue=catalogue, writes=writes)


def show(
    request: SignedInRequest, visit: Visit, *, test: str = "", typed: Blank | None = None,
    error: str = "", status: int = 200,
) -> HttpResponse:  # fmt: skip
    """Show the whole page, with a refused form in its place."""
    scene = fetched(request, visit)
    cards = cards_of(scene, test=test, typed=typed)
    context: dict[str, Any] = {
        "visit": visit,
        "athlete": visit.athlete,
        "scene": scene,
        "error": error,
        "first": [card for card in cards if card.key in FIRST_LOOK or card.kept],
        "more": [card for card in cards if card.key not in FIRST_LOOK and not card.kept],
        "more_open": any(c.is_open for c in cards if c.key not in FIRST_LOOK and not c.kept),
        "may_edit": may(request.user, visit.athlete.site, Action.EDIT),
        "may_export": may(request.user, visit.athlete.site, Action.EXPORT),
    }
    return render(request, "visits/visit.html", context, status=status)


def cards_of(scene: Scene, *, test: str = "", typed: Blank | None = None) -> list[Card]:
    """Give all cards in testing order; the one asked for, or the first to do, stands open."""
    order = in_testing_order(scene.catalogue)
    chosen = test or _first_to_do(order, scene)
    return [
        card_of(key, scene, typed=typed if key == test else None, is_open=key == chosen)
        for key in order
    ]


def _first_to_do(order: list[str], scene: Scene) -> str:
    if not scene.writes:
        return ""
    for key in order:
        card = card_of(key, scene) if key in FIRST_LOOK else None
        if card is not None and card.blank is not None:
            return key
    return ""
