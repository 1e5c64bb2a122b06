"""The jump: files in, the trace of a trial, and what hands say of it."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.practice.access import log, may
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.access import recording_for, visit_for
from countermove.clinic.visits.convert import stands
from countermove.clinic.visits.models import Recording, Visit
from countermove.clinic.work.jump_facts import scale_for
from countermove.clinic.work.jump_forms import EventsForm, ReasonForm, SettleForm, UploadForm
from countermove.clinic.work.jump_hands import changed, done_of, steps_of, take_mark, withdraw_sent
from countermove.clinic.work.jump_pages import (
    one_trial,
    signal_of,
    trial_shown,
    trials_told,
    why_closed,
)
from countermove.clinic.work.jump_trials import marked_trials
from countermove.clinic.work.uploads import Desk
from countermove.errors import CountermoveError
from countermove.record import JumpKind

VIEW = AccessEntry.What.VIEW


@login_required
@require_http_methods(["GET", "POST"])
def recordings(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Show the jumps of a visit, and take files."""
    visit = visit_for(request.user, key, _action(request))
    catalogue = catalogue_of(visit.athlete.site_id)
    form = UploadForm(request.POST or None, request.FILES or None, catalogue=catalogue)
    if form.is_bound and form.is_valid() and _may_jump(visit, form):
        _take_all(request, visit, form)
        return redirect("visit-recordings", key)
    log(request.user, visit.athlete.site, VIEW, "visit", key)
    return render(request, "work/recordings.html", _visit_page(request, visit, form))


def _action(request: SignedInRequest) -> Action:
    return Action.MEASURE if request.method == "POST" else Action.READ


def _may_jump(visit: Visit, form: UploadForm) -> bool:
    """Tell whether clearance leaves this jump open; if not, the form says why."""
    closed = why_closed(visit, catalogue_of(visit.athlete.site_id)).get(
        JumpKind(form.cleaned_data["kind"])
    )
    if closed:
        form.add_error("kind", _("This jump is closed: %(why)s") % {"why": closed})
    return not closed


def _take_all(request: SignedInRequest, visit: Visit, form: UploadForm) -> None:
    desk = Desk(request.session, visit, request.user)
    sent = form.cleaned_data
    for said in desk.take_all(sent["dropped"], JumpKind(sent["kind"]), sent["sent_as"]):
        messages.add_message(request, said.level, said.text)
    changed(request, visit.athlete, "visit", visit.key)


def _visit_page(request: SignedInRequest, visit: Visit, form: UploadForm) -> dict[str, Any]:
    catalogue = catalogue_of(visit.athlete.site_id)
    closed = why_closed(visit, catalogue)
    return {
        "visit": visit,
        "athlete": visit.athlete,
        "told": trials_told(visit, catalogue, scale_for(request.user)),
        "form": form,
        "closed": [(catalogue.tests[kind.value].name, why) for kind, why in closed.items()],
        "all_closed": len(closed) == len(JumpKind),
        "waiting": list(Desk(request.session, visit, request.user).questions()),
        "may_measure": may(request.user, visit.athlete.site, Action.MEASURE),
    }


@login_required
@require_POST
def settle(request: SignedInRequest, key: UUID, word: UUID) -> HttpResponse:
    """Answer what a waiting file left open, and read it again; or throw it away."""
    visit = visit_for(request.user, key, Action.MEASURE)
    desk = Desk(request.session, visit, request.user)
    if not desk.holds(word.hex):
        raise Http404
    if "drop" in request.POST:
        desk.drop(word.hex)
        messages.info(request, _("The file was thrown away; nothing of it was kept."))
        return redirect("visit-recordings", key)
    form = SettleForm(request.POST)
    if form.is_valid():
        said = desk.try_again(word.hex, form.options())
        messages.add_message(request, said.level, said.text)
        changed(request, visit.athlete, "visit", visit.key)
    else:
        wrong = [f"{form[name].label}: {said[0]}" for name, said in form.errors.items()]
        messages.error(request, _("Not tried. %(why)s") % {"why": " ".join(wrong)})
    return redirect("visit-recordings", key)


@login_required
@require_http_methods(["GET", "POST"])
def trace(request: SignedInRequest, key: UUID, number: int) -> HttpResponse:
    """Show one trial on its trace; take what a hand says of it."""
    row = recording_for(request.user, key, _action(request))
    if not stands(row):
        return redirect("visit-recordings", row.visit.key)
    try:
        forms = _taken(request, row, number) if request.method == "POST" else {}
        if forms is None:
            return redirect("trace", key, number)
        page = _trial_page(request, row, number)
    except (CountermoveError, OSError):
        return redirect("visit-recordings", row.visit.key)  # which says what is wrong with it
    log(request.user, row.visit.athlete.site, VIEW, "recording", key)
    return render(request, "work/trace.html", page | forms)


def _taken(request: SignedInRequest, row: Recording, number: int) -> dict[str, Any] | None:
    """Do what was pressed; None where that is done, else the form that was not right."""
    marked = one_trial(marked_trials(row), number)
    if request.POST.get("act") == "withdraw-recording":
        form = withdraw_sent(request, row)
        return {"withdraw_recording": form} if form else None
    return take_mark(request, marked) or None


def _trial_page(request: SignedInRequest, row: Recording, number: int) -> dict[str, Any]:
    scale = scale_for(request.user)
    catalogue = catalogue_of(row.visit.athlete.site_id)
    shown = trial_shown(row, number, scale)
    told = trials_told(row.visit, catalogue, scale)
    series = next(one for one in told.series if one.kind == row.kind)
    return {
        "recording": row,
        "visit": row.visit,
        "athlete": row.visit.athlete,
        "number": number,
        "name": series.name,
        "series": series,
        "place": series.place_of(shown.marked),
        "shown": shown,
        "told": told,
        "steps": steps_of(shown.marked.marks),
        "done": done_of(shown.marked.marks),
        "reject": ReasonForm(),
        "withdraw": ReasonForm(auto_id="withdraw_%s"),
        "withdraw_recording": ReasonForm(auto_id="recording_%s"),
        "move": EventsForm(trial=shown.trial, found=shown.marked.found),
        "may_measure": may(request.user, row.visit.athlete.site, Action.MEASURE),
    }


@login_required
@require_GET
@cache_control(private=True, max_age=3600)
def trace_data(request: SignedInRequest, key: UUID, number: int) -> HttpResponse:
    """Give the force around a trial as bytes for the page's script."""
    row = recording_for(request.user, key)
    try:
        signal = signal_of(row, number)
    except (CountermoveError, OSError):
        raise Http404 from None
    log(request.user, row.visit.athlete.site, VIEW, "recording", key)
    return HttpResponse(signal, content_type="application/octet-stream")
