"""
What a practice keeps of one athlete: the person, clearance, visits and what was measured.

Values stay in the unit they were entered in; science turns them to SI when it reads them. Nothing
here is ever changed: a correction is a new object.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TypeAlias

from countermove.record.words import (
    Answer,
    HeightM,
    Instead,
    JumpKind,
    Key,
    LengthM,
    Level,
    MassKg,
    Minutes,
    PainScore,
    Purpose,
    RateHz,
    Sex,
    Side,
)

Day: TypeAlias = date  # where a field is called `date`


@dataclass(frozen=True, kw_only=True, slots=True)
class Pain:
    """
    Pain said during a test or drill.

    Attributes
    ----------
    score : float
        0 (none) to 10 (worst imaginable).
    where : str
        In the athlete's words.
    """

    score: PainScore
    where: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Measurement:
    """
    One test of one side on one occasion.

    Attributes
    ----------
    test : str
        Key of the test in the catalogue.
    side : Side
        Side measured, or both together.
    trials : tuple of float
        Every attempt, in `unit`, in the order made. Empty if the test gives an answer in words.
    unit : str
        Unit of the trials, as entered; empty with an answer in words.
    answer : str
        One of the test's choices, for a test that is answered in words.
    method : str
        How it was measured, such as ``tape``; decides which published error applies.
    tester : str
        Who measured; empty means whoever held the visit.
    could_not : str
        Why the athlete could not do it; empty if they could.
    pain : Pain, optional
        Pain during the test.
    after : str
        Key of the treatment this measurement follows; empty for the first measuring of the visit.
    note : str
        Anything else worth keeping.
    """

    test: str
    side: Side
    trials: tuple[float, ...] = ()
    unit: str = ""
    answer: str = ""
    method: str = ""
    tester: str = ""
    could_not: str = ""
    pain: Pain | None = None
    after: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Treatment:
    """
    What was tried between two measurings of one visit.

    Attributes
    ----------
    key : str
        Names it within the visit; `Measurement.after` points here.
    drill : str
        Key of the drill in the catalogue.
    side : Side
        Side treated.
    minutes : float
        How long it took. [min]
    cue : str
        The words that helped.
    """

    key: str
    drill: str
    side: Side
    minutes: Minutes
    cue: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Recording:
    """
    A file with the raw signal of one or more trials.

    Attributes
    ----------
    path : str
        Where the file lies, relative to the athlete file.
    kind : JumpKind
        The jump that was asked for.
    rate_hz, unit, columns, left, right, time, time_unit, decimal, separator
        What the file itself does not say, as `recordings.ForceOptions` takes it; empty where the
        file is clear.
    mass_kg : float, optional
        Known body mass, where the recording cannot be weighed. [kg]
    weighing_s : tuple of two floats, optional
        The quiet stretch to weigh, set by hand, on the recording's time axis. [s]
    """

    path: str
    kind: JumpKind
    rate_hz: RateHz | None = None
    unit: str = ""
    columns: tuple[str, ...] = ()
    left: str = ""
    right: str = ""
    time: str = ""
    time_unit: str = ""
    decimal: str = ""
    separator: str = ""
    mass_kg: MassKg | None = None
    weighing_s: tuple[float, float] | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class DrillChange:
    """
    A drill of the work list that gave its place to another, by a practitioner's word.

    Attributes
    ----------
    drill, into : str
        Keys of the drill that stood on the list, and of the one that stands there now.
    how : Instead
        Easier, harder, or another of its kind.
    reason : str
        Why; it stays on the record.
    """

    drill: str
    into: str
    how: Instead
    reason: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Visit:
    """
    One dated occasion of measuring.

    Attributes
    ----------
    follows : date, optional
        Day of the visit that this one follows up: what is not measured anew stands as it was then,
        and so does the work list. Left out, the visit stands by itself.
    drill_changes : tuple of DrillChange
        What a hand changed on the work list, in the order made.
    """

    date: date
    tester: str
    said: str = ""
    measurements: tuple[Measurement, ...] = ()
    treatments: tuple[Treatment, ...] = ()
    recordings: tuple[Recording, ...] = ()
    note: str = ""
    follows: Day | None = None
    drill_changes: tuple[DrillChange, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Override:
    """A practitioner's decision to go on against a rule; never silent."""

    caution: str
    by: str
    on: date
    reason: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Clearance:
    """
    The health questions as answered and signed.

    Attributes
    ----------
    asked : date
        When the questions were answered.
    expires : date
        Last day on which the answers count.
    reviewed_by : str
        The practitioner who read the answers; empty means not reviewed yet.
    answers : mapping of str to Answer
        By key of the caution in the catalogue. A question left out counts as not asked.
    overrides : tuple of Override
        Narrowing cautions that the practitioner lifted, each with a reason; a stop cannot be.
    """

    asked: date
    expires: date
    reviewed_by: str = ""
    answers: Mapping[str, Answer] = field(default_factory=dict)
    overrides: tuple[Override, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Consent:
    """
    One purpose that was agreed to; taken back, it stays on record with the day.

    Agreed to again after that is another consent.

    Attributes
    ----------
    purpose : Purpose
        What was agreed to.
    recipient : str
        Who may be told; named for `Purpose.RECIPIENT`, empty for the others.
    by : str
        Who wrote it down.
    guardian : str
        The guardian who agreed; a minor's consent does not count without one.
    given_on : date
        The day it was given.
    withdrawn_on : date, optional
        The day it was taken back; from that day on it counts no more.
    """

    purpose: Purpose
    recipient: str = ""
    by: str
    guardian: str = ""
    given_on: date
    withdrawn_on: date | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Athlete:
    """
    One athlete, as the athlete file holds them.

    Attributes
    ----------
    key : str
        Short name for files and commands; letters, digits and hyphens.
    name : str
        As the athlete wants to be called.
    sex : Sex
        Column of the published tables.
    born : date
        Date of birth.
    height_m, mass_kg : float
        Standing height and body mass. [m], [kg]
    level : Level
        Training history with jumping.
    sport, goal, history, note : str
        In plain words.
    equipment : tuple of str
        What is at hand for drills, by the catalogue's words.
    lengths_m : mapping of str to float
        Segment lengths that were measured, by the catalogue's segment names. [m]
    clearance : Clearance, optional
        None until the questions were asked.
    consents : tuple of Consent
        What was agreed to, oldest first. A purpose left out was not agreed to.
    visits : tuple of Visit
        Oldest first.
    """

    key: Key
    name: str
    sex: Sex
    born: date
    height_m: HeightM
    mass_kg: MassKg
    level: Level = Level.BEGINNER
    sport: str = ""
    goal: str = ""
    history: str = ""
    note: str = ""
    equipment: tuple[str, ...] = ()
    lengths_m: Mapping[str, LengthM] = field(default_factory=dict)
    clearance: Clearance | None = None
    consents: tuple[Consent, ...] = ()
    visits: tuple[Visit, ...] = ()


def age_on(born: date, day: date) -> int:
    """Give the age in whole years on a day."""
    return day.year - born.year - ((day.month, day.day) < (born.month, born.day))
