"""
The work list: for each short link the drills that fit, and that every listed rule leaves open.

A drill fits if it helps a test that fell short and, at the ankle, fits the pattern found. It is
given if clearance, pain, training history, equipment and gates allow. Where only an earlier drill
is missing, that earlier drill is given as the way in. Links come in chain order, within a link
mobility before control before strength before landing; then a drill on the link itself before one
on its neighbours, two legs before one, beginners' before others'. Of two alike the one whose things
are at hand is given. At most one drill of a quality for a side and three a link (our defaults), so
the list stays short however long the catalogue grows. A link too close to call gets one drill,
marked optional. Stretch-shortening drills are for the jump, and only once no link of the leg is
short. A drill after which a test was worse today is not given.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace

from countermove.catalogue import Catalogue, Dose, Drill, Quality, current
from countermove.examination.ankle import NO_PATTERN, SAYS, pattern_of
from countermove.examination.changes import Worsening
from countermove.examination.jump_summaries import Gain, gain_sentence, gains_little
from countermove.examination.sentences import ON_SIDE, counted, opening
from countermove.examination.session_landings import within_session
from countermove.record import (
    Athlete,
    ClearanceResult,
    Finding,
    Grade,
    Level,
    Link,
    Measurement,
    Side,
    Task,
    Verdict,
)
from countermove.safety import OPEN, may_do, missing_equipment

MOST_A_LINK = 3
MOST_FOR_THE_JUMP = 2
MOST_REASONS = 3  # said where nothing is open; the rest are counted
JUMP_TESTS = ("cmj", "cmj_arms", "sj")
LEG = (Link.ANKLE, Link.KNEE, Link.HIP, None)
WORKED = (Verdict.SHORT, Verdict.TOO_CLOSE)


@dataclass(frozen=True, kw_only=True)
class Bench:
    """Everything a choice of drills looks at, laid out once."""

    athlete: Athlete
    clearance: ClearanceResult
    catalogue: Catalogue
    measurements: tuple[Measurement, ...]
    done: frozenset[str] = frozenset()
    worse: tuple[Worsening, ...] = ()

    def against(self, key: str, side: Side) -> tuple[str, ...]:
        """Give the reasons against a drill for a side: the listed rules, and harm seen today."""
        return (*self.worse_today(key, side), *self._rules(key, side))

    def worse_today(self, key: str, side: Side) -> Iterator[str]:
        """Say which tests of a side were worse after a drill today."""
        for one in self.worse:
            if one.drill == key and (Side.BOTH in (side, one.side) or one.side is side):
                test = self.catalogue.tests[one.test].name
                yield " ".join(f"“{test}” was worse {ON_SIDE[one.side]} after it {one.day}".split())

    def _rules(self, key: str, side: Side) -> tuple[str, ...]:
        return may_do(
            self.catalogue.drills[key],
            self.clearance,
            athlete=self.athlete,
            side=side,
            catalogue=self.catalogue,
            measurements=self.measurements,
            done=self.done,
        )


def work_list(
    findings: Sequence[Finding], bench: Bench, *, gain: Gain | None = None
) -> tuple[tuple[Task, ...], tuple[str, ...]]:
    """
    Choose the drills of a visit.

    Parameters
    ----------
    findings : sequence of Finding
        In chain order.
    bench : Bench
        Athlete, clearance, catalogue, the visit's measurements and the drills done before.
    gain : Gain, optional
        What the countermovement adds; little of it asks for stretch-shortening work.

    Returns
    -------
    tuple of Task
        In the order to work; empty without clearance.
    tuple of str
        The drills that made a test worse today; for each short link that got no drill, why not.
    """
    if bench.clearance.decision not in OPEN:
        return (), ()
    tasks: list[Task] = []
    notes = _left_out(bench)
    for finding in findings:
        found = list(_for_link(finding, bench))
        tasks += found
        if finding.verdict is Verdict.SHORT and not found:
            notes.append(_nothing_fits(finding, bench))
    if gain is not None and gains_little(gain):
        found, note = _for_the_jump(findings, gain, bench)
        tasks += found
        notes += note
    kept, left_out = within_session(
        merged(tasks, bench),
        bench.clearance.landings,
        catalogue=bench.catalogue,
        write=lambda drill, side, dose: dose_text(drill, bench.athlete, side, dose),
    )
    return kept, (*notes, *left_out)


def _for_link(finding: Finding, bench: Bench) -> Iterator[Task]:
    """Yield the drills of one link: for short sides, and one optional where it is too close."""
    if finding.verdict not in WORKED:
        return
    most = MOST_A_LINK if finding.verdict is Verdict.SHORT else 1
    chosen: dict[str, set[tuple[str, Side]]] = {}
    qualities: dict[tuple[Quality, Side], str] = {}
    candidates = _candidates(finding, bench)
    for key, graded in candidates:
        side = drill_side(bench.catalogue.drills[key], graded.side)
        given = way_in(key, side, bench)
        if given is None or _rather(given, graded, candidates, bench):
            continue
        place = bench.catalogue.drills[given].quality, graded.side
        held = qualities.setdefault(place, given)
        if held != given or (given not in chosen and len(chosen) >= most):
            continue
        answered = chosen.setdefault(given, set())
        if (graded.test, graded.side) not in answered:
            answered.add((graded.test, graded.side))
            done_on = drill_side(bench.catalogue.drills[given], graded.side)
            yield task_of(given, done_on, _why(finding, graded, key, given, bench), bench)


def _candidates(finding: Finding, bench: Bench) -> list[tuple[str, Grade]]:
    """Pair every fitting drill with each grade it answers, in the order of work."""
    pairs = [
        (key, graded)
        for key, drill in current(bench.catalogue.drills).items()
        for graded in finding.grades
        if graded.verdict is finding.verdict
        and graded.test in drill.helps
        and drill.quality is not Quality.STRETCH_SHORTENING
        and fits_pattern(drill, finding, graded.side, bench)
    ]
    return sorted(pairs, key=lambda pair: _order(bench.catalogue.drills[pair[0]], finding.link))


def _order(drill: Drill, link: Link | None) -> tuple[int, bool, bool, int]:
    """Order the drills of a link: as `order_of`, but those that work the link itself before."""
    quality, one_leg, level = order_of(drill)
    return quality, link is not None and link not in drill.links, one_leg, level


def _rather(key: str, graded: Grade, candidates: Sequence[tuple[str, Grade]], bench: Bench) -> bool:
    """Tell whether a like drill is open with what is at hand, while this one needs a substitute."""
    drills = bench.catalogue.drills
    if not missing_equipment(drills[key], bench.athlete):
        return False
    return any(
        other is graded
        and _order(drills[like], graded.link) == _order(drills[key], graded.link)
        and not missing_equipment(drills[like], bench.athlete)
        and not bench.against(like, drill_side(drills[like], graded.side))
        for like, other in candidates
    )


def order_of(drill: Drill) -> tuple[int, bool, int]:
    """Order drills: by quality, two legs before one, beginners' before others'."""
    return list(Quality).index(drill.quality), drill.side == "each", list(Level).index(drill.level)


def fits_pattern(drill: Drill, finding: Finding, side: Side, bench: Bench) -> bool:
    """Tell whether a drill fits the pattern of its side; only the ankle has patterns."""
    if not drill.patterns or finding.link is not Link.ANKLE:
        return True
    return pattern_of(finding.grades, bench.measurements, side) in drill.patterns


def drill_side(drill: Drill, side: Side) -> Side:
    """Give the side a drill is done on for a finding of a side."""
    return Side.BOTH if drill.side == "both" else side


def way_in(key: str, side: Side, bench: Bench, seen: Collection[str] = ()) -> str | None:
    """
    Give the drill to start with: the drill itself if it is open, or the open one that leads to it.

    A drill that is closed by anything but an earlier drill leads nowhere: its other gates, pain
    or clearance are not walked around.

    Returns
    -------
    str or None
        Key of an open drill, or None.
    """
    reasons = bench.against(key, side)
    if not reasons:
        return key
    drill = bench.catalogue.drills[key]
    earlier = [gate.drill for gate in drill.gates if gate.drill and gate.drill not in bench.done]
    if len(reasons) > len(earlier):
        return None
    for first in earlier:
        if first not in seen:
            other = drill_side(bench.catalogue.drills[first], side)
            found = way_in(first, other, bench, (*seen, key))
            if found is not None:
                return found
    return None


def task_of(key: str, side: Side, why: str, bench: Bench) -> Task:
    """Write a drill as a task of a work list, dosed for this athlete."""
    drill = bench.catalogue.drills[key]
    return Task(
        drill=key,
        name=drill.name,
        side=side,
        dose=dose_text(drill, bench.athlete, side),
        cue=drill.cue,
        stop=drill.stop,
        why=why,
        sources=_sources(drill),
    )


def _sources(drill: Drill) -> tuple[str, ...]:
    dose = drill.dose
    numbers = (dose.sets, dose.reps, dose.hold, dose.contacts, dose.rest, dose.days_a_week)
    keys = [drill.source, *(number.source for number in numbers if number is not None)]
    return tuple(dict.fromkeys(keys))


def _why(finding: Finding, graded: Grade, wanted: str, given: str, bench: Bench) -> str:
    """Say which shortfall a drill answers, the pattern it fits, and what it leads to."""
    name = bench.catalogue.tests[graded.test].name
    optional = "Optional: " if finding.verdict is Verdict.TOO_CLOSE else ""
    text = f"{optional}{place_and_verdict(finding, graded.side)} in “{name}”"
    pattern = ""
    if finding.link is Link.ANKLE and bench.catalogue.drills[given].patterns:
        pattern = pattern_of(finding.grades, bench.measurements, graded.side)
    if pattern and pattern != NO_PATTERN:
        text += f"; {SAYS[pattern]}, confirm by hand"
    if given != wanted:
        text += f"; the way in to “{bench.catalogue.drills[wanted].name}”"
    return opening(text) + "."


def place_and_verdict(finding: Finding, side: Side) -> str:
    """Name a place and its verdict; a spine has no left half, it turns to the left."""
    if finding.link is Link.THORACIC_SPINE and side is not Side.BOTH:
        return f"{finding.link} {finding.verdict} to the {side}"
    named = "" if side is Side.BOTH else f"{side} "
    return f"{named}{finding.link or 'landing'} {finding.verdict}"


def dose_text(drill: Drill, athlete: Athlete, side: Side, dose: Dose | None = None) -> str:
    """Write a drill's dose for a side, and what stands in for equipment that is not at hand."""
    missing = missing_equipment(drill, athlete)
    instead = f" Without {', '.join(missing)}: {drill.substitute}" if missing else ""
    where = ""
    if drill.side == "each":
        where = " each side" if side is Side.BOTH else f" on the {side}"
    return f"{'; '.join(_dose_parts(dose or drill.dose, where))}.{instead}"


def dose_words(drill: Drill) -> str:
    """Write a drill's dose for nobody in particular, as the catalogue has it."""
    return "; ".join(_dose_parts(drill.dose, " each side" if drill.side == "each" else ""))


def _dose_parts(dose: Dose, where: str) -> Iterator[str]:
    reps = f" of {dose.reps.value:g}" if dose.reps else ""
    hold = f", each held {dose.hold.in_unit('s'):g} s" if dose.hold else ""
    yield f"{counted(dose.sets.value, 'set')}{reps}{where}{hold}"
    if dose.tempo:
        yield dose.tempo
    if dose.contacts:
        yield f"{counted(dose.contacts.value, 'landing')} in all"
    if dose.rest:
        yield f"{dose.rest.in_unit('s'):g} s rest between sets"
    if dose.load:
        yield dose.load
    yield f"{counted(dose.days_a_week.value, 'day')} a week"


def _for_the_jump(
    findings: Sequence[Finding], gain: Gain, bench: Bench
) -> tuple[list[Task], list[str]]:
    """Give stretch-shortening work where the countermovement gains little and the leg is free."""
    short = [f.link or "landing" for f in findings if f.verdict is Verdict.SHORT and f.link in LEG]
    if short:
        return [], [f"Stretch-shortening work waits until the {short[0]} is no longer short."]
    wanted = [
        (key, drill)
        for key, drill in current(bench.catalogue.drills).items()
        if drill.quality is Quality.STRETCH_SHORTENING and set(drill.helps) & set(JUMP_TESTS)
    ]
    tasks: dict[str, Task] = {}
    for key, drill in sorted(wanted, key=lambda pair: order_of(pair[1])):
        side = Side.BOTH
        given = way_in(key, side, bench)
        if given is not None and given not in tasks and len(tasks) < MOST_FOR_THE_JUMP:
            leads = "" if given == key else f" The way in to “{drill.name}”."
            tasks[given] = task_of(given, side, gain_sentence(gain) + leads, bench)
    note = [] if tasks else ["No stretch-shortening drill is open to this athlete yet."]
    return list(tasks.values()), note


def _left_out(bench: Bench) -> list[str]:
    """Say which drills are not given because a test was worse after them."""
    notes: dict[str, None] = {}
    for one in bench.worse:
        name = bench.catalogue.drills[one.drill].name
        why = next(bench.worse_today(one.drill, one.side))
        notes[f"“{name}” is not given: {why}. Look again before it is tried again."] = None
    return [*notes]


def _nothing_fits(finding: Finding, bench: Bench) -> str:
    """Say why a short link got no drill: the first reason against each drill that would fit."""
    place = opening(finding.link or "landing")
    candidates = dict(_candidates(finding, bench))
    reasons = {}
    for key, graded in candidates.items():
        drill = bench.catalogue.drills[key]
        against = bench.against(key, drill_side(drill, graded.side))
        reasons[drill.name] = against[0].rstrip(".") if against else "not open"
    if not reasons:
        return f"{place}: no drill of the catalogue fits what was found; decide by hand."
    said = "; ".join(f"“{name}”: {reason}" for name, reason in [*reasons.items()][:MOST_REASONS])
    more = len(reasons) - MOST_REASONS
    rest = f" {counted(more, 'more drill')} would fit, none of them open." if more > 0 else ""
    return f"{place}: no drill given. {said}.{rest}"


def merged(tasks: Sequence[Task], bench: Bench) -> tuple[Task, ...]:
    """Put a drill that stands twice into one task: both sides, both reasons."""
    merged: dict[str, Task] = {}
    for task in tasks:
        held = merged.get(task.drill)
        if held is None:
            merged[task.drill] = task
            continue
        side = held.side if held.side is task.side else Side.BOTH
        why = held.why if task.why in held.why else f"{held.why} {task.why}"
        sources = tuple(dict.fromkeys((*held.sources, *task.sources)))
        dose = dose_text(bench.catalogue.drills[task.drill], bench.athlete, side)
        merged[task.drill] = replace(held, side=side, dose=dose, why=why, sources=sources)
    return tuple(merged.values())
