"""
What an entry of the catalogue holds, one dataclass a file; that of cautions is in `cautions.py`.

Tests, with their targets and norms, stand in `catalogue.testing`.

A field of type `Cited` is a number; in TOML it is ``{ value, unit, source, where, status }``.
Source, place and status may stand once, on the entry or on the table that holds the number, and
hold for every number below. A field whose unit goes without saying (`in_unit`) takes a bare number.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Literal

from countermove.catalogue.cited import Cited
from countermove.record import Level, Link, Sex, Status


def in_unit(unit: str, **kwargs: Any) -> Any:
    """Declare a number's unit, so that the TOML may hold it bare."""
    return field(metadata={"unit": unit}, **kwargs)


class Quality(StrEnum):
    """What a drill trains, in the order they are worked."""

    FREE = "free"
    CONTROL = "control"
    STRENGTHEN = "strengthen"
    LAND = "land"
    STRETCH_SHORTENING = "stretch-shortening"


class Sense(StrEnum):
    """On which side of a limit the good values lie."""

    AT_LEAST = "at least"
    AT_MOST = "at most"


@dataclass(frozen=True, kw_only=True, slots=True)
class Source:
    """A publication, or one of the two that are none: common practice and our own default."""

    citation: str
    status: Status
    doi: str = ""
    note: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """What every other entry carries: the citation that holds for its words and bare numbers."""

    source: str
    where: str
    status: Status
    supersedes: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Sample(Entry):
    """The people a body model was measured on."""

    stature: Mapping[Sex, Cited] = in_unit("m")
    mass: Mapping[Sex, Cited] = in_unit("kg")


@dataclass(frozen=True, kw_only=True, slots=True)
class Segment(Entry):
    """
    One segment of the body.

    Attributes
    ----------
    sample : str
        Key of the sample its length belongs to.
    ends : str
        From the end that `com_fraction` counts from, to the other.
    pair : bool
        True if the body has a left and a right one.
    part_of : str
        The segment that this one is a part or another measuring of; empty for the whole body's set.
    mass_fraction, com_fraction : mapping of Sex to Cited
        Of body mass; of segment length.
    radius_sagittal, radius_transverse, radius_longitudinal : mapping of Sex to Cited
        Radii of gyration about the axes of those names, as fractions of length. The transverse
        axis runs from side to side: sagittal-plane movement turns about it.
    length : mapping of Sex to Cited
        Mean of the sample.
    """

    name: str
    sample: str
    ends: str
    pair: bool = False
    part_of: str = ""
    mass_fraction: Mapping[Sex, Cited] = in_unit("1")
    com_fraction: Mapping[Sex, Cited] = in_unit("1")
    radius_sagittal: Mapping[Sex, Cited] = in_unit("1")
    radius_transverse: Mapping[Sex, Cited] = in_unit("1")
    radius_longitudinal: Mapping[Sex, Cited] = in_unit("1")
    length: Mapping[Sex, Cited] = in_unit("mm")


@dataclass(frozen=True, kw_only=True, slots=True)
class Dose:
    """
    How much of a drill to begin with; what is not counted is left out.

    `contacts` counts landings a session: both feet together are one, one foot counts for its side.
    """

    sets: Cited = in_unit("sets")
    reps: Cited | None = in_unit("reps", default=None)
    hold: Cited | None = in_unit("s", default=None)
    contacts: Cited | None = in_unit("contacts", default=None)
    rest: Cited | None = in_unit("s", default=None)
    days_a_week: Cited = in_unit("1")
    tempo: str = ""
    load: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Gate:
    """
    A criterion that opens a drill: a value of a test, or another drill done first.

    Attributes
    ----------
    test, value, sense : str, Cited, Sense
        The test and its limit.
    answer : str
        For a test in words: the answer that opens.
    drill : str
        A drill that comes before.
    """

    test: str = ""
    value: Cited | None = None
    sense: Sense = Sense.AT_LEAST
    answer: str = ""
    drill: str = ""
    why: str


@dataclass(frozen=True, kw_only=True, slots=True)
class TendonLoad:
    """
    What a drill asks of one tendon.

    Attributes
    ----------
    band : Cited
        Rank band, 1 the least.
    peak, index : Cited, optional
        Only where a published number was read: peak force, or a loading index. Neither is a dose.
    """

    band: Cited = in_unit("1")
    peak: Cited | None = in_unit("x BW", default=None)
    index: Cited | None = in_unit("1", default=None)


@dataclass(frozen=True, kw_only=True, slots=True)
class Impact:
    """
    How hard a drill lands; another axis than what it asks of a tendon.

    `band` ranks, 1 the least; `peak` is the ground force, only where it was read. No dose.
    """

    band: Cited = in_unit("1")
    peak: Cited | None = in_unit("x BW", default=None)


@dataclass(frozen=True, kw_only=True, slots=True)
class Drill(Entry):
    """
    One exercise.

    Attributes
    ----------
    links : tuple of Link
        What it works on.
    helps : tuple of str
        Tests whose shortfall it answers.
    patterns : tuple of str
        Patterns it fits; empty fits all.
    side : {"each", "both"}
        One side at a time, or both together.
    stop : str
        When to stop.
    tags : tuple of str
        What a caution may close.
    achilles, patellar : TendonLoad, optional
        Left out where the tendon is not worked on its feet: lying, kneeling, arms.
    impact : Impact, optional
        Of a drill that leaves the floor or drops to it; left out of all others.
    """

    name: str
    links: tuple[Link, ...]
    quality: Quality
    helps: tuple[str, ...]
    patterns: tuple[str, ...] = ()
    side: Literal["each", "both"]
    level: Level = Level.BEGINNER
    dose: Dose
    steps: tuple[str, ...]
    cue: str
    stop: str
    minutes: Cited = in_unit("min")
    needs: tuple[str, ...] = ()
    substitute: str = ""
    place: str = "anywhere"
    tags: tuple[str, ...] = ()
    gates: tuple[Gate, ...] = ()
    achilles: TendonLoad | None = None
    patellar: TendonLoad | None = None
    impact: Impact | None = None
    regressions: tuple[str, ...] = ()
    progressions: tuple[str, ...] = ()
