"""The athlete page: clearance, the verdict, the plate, findings in chain order, the work list."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any
from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.timezone import localdate
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from countermove import record
from countermove.catalogue import Catalogue
from countermove.catalogue.check import parts_of
from countermove.catalogue.entries import Entry
from countermove.charts import Plate, plate
from countermove.clinic.accounts.models import Units, User
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.accounts.units import worded
from countermove.clinic.people.access import athlete_for
from countermove.clinic.people.calls import sentences
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.access import log, may
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.models import AccessEntry
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.convert import athlete_record
from countermove.clinic.visits.models import Recording
from countermove.clinic.work.jobs_views import latest_analysis
from countermove.clinic.work.plates import examination_of, occasions_of, person_of
from countermove.errors import CountermoveError
from countermove.examination.sentences import source_name
from countermove.record import Decision, Examination, Link, Status, Verdict, age_on
from countermove.safety import clear

SHA256 = re.compile(r"\b[0-9a-f]{64}\b")
IN_INCHES = {"cm": "in", "mm": "in", "m": "in"}


@login_required
@require_safe
def athlete(request: SignedInRequest, key: UUID) -> HttpResponse:
    """Show where an athlete stands, and what is to be done."""
    row = athlete_for(request.user, key)
    log(request.user, row.site, AccessEntry.What.VIEW, "athlete", row.key)
    catalogue, whole = catalogue_of(row.site_id), athlete_record(row)
    context = _person(row, whole, catalogue, localdate())
    try:
        found = worded(examination_of(row, catalogue), request.user)
    except CountermoveError as error:
        found, context["trouble"] = None, str(error)
    context |= _found(row, found, catalogue)
    context["plate"] = _drawn(row, whole, found, request.user, catalogue)
    context |= _doors(request.user, row)
    context["recorded"] = any(visit.recordings for visit in whole.visits)
    context["again"] = latest_analysis(request.user, row)
    return render(request, "work/athlete.html", context)


def _person(
    row: Athlete, whole: record.Athlete, catalogue: Catalogue, today: date
) -> dict[str, Any]:
    """Give who it is, and what clearance says today."""
    return {
        "athlete": row,
        "age": age_on(row.born, today),
        "visits": list(row.visits.select_related("tester").order_by("-date", "-pk")),
        "clearance": clear(whole, on=today, catalogue=catalogue),
        "until": whole.clearance.expires if whole.clearance else None,
        "stops": (Decision.REFER, Decision.ASK_FIRST),
        "changed": row.history.select_related("history_user").first(),
    }


def _found(row: Athlete, found: Examination | None, catalogue: Catalogue) -> dict[str, Any]:
    """Give the examination as the page tells it."""
    if found is None:
        return {"found": None}
    first, *rest = sentences(found.verdict)
    return {
        "found": found,
        "verdict_first": first,
        "verdict_rest": " ".join(rest),
        "findings": [_told(finding, catalogue) for finding in found.findings],
        "jumps": [
            (
                catalogue.tests[jump.kind].name,
                jump,
                _cited(jump.sources, catalogue, [catalogue.tests[jump.kind]]),
            )
            for jump in found.jumps
        ],
        "tasks": [
            (task, _cited(task.sources, catalogue, [catalogue.drills[task.drill]]))
            for task in found.tasks
        ],
        "notes": [_with_file_names(note, row) for note in found.notes],
    }


def _with_file_names(note: str, row: Athlete) -> str:
    """Name a recording as it was named when it came; the record knows it by its hash."""
    for digest in set(SHA256.findall(note)):
        file = Recording.objects.filter(visit__athlete=row, sha256=digest).first()
        note = note.replace(digest, f"“{file.name}”" if file else _("a recording"))
    return note


def _told(finding: record.Finding, catalogue: Catalogue) -> dict[str, Any]:
    """Give a finding: its name apart from its sentence, and its sources in full."""
    name = str(finding.link) if finding.link else ""
    text = finding.text.split(": ", 1)[1]
    return {
        "id": f"link-{name.replace(' ', '-')}" if name else "link-jump",
        "name": name or _("jump and landing"),
        "text": text[:1].upper() + text[1:],
        "finding": finding,
        "sources": _cited(finding.sources, catalogue, _used(finding, catalogue)),
    }


def _cited(
    keys: Iterable[str], catalogue: Catalogue, entries: Iterable[Entry]
) -> list[tuple[str, str, bool]]:
    """Give each source once: short name, citation, whether what was used of it is from memory."""
    remembered = {
        part.source
        for entry in entries
        for _path, part in parts_of(entry, "")
        if part.status is Status.FROM_MEMORY
    }
    return [
        (source_name(key, catalogue), catalogue.sources[key].citation, key in remembered)
        for key in dict.fromkeys(keys)
        if key in catalogue.sources
    ]


def _used(finding: record.Finding, catalogue: Catalogue) -> Iterator[Entry]:
    """Give the entries a finding leans on: its tests with their errors, and their targets."""
    for test in {graded.test for graded in finding.grades}:
        yield catalogue.tests[test]
        yield from catalogue.targets_of(test)


def _drawn(
    row: Athlete,
    whole: record.Athlete,
    found: Examination | None,
    user: User,
    catalogue: Catalogue,
) -> Plate:
    """Draw the plate; its SVG is ours and every word in it is escaped there."""
    return plate(
        occasions_of(row, whole, found, catalogue),
        catalogue=catalogue,
        title=_("%(name)s standing, five links marked") % {"name": row.name},
        person=person_of(whole, catalogue),
        here=_first_short(found),
        shown_in=IN_INCHES if user.units == Units.IMPERIAL else {},
        day_words=lambda day: date_format(day, "j M"),
        say=_,
    )


def _first_short(found: Examination | None) -> Link | None:
    """Give the link to work on first: the lowest that falls short."""
    short = (f.link for f in found.findings if f.verdict is Verdict.SHORT) if found else iter(())
    return next((link for link in short if link is not None), None)


def _doors(user: User, row: Athlete) -> dict[str, Any]:
    """Give where one may go from here; a door that is not theirs is left out."""
    measuring, editing, exporting = (
        may(user, row.site, act) for act in (Action.MEASURE, Action.EDIT, Action.EXPORT)
    )
    return {
        "may_edit": editing,
        "visit_new": reverse("visit-new", args=[row.key]) if measuring else "",
        "clearance_door": reverse("clearance", args=[row.key]),
        "hand_out": reverse("hand-out", args=[row.key]) if exporting else "",
    }
