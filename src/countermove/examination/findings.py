"""
One finding a link, in chain order, ankle first: what was measured there, said in sentences.

A link is *short* if any side of any of its tests is, else *too close to call* if any is, else
*meets*; a link of which nothing was graded is *not measured*, and says so. Landings and jumps come
last and belong to no link.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from countermove.catalogue import Catalogue, Sense
from countermove.examination.ankle import pattern_of, pattern_sentence
from countermove.examination.changes import before_of, changes_of
from countermove.examination.grades import (
    STOP_TEST,
    WELL_OUTSIDE,
    about_error,
    about_trials,
    choice_of,
    grade,
    target_of,
)
from countermove.examination.measurement_errors import Tester
from countermove.examination.readings import value_si
from countermove.examination.sentences import (
    ON_SIDE,
    amount,
    listed,
    opening,
    sources_named,
)
from countermove.examination.symmetry import asymmetry
from countermove.record import Change, Finding, Grade, Link, Measurement, Side, Verdict, Visit
from countermove.safety import pain_action

WORST_FIRST = (Verdict.SHORT, Verdict.TOO_CLOSE, Verdict.MEETS, Verdict.NOT_MEASURED)
JUMP_NAME = "jump and landing"


@dataclass(frozen=True, kw_only=True)
class _Seen:
    """A measurement and its grade; no grade where nothing is asked of the test."""

    measurement: Measurement
    grade: Grade | None


def verdict_of_link(verdicts: Iterable[Verdict]) -> Verdict:
    """Give the verdict on a link from those on its tests and sides."""
    met = set(verdicts)
    return next((verdict for verdict in WORST_FIRST if verdict in met), Verdict.NOT_MEASURED)


def findings_of(visit: Visit, *, catalogue: Catalogue) -> tuple[Finding, ...]:
    """
    Give every link's finding at a visit.

    Parameters
    ----------
    visit : Visit
        Checked, see `checked_visit`. Measurings after a treatment are changes, not findings.
    catalogue : Catalogue
        Holds tests, errors and targets.

    Returns
    -------
    tuple of Finding
        One a link, from the ankle up; then, if one was measured, one for landings and jumps.
    """
    first = [m for m in visit.measurements if not m.after]
    changes = changes_of(visit, catalogue=catalogue)
    places: list[Link | None] = [*Link]
    if any(catalogue.tests[m.test].link is None for m in first):
        places.append(None)
    found = []
    for link in places:
        own = [m for m in first if catalogue.tests[m.test].link is link]
        seen = [_see(m, visit, catalogue) for m in own]
        moved = tuple(c for c in changes if catalogue.tests[c.test].link is link)
        found.append(_finding(link, seen, moved, visit, catalogue))
    return tuple(found)


def _see(measurement: Measurement, visit: Visit, catalogue: Catalogue) -> _Seen:
    graded = grade(measurement, catalogue=catalogue, tester=tester_of(measurement, visit))
    return _Seen(measurement=measurement, grade=graded)


def tester_of(measurement: Measurement, visit: Visit) -> Tester:
    """Tell whether the tester of the visit measured."""
    return "same" if (measurement.tester or visit.tester) == visit.tester else "different"


def _finding(
    link: Link | None,
    seen: Sequence[_Seen],
    changes: tuple[Change, ...],
    visit: Visit,
    catalogue: Catalogue,
) -> Finding:
    grades = tuple(one.grade for one in seen if one.grade is not None)
    verdict = verdict_of_link(g.verdict for g in grades)
    uneven = _asymmetries(seen, catalogue)
    details = [
        *_not_done(seen, catalogue),
        *_painful(link, visit, catalogue),
        *_doubtful(seen, visit, catalogue),
        *_also(seen, catalogue),
        *(text for text, _ in uneven),
        *_patterns(link, seen),
        _answers_after(link, visit, catalogue),
    ]
    parts = (*(g.sources for g in grades), *(keys for _, keys in uneven))
    return Finding(
        link=link,
        verdict=verdict,
        text=f"{opening(link or JUMP_NAME)}: {_lead(verdict, seen, catalogue)}.",
        details=tuple(opening(sentence) for sentence in details if sentence),
        grades=grades,
        changes=changes,
        sources=tuple(dict.fromkeys(key for keys in parts for key in keys)),
    )


def _lead(verdict: Verdict, seen: Sequence[_Seen], catalogue: Catalogue) -> str:
    """Say the verdict; with its numbers where a link is short or too close to call."""
    if verdict is Verdict.NOT_MEASURED:
        return verdict.value
    if verdict is Verdict.MEETS:
        return _names(verdict, seen, catalogue).removesuffix(".")
    worst = [one for one in seen if one.grade is not None and one.grade.verdict is verdict]
    return "; ".join(_clause(one, catalogue) for one in worst)


def _clause(one: _Seen, catalogue: Catalogue) -> str:
    graded, m = one.grade, one.measurement
    if graded is None:
        return ""
    side = f" {ON_SIDE[m.side]}" if ON_SIDE[m.side] else ""
    lead = f"{graded.verdict}{side}"
    test = catalogue.tests[m.test]
    if graded.value is None:
        choice = choice_of(test, m.answer)
        said = m.answer if choice is None else choice.text
        return f"{lead} in “{test.name}”: {said} ({sources_named(graded.sources, catalogue)})"
    return f"{lead}, {_numbers(graded, m.unit, catalogue)}, in “{test.name}”" + _source(
        graded, catalogue
    )


def _numbers(graded: Grade, unit: str, catalogue: Catalogue) -> str:
    """Say how far from the target, against which error."""
    gap, value, asked = (amount(x or 0.0, unit) for x in (graded.gap, graded.value, graded.target))
    target = target_of(graded.test, catalogue)
    over = target is not None and target.sense is Sense.AT_MOST
    of = f"over the {asked} allowed" if over else f"of the {asked} asked"
    if graded.error is None:
        error = "no error of this method is published"
        return f"{value}, {asked} asked, {error}"
    error = amount(graded.error, unit)
    if graded.verdict is Verdict.SHORT:
        well = "well " if (graded.gap or 0.0) >= WELL_OUTSIDE * graded.error else ""
        return f"by {gap} {of}, {well}outside the error of {error}"
    limit = "allowed" if over else "asked"
    return f"{value} where {asked} is {limit} and the error is {error}"


def _source(graded: Grade, catalogue: Catalogue) -> str:
    asked, *errors = graded.sources
    named = f"asked: {sources_named((asked,), catalogue)}"
    # With target and error from one source the key stands once in the list.
    error = sources_named(errors or (asked,), catalogue)
    return f" ({named}; error: {error})" if graded.error is not None else f" ({named})"


def _names(verdict: Verdict, seen: Sequence[_Seen], catalogue: Catalogue) -> str:
    """Name the tests with a verdict, each with its sides, and the sources of what was judged."""
    found: dict[str, list[Side]] = {}
    sources: list[str] = []
    for one in seen:
        if one.grade is not None and one.grade.verdict is verdict:
            found.setdefault(one.measurement.test, []).append(one.measurement.side)
            sources += one.grade.sources
    if not found:
        return ""
    parts = [f"“{catalogue.tests[test].name}”{_on(sides)}" for test, sides in found.items()]
    return f"{verdict} in {listed(parts)} ({sources_named(sources, catalogue)})."


def _on(sides: Sequence[Side]) -> str:
    if {Side.LEFT, Side.RIGHT} <= set(sides):
        return " on both sides"
    return f" {ON_SIDE[sides[0]]}".rstrip()


def _place(m: Measurement, catalogue: Catalogue) -> str:
    return f"“{catalogue.tests[m.test].name}” {ON_SIDE[m.side]}".rstrip()


def _not_done(seen: Sequence[_Seen], catalogue: Catalogue) -> list[str]:
    return [
        f"Could not do {_place(one.measurement, catalogue)}: {one.measurement.could_not}."
        for one in seen
        if one.measurement.could_not
    ]


def _painful(link: Link | None, visit: Visit, catalogue: Catalogue) -> list[str]:
    """Say the pain of every test of a link, also of those after a treatment."""
    sentences = []
    for m in visit.measurements:
        if catalogue.tests[m.test].link is link and m.pain is not None and m.pain.score > 0:
            when = " after the treatment" if m.after else ""
            where = f" ({m.pain.where})" if m.pain.where else ""
            place = _place(m, catalogue)
            stop = STOP_TEST if pain_action(m.pain.score) == "stop" else ""
            sentences.append(f"{place} hurt {m.pain.score:g} of 10{where}{when}.{stop}")
    return sentences


def _doubtful(seen: Sequence[_Seen], visit: Visit, catalogue: Catalogue) -> list[str]:
    """Say of graded numbers what makes them less sure: few or unlike trials, a borrowed error."""
    sentences = []
    for one in seen:
        m = one.measurement
        if one.grade is not None and one.grade.value is not None:
            remarks = [
                *about_trials(m, catalogue),
                *about_error(m, catalogue, tester_of(m, visit)),
            ]
            sentences += [f"{_place(m, catalogue)}: {remark}" for remark in remarks]
    return sentences


def _also(seen: Sequence[_Seen], catalogue: Catalogue) -> list[str]:
    """Say what was measured of which nothing is asked, side by side."""
    found: dict[str, list[str]] = {}
    for one in seen:
        said = _said(one.measurement, catalogue)
        if one.grade is None and said:
            side = "" if one.measurement.side is Side.BOTH else f"{one.measurement.side} "
            found.setdefault(one.measurement.test, []).append(f"{side}{said}")
    parts = [f"“{catalogue.tests[test].name}”: {', '.join(said)}" for test, said in found.items()]
    return [f"Measured, nothing asked of it: {'; '.join(parts)}."] if parts else []


def _said(m: Measurement, catalogue: Catalogue) -> str:
    """Give a measurement's value or answer in words; empty if there is none."""
    value = value_si(m, catalogue=catalogue)
    if value is not None:
        return amount(value, m.unit)
    choice = choice_of(catalogue.tests[m.test], m.answer)
    return m.answer if choice is None else f"“{choice.text}”"


def _asymmetries(seen: Sequence[_Seen], catalogue: Catalogue) -> list[tuple[str, tuple[str, ...]]]:
    """Give the differences between sides beyond the error, test by test."""
    rights = {
        (one.measurement.test, one.measurement.method): one.measurement
        for one in seen
        if one.measurement.side is Side.RIGHT
    }
    found = []
    for one in seen:
        left = one.measurement
        right = rights.get((left.test, left.method))
        if left.side is Side.LEFT and left.trials and right is not None and right.trials:
            found.append(asymmetry(left, right, catalogue=catalogue))
    return [pair for pair in found if pair[0]]


def _patterns(link: Link | None, seen: Sequence[_Seen]) -> list[str]:
    if link is not Link.ANKLE:
        return []
    grades = [one.grade for one in seen if one.grade is not None]
    felt = [one.measurement for one in seen]
    return [
        pattern_sentence(pattern_of(grades, felt, side), side) for side in (Side.LEFT, Side.RIGHT)
    ]


def _answers_after(link: Link | None, visit: Visit, catalogue: Catalogue) -> str:
    """Say how an answer in words read before and after a treatment; it proves no change."""
    sentences = []
    for after in visit.measurements:
        test = catalogue.tests[after.test]
        before = before_of(after, visit) if after.after else None
        if test.link is link and before is not None and before.answer and after.answer:
            first, second = (_said(m, catalogue) for m in (before, after))
            sentences.append(f"{_place(after, catalogue)}: {first} before, {second} after.")
    return " ".join(sentences)
