"""A visit: begun, in the athlete's words, shown as cards, and as a note to copy."""

from __future__ import annotations

from functools import partial
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
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.access import log, may
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.access import visit_for
from countermove.clinic.visits.models import Template, Visit
from countermove.clinic.visits.notes import note_of
from countermove.clinic.visits.pictures import picture_of
from countermove.clinic.visits.templates import templates_of, usual_template
from countermove.clinic.work.examinations import examined
from countermove.clinic.work.visit_pages import fetched, show
from countermove.clinic.work.visit_saves import save

What = AccessEntry.What


@login_required
@require_http_methods(["GET", "POST"])
def visit_new(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Ask for history, goal and list of tests, and begin today's visit; begun twice it is one."""
    user = request.user
    athlete = athlete_for(user, key, Action.MEASURE)
    unagreed = against_testing(athlete, localdate())
    if request.method == "GET" or unagreed:
        return begin_page(request, athlete, unagreed)
    with transaction.atomic():
        row = todays(athlete)
        if row is None:
            template = _template(athlete, request.POST.get("template", ""))
            row = Visit(athlete=athlete, date=localdate(), tester=user, template=template)
            save(row, user, partial(_keep_words, row, request))
    return redirect("visit", key=row.key)


def begin_page(request: SignedInRequest, athlete: Athlete, unagreed: str) -> HttpResponse:
    """Show what is asked before a visit begins, or why none may."""
    context = {
        "athlete": athlete,
        "may_edit": may(request.user, athlete.site, Action.EDIT),
        "unagreed": unagreed,
        "templates": templates_of(athlete.site),
        "usual": usual_template(request.user, athlete.site),
        "earlier": athlete.visits.filter(date__lt=localdate()).order_by("-date", "-pk").first(),
    }
    status = 400 if request.method == "POST" else 200
    return render(request, "visits/begin.html", context, status=status)


def todays(athlete: Athlete) -> Visit | None:
    """Give the visit of today, if one has begun."""
    return athlete.visits.filter(date=localdate()).order_by("pk").first()


def _template(athlete: Athlete, pk: str) -> Template | None:
    """Give the list that was chosen; none for the first visit's own."""
    if not pk:
        return None
    chosen = (row for row in templates_of(athlete.site) if str(row.pk) == pk)
    row = next(chosen, None)
    if row is None:
        raise Http404
    return row


@login_required
@require_GET
def visit(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Show a visit as cards in the order of testing, or the one page of a follow-up."""
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
    scene = fetched(request, row)
    text = worded(note_of(scene, *examined(row, scene.catalogue), whom=whom), user)
    return render(request, "visits/note.html", context | {"text": text})


@login_required
@require_GET
@cache_control(private=True, max_age=86400)
def test_picture(request: SignedInRequest, test: str) -> HttpResponse:
    """Give the drawing of a test: the catalogue's, nobody's; fetched when its card opens."""
    drawn = picture_of(test, load_catalogue(), narrow="narrow" in request.GET)
    if not drawn:
        raise Http404
    return HttpResponse(drawn, content_type="image/svg+xml")
