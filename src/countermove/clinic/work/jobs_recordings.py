"""
The recordings of an athlete analysed again: what goes in, what changed, and how it is told.

Compared with what was on record before: an earlier analysis of this kind where there is one, else
the examination of that visit, if nothing was added or marked since.
"""

from __future__ import annotations

import contextlib
import json
from collections.abc import Iterator
from dataclasses import fields
from datetime import date
from hashlib import sha256
from typing import Any

import msgspec
from django.db.models import QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from countermove import __version__
from countermove.catalogue import Catalogue
from countermove.clinic.people.models import Athlete
from countermove.clinic.visits.convert import standing
from countermove.clinic.visits.marks import marks_of
from countermove.clinic.visits.models import Recording
from countermove.clinic.work.examinations import KIND as EXAMINED
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.jobs_recordings_run import (
    INPUTS,
    OUTPUT,
    Analysed,
    Recorded,
    ToAnalyse,
)
from countermove.clinic.work.jump_facts import Scale
from countermove.clinic.work.jump_trials import options_of
from countermove.clinic.work.models import Result
from countermove.codec import parse
from countermove.errors import BadInput, CountermoveError
from countermove.record import JumpKind, Trial

KEY = "recordings"
NUMBERS = tuple(
    f.name for f in fields(Trial) if f.name not in ("kind", "number", "phases", "quality")
)
# Told one by one; the others are counted.
HEIGHTS = {
    "height_impulse_m": "height",
    "height_flight_m": "height by flight time",
    "height_standing_m": "height from standing",
}
Trials = tuple[Trial, ...]


def gather(athlete: Athlete) -> bytes:
    """
    Give what the analysis starts from: each recording with its reading options and hand-set events.

    Raises
    ------
    BadInput
        If no recording is kept.
    """
    kept = list(_rows(athlete))
    for row in kept:
        _open_once(row)
    rows = tuple(map(_recorded, kept))
    if not rows:
        raise BadInput(_("no recording is kept for this athlete; add one at a visit first"))
    return INPUTS.to_json(ToAnalyse(recordings=rows)).encode()


def _rows(athlete: Athlete) -> QuerySet[Recording]:
    theirs = Recording.objects.filter(visit__athlete=athlete)
    return standing(theirs).select_related("visit").order_by("visit__date", "pk")


def _recorded(row: Recording) -> Recorded:
    by_hand = {str(n): marks.events for n, marks in marks_of(row).items() if marks.moved}
    return Recorded(
        key=str(row.sent_as),
        name=row.name,
        path=str(row.file.name),
        sha256=row.sha256,
        kind=JumpKind(row.kind),
        options=options_of(row.options),
        events=by_hand,
    )


def _open_once(row: Recording) -> None:
    """Let a storage that makes files when they are opened make this one: the child only reads."""
    with contextlib.suppress(OSError), row.file.open("rb"):
        pass


def _reading(one: Recorded) -> str:
    """Hash what the numbers of a recording stand on, beside the code."""
    stands_on = msgspec.to_builtins(one)
    for passing in ("name", "path"):
        del stands_on[passing]
    return sha256(json.dumps(stands_on, sort_keys=True).encode()).hexdigest()


def output(athlete: Athlete, made: bytes, superseded: Result | None) -> dict[str, Any]:
    """Give what is kept: every trial, and what changed against what was on record."""
    found = {one.key: one for one in OUTPUT.from_table(parse(made.decode())).recordings}
    rows = [row for row in _rows(athlete) if str(row.sent_as) in found]
    earlier = _kept_before(superseded) if superseded else {}
    for key, trials in _examined_before(athlete, rows, found).items():
        earlier.setdefault((key, ""), trials)
    kept, changes, compared = [], [], 0
    for row in rows:
        one, reading = found[str(row.sent_as)], _reading(_recorded(row))
        before = earlier.get((one.key, reading)) or earlier.get((one.key, ""))
        compared += len(one.trials) if before is not None else 0
        changes += [_heading(row) | change for change in _changes(before, one)]
        kept.append(_heading(row) | {"reading": reading} | msgspec.to_builtins(one))
    return {"recordings": kept, "changes": changes, "compared": compared}


def _heading(row: Recording) -> dict[str, str]:
    return {"key": str(row.sent_as), "name": row.name, "on": row.visit.date.isoformat()}


def _kept_before(result: Result) -> dict[tuple[str, str], Trials]:
    """Give the trials of an earlier analysis, by recording and by what its numbers stood on."""
    return {
        (one["key"], one["reading"]): msgspec.convert(one["trials"], Trials)
        for one in result.output["recordings"]
        if not one["trouble"]
    }


def _examined_before(
    athlete: Athlete, rows: list[Recording], found: dict[str, Analysed]
) -> dict[str, Trials]:
    """Give the trials that each visit's last examination stood on, by recording."""
    before: dict[str, Trials] = {}
    for visit in {row.visit_id: row.visit for row in rows}.values():
        theirs = [row for row in rows if row.visit_id == visit.pk]
        result = _examination_of(athlete, visit.date, theirs)
        for jump in result.output["jumps"] if result else ():
            trials = msgspec.convert(jump["trials"], Trials)
            before |= _shared_out(
                trials, [row for row in theirs if row.kind == jump["kind"]], found
            )
    return before


def _examination_of(athlete: Athlete, on: date, rows: list[Recording]) -> Result | None:
    """Give the examination to compare with: an older version's where there is one."""
    marks = (mark.made_at for row in rows for mark in row.marks.all())
    last = max([*(row.made_at for row in rows), *marks])
    since = athlete.results.filter(
        kind=EXAMINED, output__on=on.isoformat(), made_at__gte=last
    ).order_by("-pk")
    return since.exclude(code_version=__version__).first() or since.first()


def _shared_out(
    trials: Trials, rows: list[Recording], found: dict[str, Analysed]
) -> dict[str, Trials]:
    """Give each recording its own of a visit's trials of one kind; nothing if the count differs."""
    counts = [len(found[str(row.sent_as)].trials) for row in rows]
    if sum(counts) != len(trials):
        return {}
    ends = [sum(counts[: place + 1]) for place in range(len(counts))]
    return {
        str(row.sent_as): trials[end - count : end]
        for row, count, end in zip(rows, counts, ends, strict=True)
    }


def _changes(before: Trials | None, now: Analysed) -> Iterator[dict[str, Any]]:
    if before is None or now.trouble:
        return
    if len(before) != len(now.trials):
        yield {"trial": 0, "moved": {"trials": [len(before), len(now.trials)]}}
        return
    for old, new in zip(before, now.trials, strict=True):
        moved = {
            name: [getattr(old, name), getattr(new, name)]
            for name in NUMBERS
            if getattr(old, name) != getattr(new, name)
        }
        if moved:
            yield {"trial": new.number, "moved": moved}


def after(athlete: Athlete, catalogue: Catalogue) -> None:
    """Examine again; what keeps the examination from going on is said on the athlete's page."""
    with contextlib.suppress(CountermoveError):
        examine_athlete(athlete, catalogue)


def told(result: Result, scale: Scale) -> list[str]:
    """Give what came of it, in sentences: how much, what changed, what could not be read."""
    made = result.output
    return [
        _how_much(made),
        *_against(made),
        *(_change(one, scale) for one in made["changes"]),
        *(_trouble(one) for one in made["recordings"] if one["trouble"]),
    ]


def _how_much(made: dict[str, Any]) -> str:
    recordings = made["recordings"]
    trials = sum(len(one["trials"]) for one in recordings)
    return _("%(trials)s of %(recordings)s analysed again.") % {
        "trials": ngettext("%(n)d trial", "%(n)d trials", trials) % {"n": trials},
        "recordings": ngettext("%(n)d recording", "%(n)d recordings", len(recordings))
        % {"n": len(recordings)},
    }


def _against(made: dict[str, Any]) -> Iterator[str]:
    """Say what was compared, so that no change is not taken for not looked at."""
    trials = sum(len(one["trials"]) for one in made["recordings"])
    compared = made["compared"]
    if not compared:
        yield _("Nothing was on record to compare them with.")
        return
    if compared < trials:
        yield _("%(n)d of them could be compared with what was on record.") % {"n": compared}
    if not made["changes"]:
        yield _("Every number is as it was.")


def _change(one: dict[str, Any], scale: Scale) -> str:
    moved = one["moved"]
    if "trials" in moved:
        then, now = moved["trials"]
        return _("%(where)s: %(now)d trials found, were %(then)d.") % {
            "where": _where(one), "now": now, "then": then
        }  # fmt: skip
    seen = [
        _("%(name)s %(now)s, was %(then)s") % {"name": _(name), "now": now, "then": then}
        for field, name in HEIGHTS.items()
        if field in moved
        for then, now in [[_length(value, scale) for value in moved[field]]]
        if then != now
    ]
    rest = len(moved) - len(seen)
    if rest:
        seen.append(
            ngettext("%(n)d other number moved", "%(n)d other numbers moved", rest) % {"n": rest}
        )
    where = _("%(where)s, trial %(n)d") % {"where": _where(one), "n": one["trial"]}
    return f"{where}: {', '.join(seen)}."


def _length(value_m: float | None, scale: Scale) -> str:
    return _("not told") if value_m is None else scale.long(value_m)


def _trouble(one: dict[str, Any]) -> str:
    return _("%(where)s could not be analysed: %(why)s.") % {
        "where": _where(one),
        "why": one["trouble"].rstrip("."),
    }


def _where(one: dict[str, Any]) -> str:
    return f"{one['name']}, {date_format(date.fromisoformat(one['on']), 'j F Y')}"
