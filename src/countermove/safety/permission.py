"""
May this test be done, may this drill be given?

Each function gives the reasons against; no reason listed is not a promise.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from countermove.catalogue import Catalogue, Drill, Quality, Test
from countermove.record import Athlete, ClearanceResult, Level, Link, Measurement, Side
from countermove.safety.clearance import NEEDS_CLEARANCE, OPEN
from countermove.safety.consents import EVERY_TEST
from countermove.safety.gates import gate_opens, why_shut
from countermove.safety.pain import pain_action, worst_pain

# Work without load on the spring: what pain of 2 to 5 still leaves open (our default).
CALM_QUALITIES = (Quality.FREE, Quality.CONTROL)
SPRING_QUALITIES = (Quality.LAND, Quality.STRETCH_SHORTENING)
LANDED_ON = (Link.ANKLE, Link.KNEE, Link.HIP, None)  # None: the jump itself


def may_test(test: Test, clearance: ClearanceResult) -> tuple[str, ...]:
    """
    Give the reasons against doing a test; empty if none of the listed rules stands against it.

    Range of motion may be measured at any decision, unless consent to testing was taken back; what
    jumps, hops, lands or needs all the strength waits for clearance.
    """
    if EVERY_TEST in clearance.closes:
        return (f"“{EVERY_TEST}” is closed by {_closed_by(EVERY_TEST, clearance)}",)
    closed = [tag for tag in test.tags if tag in clearance.closes]
    if clearance.decision not in OPEN:
        closed += [tag for tag in test.tags if tag in NEEDS_CLEARANCE and tag not in closed]
    return tuple(f"“{tag}” is closed by {_closed_by(tag, clearance)}" for tag in closed)


def _closed_by(tag: str, clearance: ClearanceResult) -> str:
    """Name what closes a tag: the strictest reason that does, or the missing clearance."""
    standing = [reason for reason in clearance.reasons if not reason.overridden]
    closing = [reason for reason in standing if tag in reason.closes] or standing
    if not closing:
        return "the missing clearance"
    first = closing[0]
    by = f"{first.caution} ({first.leads_to})"
    return by if first.caution else f"the clearance: {first.text}"


def may_do(
    drill: Drill,
    clearance: ClearanceResult,
    *,
    athlete: Athlete,
    side: Side,
    catalogue: Catalogue,
    measurements: Sequence[Measurement] = (),
    done: Collection[str] = (),
) -> tuple[str, ...]:
    """
    Give the reasons against giving a drill; empty if none of the listed rules stands against it.

    Parameters
    ----------
    drill : Drill
        From the catalogue.
    clearance : ClearanceResult
        From `clear`. Without *go on* or *narrower* no drill is given at all.
    athlete : Athlete
        Level and equipment count.
    side : Side
        The side it is meant for.
    catalogue : Catalogue
        Holds the tests of the gates.
    measurements : sequence of Measurement, optional
        Of the visit; gates and pain count.
    done : collection of str, optional
        Keys of drills done well before.

    Returns
    -------
    tuple of str
        Sentences, gravest first.
    """
    return (
        *_clearance(drill, clearance),
        *_pain(drill, side, measurements, catalogue),
        *_answers(drill, side, measurements, catalogue),
        *_level(drill, athlete),
        *_equipment(drill, athlete),
        *_gates(drill, side, measurements, catalogue, done),
    )


def _clearance(drill: Drill, clearance: ClearanceResult) -> Iterator[str]:
    if clearance.decision not in OPEN:
        yield f"no drill is given while clearance says “{clearance.decision}”"
    for tag in drill.tags:
        if tag in clearance.closes:
            yield f"“{tag}” is closed by {_closed_by(tag, clearance)}"


def _pain(
    drill: Drill, side: Side, measurements: Sequence[Measurement], catalogue: Catalogue
) -> Iterator[str]:
    """
    Close by pain: all work for a link that hurt over 5, all loading of one that hurt over 2.

    Work for a link is what moves it and what is given because a test of it fell short.
    """
    helped = {catalogue.tests[test].link for test in drill.helps}
    for link in (*Link, None):
        score = worst_pain(_of_link(link, side, measurements, catalogue))
        action, own = pain_action(score), link in drill.links
        hurt = f"{link or 'the jump'} hurt {score:g} of 10 in a test"
        if (own or link in helped) and action == "stop":
            yield f"{hurt}; find out why before any drill for it"
        elif own and action == "hold" and drill.quality not in CALM_QUALITIES:
            yield f"{hurt}; no loading of it until that is calm"
        elif link in LANDED_ON and action != "go on" and drill.quality in SPRING_QUALITIES:
            yield f"{hurt}; no landing until that is calm"


def _answers(
    drill: Drill, side: Side, measurements: Sequence[Measurement], catalogue: Catalogue
) -> Iterator[str]:
    """Close by what the athlete said in a test: no rocking into a pinch."""
    for m in measurements:
        for choice in catalogue.tests[m.test].choices:
            told = choice.key == m.answer and (Side.BOTH in (side, m.side) or m.side is side)
            for tag in drill.tags:
                if told and tag in choice.closes:
                    yield f"“{tag}” is closed by what was found: {choice.text}"


def _of_link(
    link: Link | None, side: Side, measurements: Sequence[Measurement], catalogue: Catalogue
) -> list[Measurement]:
    return [
        m
        for m in measurements
        if catalogue.tests[m.test].link is link and (Side.BOTH in (side, m.side) or m.side is side)
    ]


def _level(drill: Drill, athlete: Athlete) -> Iterator[str]:
    order = list(Level)
    if order.index(drill.level) > order.index(athlete.level):
        yield f"asks for training history “{drill.level}”, the record says “{athlete.level}”"


def missing_equipment(drill: Drill, athlete: Athlete) -> tuple[str, ...]:
    """Give what the drill needs and the athlete does not have."""
    return tuple(thing for thing in drill.needs if thing not in athlete.equipment)


def _equipment(drill: Drill, athlete: Athlete) -> Iterator[str]:
    missing = missing_equipment(drill, athlete)
    if missing and not drill.substitute:
        yield f"needs {', '.join(missing)}, which is not at hand"


def _gates(
    drill: Drill,
    side: Side,
    measurements: Sequence[Measurement],
    catalogue: Catalogue,
    done: Collection[str],
) -> Iterator[str]:
    for gate in drill.gates:
        word = gate_opens(gate, measurements, side=side, catalogue=catalogue, done=done)
        if word != "open":
            yield why_shut(gate, word, catalogue)
