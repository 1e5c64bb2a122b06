"""
The main job on one athlete, from clearance through every link and the jump to a work list.

Pure: the recordings are read by a function that the caller passes in, the day is the visit's, and
the same record, catalogue and trials give the same examination.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from hashlib import sha256

import msgspec

from countermove import __version__
from countermove.catalogue import Catalogue
from countermove.codec import write_athlete
from countermove.errors import CountermoveError, NoVisit
from countermove.examination.changed_work import changed_tasks
from countermove.examination.changes import made_worse
from countermove.examination.findings import findings_of
from countermove.examination.follow_ups import Since, as_it_stands, dated
from countermove.examination.headlines import headline
from countermove.examination.jump_summaries import Gain, gain_of, gain_sentence, summarise
from countermove.examination.readings import checked_visit, find_test
from countermove.examination.work_lists import Bench, work_list
from countermove.record import (
    Athlete,
    ClearanceResult,
    Examination,
    Finding,
    JumpKind,
    JumpResult,
    Measurement,
    Recording,
    Trial,
    Visit,
)
from countermove.safety import clear, may_test

ReadTrials = Callable[[Recording], tuple[Trial, ...]]

# Said beside every result, in this order (common practice and our default).
CAUTIONS = (
    "For a qualified practitioner, who decides. No diagnosis: a pattern that fits is to be"
    " confirmed by hand, and local rules and licensed practice come first.",
    "Checked against every rule listed, which is not a promise. Limits are those of populations, or"
    " our own defaults, and say so; numbers are estimates with an error.",
    "No gain is promised: a freer joint is not by itself a higher jump. Measure again.",
    "Stop a test or drill at sharp or sudden pain, a pop, giving way, new swelling or numbness, or"
    " pain above 2 of 10 in calf or Achilles tendon. In doubt, refer.",
    "Chest pain, breathlessness at rest, or a collapse: call the local emergency number.",
)


def examine(
    athlete: Athlete,
    *,
    read_trials: ReadTrials,
    catalogue: Catalogue,
    on: date | None = None,
    clearance_on: date | None = None,
) -> Examination:
    """
    Do the main job for one visit of an athlete.

    A follow-up is judged together with what stands of the visits it follows.

    Parameters
    ----------
    athlete : Athlete
        With at least one visit.
    read_trials : callable
        From a `Recording` to its trials. Called only if clearance leaves that jump open; what it
        raises becomes a note, and the rest goes on.
    catalogue : Catalogue
        Tests, errors, targets, cautions and drills.
    on : date, optional
        Day of the visit; the latest if left out. Of two visits on one day the later one counts.
    clearance_on : date, optional
        Day for which clearance is judged, where answers or overrides are younger than the visit;
        the visit's own day if left out.

    Returns
    -------
    Examination
        Judged on the day of the visit, and for clearance on `clearance_on`.

    Raises
    ------
    BadInput
        If there is no such visit, or an answer or measurement cannot be true.
    """
    laid = lay_out(athlete, catalogue=catalogue, on=on, clearance_on=clearance_on)
    visit, findings, bench = laid.visit, laid.findings, laid.bench
    read = read_jumps(
        visit,
        bench.clearance,
        read_trials=read_trials,
        catalogue=catalogue,
        mass_kg=athlete.mass_kg,
    )
    chosen, not_given = work_list(findings, bench, gain=read.gain)
    tasks, not_changed = changed_tasks(chosen, laid.since.drill_changes, bench)
    return Examination(
        athlete=athlete.key,
        name=athlete.name,
        on=visit.date,
        version=__version__,
        catalogue=catalogue.version,
        inputs=hash_of(athlete, read.jumps),
        settings={},
        clearance=bench.clearance,
        verdict=headline(findings, tasks, bench, gain=read.gain),
        findings=findings,
        jumps=read.jumps,
        tasks=tasks,
        notes=(*_twice(athlete, visit), *laid.held_back, *read.notes, *not_given, *not_changed),
        cautions=(*CAUTIONS, *_clearance_day(athlete, laid.cleared_on)),
    )


@dataclass(frozen=True, kw_only=True)
class LaidOut:
    """
    A visit laid out for judging: what it holds, what it stands on, and what the rules look at.

    Attributes
    ----------
    visit : Visit
        With what stands of the visits it follows, without what clearance closes.
    since : Since
        Of which days that is.
    findings : tuple of Finding
        In chain order.
    bench : Bench
        What the choice of drills looks at.
    cleared_on : date
        The day clearance was judged for.
    held_back : tuple of str
        A note for each test that is on record but closed.
    """

    visit: Visit
    since: Since
    findings: tuple[Finding, ...]
    bench: Bench
    cleared_on: date
    held_back: tuple[str, ...]


def lay_out(
    athlete: Athlete,
    *,
    catalogue: Catalogue,
    on: date | None = None,
    clearance_on: date | None = None,
) -> LaidOut:
    """Lay a visit out for judging; parameters and errors are those of `examine`."""
    visit = visit_on(athlete, on)
    cleared_on = clearance_on or visit.date
    clearance = clear(athlete, on=cleared_on, catalogue=catalogue)
    whole, since = as_it_stands(athlete, checked_visit(visit, catalogue=catalogue), catalogue)
    visit, closed, held_back = open_part(whole, clearance, catalogue)
    findings = dated(findings_of(visit, catalogue=catalogue), since)
    changes = [change for finding in findings for change in finding.changes]
    bench = Bench(
        athlete=athlete,
        clearance=clearance,
        catalogue=catalogue,
        measurements=(*visit.measurements, *closed),
        done=done_before(athlete, visit.date),
        worse=(*made_worse(changes, visit, catalogue), *since.worse),
    )
    return LaidOut(
        visit=visit, since=since, findings=findings, bench=bench, cleared_on=cleared_on,
        held_back=held_back,
    )  # fmt: skip


def hash_of(athlete: Athlete, jumps: Sequence[JumpResult]) -> str:
    """Hash what the examination stands on: the athlete's record and the trials of recordings."""
    trials = msgspec.json.encode([jump.trials for jump in jumps])
    return sha256(write_athlete(athlete).encode() + trials).hexdigest()


def visit_on(athlete: Athlete, on: date | None) -> Visit:
    """
    Give the visit of a day, or the latest; of two on one day the one that is later on record.

    Raises
    ------
    NoVisit
        If there is none.
    """
    if not athlete.visits:
        raise NoVisit(f"{athlete.key}: no visit is on record; add [[visits]] with a date")
    day = on or max(visit.date for visit in athlete.visits)
    found = [visit for visit in athlete.visits if visit.date == day]
    if not found:
        days = ", ".join(str(visit.date) for visit in athlete.visits)
        raise NoVisit(f"{athlete.key}: on {day} no visit; visits are on record for {days}")
    return found[-1]


def _twice(athlete: Athlete, visit: Visit) -> tuple[str, ...]:
    """Say it where another visit of the same day is on record too."""
    count = sum(one.date == visit.date for one in athlete.visits)
    if count == 1:
        return ()
    return (
        f"{count} visits are on record for {visit.date}; this is the latest of them, and only what"
        " was measured in it is judged.",
    )


def done_before(athlete: Athlete, day: date) -> frozenset[str]:
    """Give the drills that were done under a practitioner's eyes at earlier visits."""
    earlier = (visit for visit in athlete.visits if visit.date < day)
    return frozenset(treatment.drill for visit in earlier for treatment in visit.treatments)


def open_part(
    visit: Visit, clearance: ClearanceResult, catalogue: Catalogue
) -> tuple[Visit, tuple[Measurement, ...], tuple[str, ...]]:
    """
    Leave out the measurements of tests that clearance closes.

    Returns
    -------
    Visit
        With what may be judged.
    tuple of Measurement
        What was left out, without its values: the pain in it still counts, a number does not.
    tuple of str
        A note for each test left out.
    """
    kept: list[Measurement] = []
    closed: list[Measurement] = []
    notes: dict[str, None] = {}
    for measurement in visit.measurements:
        test = find_test(measurement.test, catalogue)
        against = may_test(test, clearance)
        if against:
            closed.append(replace(measurement, trials=(), unit="", answer=""))
            notes[f"“{test.name}” is on record but is not judged: {against[0]}."] = None
        else:
            kept.append(measurement)
    return replace(visit, measurements=tuple(kept)), tuple(closed), tuple(notes)


@dataclass(frozen=True, kw_only=True)
class JumpsRead:
    """The jumps of a visit, what the countermovement adds, and what could not be used."""

    jumps: tuple[JumpResult, ...] = ()
    gain: Gain | None = None
    notes: tuple[str, ...] = ()


@dataclass
class _Trials:
    of_kind: dict[JumpKind, list[Trial]] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)


def read_jumps(
    visit: Visit,
    clearance: ClearanceResult,
    *,
    read_trials: ReadTrials,
    catalogue: Catalogue,
    mass_kg: float | None = None,
) -> JumpsRead:
    """
    Read and sum up the recordings that clearance leaves open.

    A recording that cannot be read becomes a note with its message; the others go on.
    """
    trials = _Trials()
    for recording in visit.recordings:
        against = _closed(recording, clearance, catalogue)
        if against:
            trials.notes.append(f"{recording.path} was not opened: {against}.")
        else:
            _read(recording, read_trials, trials)
    jumps = tuple(
        summarise(kind, found, catalogue=catalogue, mass_kg=mass_kg)
        for kind, found in trials.of_kind.items()
    )
    gain = gain_of(jumps)
    return JumpsRead(jumps=tuple(_with_gain(jumps, gain)), gain=gain, notes=tuple(trials.notes))


def _closed(recording: Recording, clearance: ClearanceResult, catalogue: Catalogue) -> str:
    """Give what closes a recording's jump; empty if nothing does."""
    test = catalogue.tests.get(recording.kind.value)
    against = may_test(test, clearance) if test else ()
    if not clearance.jumping and not against:
        return f"jumping is closed, {clearance.reasons[0].text}"
    return against[0] if against else ""


def _read(recording: Recording, read_trials: ReadTrials, trials: _Trials) -> None:
    try:
        found = read_trials(recording)
    except (CountermoveError, OSError) as error:
        trials.notes.append(f"{recording.path} could not be used: {error}")
        return
    trials.of_kind.setdefault(recording.kind, []).extend(found)


def _with_gain(jumps: Sequence[JumpResult], gain: Gain | None) -> Iterator[JumpResult]:
    """Write what the countermovement adds under the countermovement jump."""
    for jump in jumps:
        told = gain is not None and jump.kind is JumpKind.CMJ
        yield replace(jump, text=f"{jump.text} {gain_sentence(gain)}") if told and gain else jump


def _clearance_day(athlete: Athlete, day: date) -> tuple[str, ...]:
    """Say for which day clearance was judged, since it runs out."""
    until = f", on record until {athlete.clearance.expires}" if athlete.clearance else ""
    return (f"Clearance was judged for {day}{until}. On another day, ask again.",)
