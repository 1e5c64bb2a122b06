"""What a hand says of a trial or of its recording: checked, written, and examined again."""

from __future__ import annotations

from datetime import datetime
from typing import Any, NamedTuple

from django.contrib import messages
from django.db import IntegrityError, transaction
from django.http import HttpRequest
from django.utils.translation import gettext as _

from countermove.clinic.accounts.models import User
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.access import log
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.visits.marks import (
    EVENTS,
    FOUND,
    KEPT,
    REJECTED,
    VERDICT,
    WEIGHING,
    WITHDRAWN,
    Marks,
    mark,
    move,
    undo,
)
from countermove.clinic.visits.models import Recording, TrialMark
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.jump_facts import event_name
from countermove.clinic.work.jump_forms import EventsForm, ReasonForm
from countermove.clinic.work.jump_trials import MarkedTrial, marked_trials
from countermove.errors import BadInput, CountermoveError

VERDICTS = {"reject": REJECTED, "withdraw": WITHDRAWN}


def changed(request: SignedInRequest, athlete: Athlete, kind: str, key: Any) -> None:
    """Log a change and examine again; what keeps the examination from going on is said."""
    log(request.user, athlete.site, AccessEntry.What.CHANGE, kind, key)
    try:
        examine_athlete(athlete, catalogue_of(athlete.site_id))
    except CountermoveError as error:
        messages.error(request, _("Kept, but not examined: %(why)s") % {"why": error})


def take_mark(request: SignedInRequest, marked: MarkedTrial) -> dict[str, Any]:
    """Do what was pressed; give the form that was not right, with its words."""
    act = request.POST.get("act", "")
    if act in VERDICTS:
        return _verdict(request, marked, act)
    if act == "move":
        return _move(request, marked)
    try:
        with transaction.atomic():
            _pressed(request, marked, act)
            marked_trials(marked.recording)
    except BadInput as error:
        messages.error(request, _("Not done. %(why)s") % {"why": error})
        return {}
    _changed(request, marked)
    return {}


def _pressed(request: SignedInRequest, marked: MarkedTrial, act: str) -> None:
    """Keep, undo one mark, or put every event back to where it was found."""
    row, number, by = marked.recording, marked.trial.number, request.user
    if act == "keep":
        mark(row, number, VERDICT, KEPT, reason="", by=by)
    elif act == "undo" and request.POST.get("mark", "").isdigit():
        undo(row, number, int(request.POST["mark"]), by=by)
    elif act == "reset":
        moved = dict.fromkeys((one.what for one in marked.marks.moved), FOUND)
        move(row, number, moved, reason="", by=by)


def _changed(request: SignedInRequest, marked: MarkedTrial) -> None:
    row = marked.recording
    changed(request, row.visit.athlete, "recording", row.sent_as)


def _verdict(request: SignedInRequest, marked: MarkedTrial, act: str) -> dict[str, Any]:
    """Leave a trial out, or withdraw one that had been kept; either with a reason."""
    form = ReasonForm(request.POST, auto_id=f"{act}_%s")
    if not form.is_valid():
        return {act: form}
    reason = form.cleaned_data["reason"]
    if act == "withdraw" and not marked.marks.is_kept:
        return {}  # the page showed an older state: nothing kept stands
    with transaction.atomic():
        row, number = marked.recording, marked.trial.number
        mark(row, number, VERDICT, VERDICTS[act], reason=reason, by=request.user)
    _changed(request, marked)
    return {}


def _move(request: SignedInRequest, marked: MarkedTrial) -> dict[str, Any]:
    """Set events by hand; nothing is written that the jump cannot have."""
    form = EventsForm(request.POST, trial=marked.trial, found=marked.found)
    if not form.is_valid():
        return {"move": form}
    row, reason = marked.recording, form.cleaned_data["reason"]
    try:
        with transaction.atomic():
            move(row, marked.trial.number, form.times(), reason=reason, by=request.user)
            marked_trials(row)  # what cannot be computed is taken back with its rows
    except BadInput as error:
        form.add_error(None, str(error)[:1].upper() + str(error)[1:] + ".")
        return {"move": form}
    _changed(request, marked)
    return {}


def withdraw_recording(row: Recording, *, reason: str, by: User) -> bool:
    """Withdraw a whole recording by one more row; False if that was done already."""
    try:
        with transaction.atomic():
            Recording.objects.create(
                visit=row.visit,
                kind=row.kind,
                file=row.file.name,
                name=row.name,
                sha256=row.sha256,
                options=row.options,
                corrects=row,
                reason=reason,
                withdrawn=True,
                made_by=by,
            )
    except IntegrityError:
        return False
    return True


def withdraw_sent(request: SignedInRequest, row: Recording) -> ReasonForm | None:
    """Withdraw the recording that a page sent; give the form if it lacks a reason."""
    form = ReasonForm(request.POST, auto_id="recording_%s")
    if not form.is_valid():
        return form
    if withdraw_recording(row, reason=form.cleaned_data["reason"], by=request.user):
        changed(request, row.visit.athlete, "recording", row.sent_as)
        _say(request, row)
    return None


def _say(request: HttpRequest, row: Recording) -> None:
    said = _("%(name)s: withdrawn. Its file stays on record, its numbers count no more.")
    messages.success(request, said % {"name": row.name})


class Step(NamedTuple):
    """One mark that stands and can be undone."""

    pk: int
    what: str
    name: str


def steps_of(marks: Marks) -> list[Step]:
    """Name the event marks that can be undone, one press each."""
    return [Step(row.pk, row.what, _undo_named(row)) for row in marks.undoable]


def _undo_named(row: TrialMark) -> str:
    if row.value == FOUND:
        return _("Undo “%(what)s as found”") % {"what": event_name(row.what)}
    return _("Undo the moved %(what)s") % {"what": event_name(row.what)}


class Done(NamedTuple):
    """One line of what hands did, and when."""

    at: datetime
    by: str
    said: str


def done_of(marks: Marks) -> list[Done]:
    """Tell every mark ever made, oldest first."""
    return [Done(row.made_at, str(row.made_by), mark_said(row)) for row in marks.rows]


def mark_said(row: TrialMark) -> str:
    """Say what a mark did, with its reason."""
    said = _undone(row) if row.undone else _done(row)
    return f"{said}: {row.reason}" if row.reason else said


def _undone(row: TrialMark) -> str:
    return _("undid %(what)s") % {"what": _done(row)}


def _done(row: TrialMark) -> str:
    if row.what not in EVENTS:
        words = {KEPT: _("kept"), REJECTED: _("left out"), WITHDRAWN: _("withdrawn")}
        return words[row.value]
    name = event_name(row.what)
    if row.value == FOUND:
        return _("%(what)s as found") % {"what": name}
    if row.what == WEIGHING:
        start, end = row.value
        return _("weighing from %(a)s to %(b)s s") % {"a": start, "b": end}
    return _("%(what)s at %(time).3f s") % {"what": name, "time": row.value}
