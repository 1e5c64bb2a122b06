"""The sentences that stand at the top of an examination: what to do first, and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from countermove.catalogue import Catalogue, Consequence, Quality, Sense
from countermove.examination.findings import JUMP_NAME
from countermove.examination.grades import WELL_OUTSIDE, target_of
from countermove.examination.jump_summaries import Gain, gain_sentence, gains_little
from countermove.examination.sentences import ON_SIDE, amount, listed, opening
from countermove.examination.work_lists import Bench
from countermove.record import Decision, Finding, Grade, Side, Task, Verdict
from countermove.safety import pain_action

# What the first drill of a link does to it.
VERBS = {
    Quality.FREE: "Free",
    Quality.CONTROL: "Steady",
    Quality.STRENGTHEN: "Strengthen",
    Quality.LAND: "Train",
}
OTHER = {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT}
NOT_YET = "Not yet. "  # nothing is wrong today; somebody else must agree first
STOPPED = {
    Decision.REFER: "Stop here. ",
    Decision.ASK_FIRST: "Ask first. ",
}


def headline(
    findings: Sequence[Finding], tasks: Sequence[Task], bench: Bench, *, gain: Gain | None
) -> str:
    """
    Give the verdict on a visit in a few sentences.

    Clearance speaks first: without it nothing else is a headline. Then what nobody may miss (pain
    above 5, a test that was worse after a treatment, what could not be done); the first short link
    from the floor up with its numbers, what else is short, too close or not measured, and what the
    countermovement adds if that is little.
    """
    clearance, catalogue = bench.clearance, bench.catalogue
    if clearance.decision in STOPPED:
        first = clearance.reasons[0].text
        rest = "No jump test and no work list until that is settled."
        elsewhere = clearance.reasons[0].leads_to == Consequence.ELSEWHERE
        return f"{NOT_YET if elsewhere else STOPPED[clearance.decision]}{first} {rest}"
    sentences = [
        *_painful(bench),
        *_worse(bench),
        *_not_done(bench),
        *_short(findings, tasks, catalogue),
        *_named(Verdict.TOO_CLOSE, findings),
        *_named(Verdict.NOT_MEASURED, findings),
        *_one_sided(bench),
    ]
    if gain is not None and gains_little(gain):
        sentences.append(gain_sentence(gain))
    if clearance.closes:
        sentences.append(f"Closed by clearance: {listed(clearance.closes)}.")
    return " ".join(sentences)


def _painful(bench: Bench) -> Iterator[str]:
    """Name every test that hurt so much that it is to be stopped, gravest first."""
    found = [
        (m.pain.score, _tested(m.test, m.side, bench))
        for m in bench.measurements
        if m.pain is not None and pain_action(m.pain.score) == "stop"
    ]
    for score, test in sorted(found, key=lambda pair: -pair[0]):
        yield f"{test} hurt {score:g} of 10: stop it, and find out why first."


def _worse(bench: Bench) -> Iterator[str]:
    for one in bench.worse:
        drill = bench.catalogue.drills[one.drill].name
        test = _tested(one.test, one.side, bench)
        yield f"{test} was worse after “{drill}” {one.day}: look again."


def _not_done(bench: Bench) -> Iterator[str]:
    missed = [
        f"{_tested(m.test, m.side, bench)} ({m.could_not})"
        for m in bench.measurements
        if m.could_not
    ]
    if missed:
        yield f"Could not be done: {listed(missed)}."


def _one_sided(bench: Bench) -> Iterator[str]:
    """Name the tests of which a side was left out: what was not looked at is not well."""
    sides: dict[str, set[Side]] = {}
    for m in bench.measurements:
        sides.setdefault(m.test, set()).add(m.side)
    missing = [
        _tested(test, OTHER[met.pop()], bench)
        for test, met in sides.items()
        if len(met) == 1 and Side.BOTH not in met
    ]
    if missing:
        yield f"One side was left out: {listed(missing)}."


def _tested(test: str, side: Side, bench: Bench) -> str:
    return f"“{bench.catalogue.tests[test].name}” {ON_SIDE[side]}".rstrip()


def _short(
    findings: Sequence[Finding], tasks: Sequence[Task], catalogue: Catalogue
) -> Iterator[str]:
    short = [finding for finding in findings if finding.verdict is Verdict.SHORT]
    if not short:
        yield "Nothing falls short beyond the error."
        return
    graded = worst_grade(short[0])
    yield f"{_verb(short[0], tasks, catalogue)} the {_place(short[0], graded)} first."
    yield _numbers(graded, catalogue)
    if short[1:]:
        yield f"Also short: {listed(_name(finding) for finding in short[1:])}."


def worst_grade(finding: Finding) -> Grade:
    """Give a short link's grade that lies farthest outside its error; a number before words."""
    short = [grade for grade in finding.grades if grade.verdict is Verdict.SHORT]
    return max(short, key=_errors_short)


def _errors_short(graded: Grade) -> float:
    return (graded.gap or 0.0) / graded.error if graded.error else 0.0


def _verb(finding: Finding, tasks: Sequence[Task], catalogue: Catalogue) -> str:
    """Name what the first drill for a link does; “Look at” where no drill is given."""
    short = {grade.test for grade in finding.grades if grade.verdict is Verdict.SHORT}
    for task in tasks:
        drill = catalogue.drills[task.drill]
        if short & set(drill.helps):
            return VERBS.get(drill.quality, "Work on")
    return "Look at"


def _name(finding: Finding) -> str:
    return str(finding.link or JUMP_NAME)


def _place(finding: Finding, graded: Grade) -> str:
    """Name the link with its side; both sides if both are short in that test."""
    sides = {g.side for g in finding.grades if g.verdict is Verdict.SHORT and g.test == graded.test}
    if len(sides) > 1:
        return f"{_name(finding)} on both sides"
    return _name(finding) if graded.side is Side.BOTH else f"{graded.side} {_name(finding)}"


def _numbers(graded: Grade, catalogue: Catalogue) -> str:
    """Say how far it falls short, against which error."""
    if graded.gap is None or graded.target is None:
        return graded.text
    gap, asked = amount(graded.gap, graded.unit), amount(graded.target, graded.unit)
    target = target_of(graded.test, catalogue)
    over = target is not None and target.sense is Sense.AT_MOST
    far = f"lies {gap} over the {asked}" if over else f"falls {gap} short of the {asked}"
    if graded.error is None:
        return f"It {far} that jumping asks; no error of this method is published."
    well = "well " if graded.gap >= WELL_OUTSIDE * graded.error else ""
    error = amount(graded.error, graded.unit)
    return f"It {far} that jumping asks, {well}outside the error of {error}."


def _named(verdict: Verdict, findings: Sequence[Finding]) -> Iterator[str]:
    names = [_name(finding) for finding in findings if finding.verdict is verdict]
    if names:
        yield f"{opening(verdict)}: {listed(names)}."
