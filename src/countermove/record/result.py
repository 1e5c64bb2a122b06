"""What a step of the examination concluded, each with the reason a person can read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from countermove.record.trial import QualityNote, Trial
from countermove.record.words import Decision, JumpKind, Link, Side, Verdict


@dataclass(frozen=True, kw_only=True, slots=True)
class LandingCap:
    """
    How far the landings of a session and the days of a week are held down.

    Attributes
    ----------
    share : float
        Of a drill's usual landings; 1 leaves them as they are.
    most : float, optional
        Landings a session, all drills together; None sets no limit.
    days_a_week : float, optional
        Days with landings; None sets no limit.
    sources : tuple of str
        Source keys of the limits.
    """

    share: float = 1.0
    most: float | None = None
    days_a_week: float | None = None
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Reason:
    """
    Why clearance decided as it did.

    Attributes
    ----------
    caution : str
        Key of the caution in the catalogue; empty for a rule about clearance itself.
    decision : Decision
        What this reason alone would decide.
    leads_to : str
        The catalogue's word for the consequence, such as ``emergency``; empty for a rule about
        clearance itself.
    text : str
        A sentence for the practitioner: what was answered, what follows, whom to see and how soon.
    closes : tuple of str
        Tags of tests and drills that this reason closes.
    sources : tuple of str
        Source keys.
    overridden : str
        Who lifted it and why; empty if it stands.
    landings : LandingCap
        What this reason alone holds landings down to.
    """

    caution: str
    decision: Decision
    leads_to: str = ""
    text: str
    closes: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    overridden: str = ""
    landings: LandingCap = LandingCap()


@dataclass(frozen=True, kw_only=True, slots=True)
class ClearanceResult:
    """
    May the athlete train and be tested, and how far.

    Attributes
    ----------
    decision : Decision
        The strictest of all standing reasons.
    reasons : tuple of Reason
        Strictest first.
    closes : tuple of str
        All tags closed by standing reasons.
    jumping : bool
        Whether jumps, hops and maximal strength tests are open at all.
    landings : LandingCap
        The strictest of all standing reasons, limit by limit.
    """

    decision: Decision
    reasons: tuple[Reason, ...]
    closes: tuple[str, ...]
    jumping: bool
    landings: LandingCap = LandingCap()


@dataclass(frozen=True, kw_only=True, slots=True)
class Grade:
    """
    How one side of one test stands against what jumping asks.

    Values are in SI units. `error` is the 95 % half-width of the measured value, so the true value
    lies within `value` ± `error` 19 times in 20.

    Attributes
    ----------
    test, link, side : str, Link or None, Side
        What was measured; the jump itself belongs to no link.
    verdict : Verdict
        The grade.
    value, error, target : float, optional
        In SI units; None where there is none.
    gap : float, optional
        How far the value falls short of the target, at least 0. [SI]
    unit : str
        Unit the value was entered in, for showing it; empty with an answer in words.
    text : str
        The grade in a sentence, in the unit that was entered.
    sources : tuple of str
        Source keys of target and error.
    """

    test: str
    link: Link | None
    side: Side
    verdict: Verdict
    value: float | None = None
    error: float | None = None
    target: float | None = None
    gap: float | None = None
    unit: str = ""
    text: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Change:
    """
    Measured, treated, measured again: did it change within the visit?

    Attributes
    ----------
    test, side, treatment : str, Side, str
        What was measured, and the key of the treatment between.
    difference : float
        After minus before. [SI]
    needed : float, optional
        Smallest difference outside the within-session error, 19 times in 20. [SI] None where no
        error is published, and nothing can be told.
    changed : bool
        True for "changed today", False for "not told".
    text : str
        In a sentence.
    sources : tuple of str
        Source keys of the error.
    """

    test: str
    side: Side
    treatment: str
    difference: float
    needed: float | None
    changed: bool
    text: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Finding:
    """
    One link, in chain order, with what was found there.

    Attributes
    ----------
    link : Link or None
        None for landings and jumps, which belong to no link and come last.
    text : str
        The finding in one sentence, with its error and source.
    details : tuple of str
        What else was met: pain, what could not be done, difference of sides, pattern.
    """

    link: Link | None
    verdict: Verdict
    text: str
    details: tuple[str, ...] = ()
    grades: tuple[Grade, ...] = ()
    changes: tuple[Change, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class JumpResult:
    """All trials of one kind at one visit, and what they say together."""

    kind: JumpKind
    trials: tuple[Trial, ...]
    height_m: float | None
    error_m: float | None
    text: str
    quality: tuple[QualityNote, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Task:
    """One drill of the work list: what, how much, how, when to stop, and why."""

    drill: str
    name: str
    side: Side
    dose: str
    cue: str
    stop: str
    why: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, slots=True)
class Examination:
    """
    The main job on one athlete: clearance, every link, the jump, findings and a work list.

    Attributes
    ----------
    athlete : str
        Key of the athlete.
    on : date
        The visit it judges.
    version, catalogue, inputs : str
        Version of countermove, hash of the catalogue, hash of the athlete's record.
    settings : mapping of str to object
        Whatever was not at its default.
    notes : tuple of str
        What could not be used, and why.
    cautions : tuple of str
        What to say beside every result.
    """

    athlete: str
    name: str
    on: date
    version: str
    catalogue: str
    inputs: str
    settings: Mapping[str, Any]
    clearance: ClearanceResult
    verdict: str
    findings: tuple[Finding, ...]
    jumps: tuple[JumpResult, ...]
    tasks: tuple[Task, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
