"""What the catalogue holds of tests: how one is done, how far it strays, what is asked of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from countermove.catalogue.cited import Cited
from countermove.catalogue.entries import Entry, Sense, in_unit
from countermove.record import Link, Sex

# How well a test is known, best first: see `Test.evidence`.
Evidence = Literal["good", "fair", "weak", "none"]


@dataclass(frozen=True, kw_only=True, slots=True)
class Choice:
    """
    One answer of a test that is answered in words.

    Attributes
    ----------
    key, text : str
        What the record keeps; what the practitioner reads.
    good : bool, optional
        True meets what jumping asks, False falls short, None does not tell.
    closes : tuple of str
        Tags of the drills that are not given after this answer.
    """

    key: str
    text: str
    good: bool | None = None
    closes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class TestError(Entry):
    """
    How far a test's value strays when nothing has changed.

    Attributes
    ----------
    method : str
        One of the test's methods.
    tester : {"same", "different"}
        Whether the same person measured both times.
    occasion : {"within session", "between days"}
        How far apart the two measurings were.
    of : {"value", "difference between sides"}
        What the error belongs to.
    sem, mdc95, cv : Cited, optional
        Standard error of measurement; minimal detectable change (95 %); coefficient of variation.
        At least one; the others follow from it.
    population : str
        Whom it was found in.
    """

    __test__ = False  # pytest: no test of ours

    method: str
    tester: Literal["same", "different"]
    occasion: Literal["within session", "between days"]
    of: Literal["value", "difference between sides"] = "value"
    sem: Cited | None = None
    mdc95: Cited | None = None
    cv: Cited | None = None
    population: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Background(Entry):
    """
    What was found in studies, for the practitioner to weigh; never on an athlete's page.

    Attributes
    ----------
    text : str
        In our own words, with its numbers and whom they were found in.
    """

    text: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Fixed:
    """
    What must be the same each time, or the number is worth nothing.

    Attributes
    ----------
    surface, height, tempo, stop : str
        What it is done on; how high or deep; how fast; when it ends.
    """

    surface: str
    height: str
    tempo: str
    stop: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Test(Entry):
    """
    A defined way to measure a link or the jump.

    Attributes
    ----------
    link : Link, optional
        None for the jump itself.
    tells : str
        What it tells, in a sentence.
    sides : {"each", "both"}
        Measured left and right, or both together.
    reads : {"number", "words"}
        Whether it gives a number or one of `choices`.
    unit : str
        The unit people write it in; empty for words.
    better : {"higher", "lower", "neither"}
        Which way is better for jumping.
    methods : tuple of str
        Ways to measure it, the usual first.
    trials : Cited
        How many attempts.
    keep : {"mean", "best"}
        What the record keeps of the attempts.
    lowest, highest : Cited, optional
        Values outside are slips of the pen.
    evidence : {"good", "fair", "weak", "none"}
        How well the test is known. Good: several studies or a review of it were read; fair: one
        was; weak: quoted, recalled or borrowed from another test; none: used, and no study at hand.
    fixed : Fixed, optional
        Of a count or an endurance test: surface, height, tempo and stopping rule.
    background : tuple of Background
        For the practitioner alone.
    unknown : tuple of str
        What nobody has published, in words; the fields for it stay empty.
    answered_like : str
        The test whose drills also answer a shortfall in this one.
    tags : tuple of str
        What a caution may close: ``jump``, ``hop``, ``maximal strength``, ...
    """

    __test__ = False  # pytest: a test of athletes, not of code

    name: str
    link: Link | None = None
    tells: str
    sides: Literal["each", "both"]
    reads: Literal["number", "words"] = "number"
    unit: str = ""
    better: Literal["higher", "lower", "neither"] = "higher"
    choices: tuple[Choice, ...] = ()
    methods: tuple[str, ...]
    position: str
    steps: tuple[str, ...]
    faults: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    trials: Cited = in_unit("trials")
    keep: Literal["mean", "best"] = "mean"
    minutes: Cited = in_unit("min")
    needs: tuple[str, ...] = ()
    substitute: str = ""
    tags: tuple[str, ...] = ()
    lowest: Cited | None = None
    highest: Cited | None = None
    evidence: Evidence = "none"
    fixed: Fixed | None = None
    background: tuple[Background, ...] = ()
    unknown: tuple[str, ...] = ()
    answered_like: str = ""
    errors: tuple[TestError, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Target(Entry):
    """What jumping asks of a link. Never a population's mean."""

    test: str
    value: Cited
    sense: Sense
    why: str


@dataclass(frozen=True, kw_only=True, slots=True)
class Norm(Entry):
    """
    What a population showed; context for the reader, never a target.

    Attributes
    ----------
    low, high : Cited, optional
        The printed interval, of the kind that `interval` names. A confidence interval of a mean is
        not a normal range; a cut-off is the limit that the source itself draws.
    textbook : Cited, optional
        A single number that tables print, without a sample behind it.
    """

    test: str
    population: str
    sex: Sex | None = None
    age_from: Cited | None = in_unit("year", default=None)
    age_to: Cited | None = in_unit("year", default=None)
    mean: Cited | None = None
    median: Cited | None = None
    sd: Cited | None = None
    low: Cited | None = None
    high: Cited | None = None
    textbook: Cited | None = None
    interval: Literal["", "confidence interval of the mean", "range", "19 in 20", "cut-off"] = ""
