"""
Gates: a drill opens only through its criteria, and what nobody measured keeps it shut.

Three words: *open*, *shut* and *not known*. Not known is as closed as shut, but it says which test
would tell.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from countermove.catalogue import Catalogue, Gate, Sense
from countermove.record import Measurement, Side
from countermove.safety.pain import pain_action
from countermove.units import check_kind, to_si

GATE_WORDS = ("open", "shut", "not known")


def gate_opens(
    gate: Gate,
    measurements: Iterable[Measurement],
    *,
    side: Side,
    catalogue: Catalogue,
    done: Collection[str] = (),
) -> str:
    """
    Judge one gate of a drill.

    The value must reach the limit as measured; its error is not added, because a gate is a rule of
    ours and no finding. A side that hurt more than 2 of 10, or that could not do the test, does not
    open a gate. A drill for both sides needs both.

    Parameters
    ----------
    gate : Gate
        A limit of a test, an answer, or a drill that comes first.
    measurements : iterable of Measurement
        Of one visit; where a test was repeated after a treatment, the first counts.
    side : Side
        The side the drill is for.
    catalogue : Catalogue
        Holds the tests.
    done : collection of str, optional
        Keys of the drills that the athlete has done well before.

    Returns
    -------
    str
        ``"open"``, ``"shut"`` or ``"not known"``.

    Raises
    ------
    UnknownUnit
        If a trial is in a unit of the wrong kind.
    """
    if gate.drill:
        return "open" if gate.drill in done else "not known"
    first = [m for m in measurements if m.test == gate.test and not m.after]
    words = [_worst(gate, first, one, catalogue) for one in _sides_needed(gate, side, catalogue)]
    return max(words, key=GATE_WORDS.index)


def _sides_needed(gate: Gate, side: Side, catalogue: Catalogue) -> tuple[Side, ...]:
    if catalogue.tests[gate.test].sides == "both":
        return (Side.BOTH,)
    return (Side.LEFT, Side.RIGHT) if side is Side.BOTH else (side,)


def _worst(gate: Gate, first: list[Measurement], side: Side, catalogue: Catalogue) -> str:
    words = [_one(gate, m, catalogue) for m in first if m.side is side]
    return max(words, key=("open", "not known", "shut").index, default="not known")


def _one(gate: Gate, measurement: Measurement, catalogue: Catalogue) -> str:
    """Judge one measurement against a gate."""
    hurt = measurement.pain is not None and pain_action(measurement.pain.score) != "go on"
    if measurement.could_not or hurt:
        return "shut"
    if not measurement.trials and not measurement.answer:
        return "not known"
    if gate.value is None:
        return "open" if measurement.answer == gate.answer else "shut"
    check_kind(measurement.unit, like=gate.value.unit)
    kept = to_si(kept_value(measurement, catalogue), measurement.unit)
    return "open" if reaches(kept, gate.value.si, gate.sense) else "shut"


def kept_value(measurement: Measurement, catalogue: Catalogue) -> float:
    """Give the mean or the best of the trials, as the test keeps it, in the unit entered."""
    test, trials = catalogue.tests[measurement.test], measurement.trials
    if test.keep == "mean":
        return sum(trials) / len(trials)
    return min(trials) if test.better == "lower" else max(trials)


def reaches(value: float, limit: float, sense: Sense) -> bool:
    """Tell whether a value lies on the good side of a limit; on it counts."""
    return value >= limit if sense is Sense.AT_LEAST else value <= limit


def why_shut(gate: Gate, word: str, catalogue: Catalogue) -> str:
    """Say in a sentence what keeps a gate from opening, and which test or drill would open it."""
    if gate.drill:
        return f"comes after “{catalogue.drills[gate.drill].name}”: {gate.why}"
    name = catalogue.tests[gate.test].name
    needed = f"“{gate.answer}”"
    if gate.value is not None:
        needed = f"{gate.sense} {gate.value.value:g} {gate.value.unit}"
    if word == "not known":
        return f"“{name}” was not measured, {needed} opens it: {gate.why}"
    return f"“{name}” must be {needed}: {gate.why}"
