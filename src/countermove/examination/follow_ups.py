"""
A follow-up: one thing is measured anew, the rest stands as it was found.

What stands of an earlier visit is its first measuring of a test and side, never what was measured
after a treatment: what opens within a visit has not yet been kept. It stands until it is measured
again, and says of which day it is. A visit that follows none begins afresh.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from countermove.catalogue import Catalogue
from countermove.examination.changes import Worsening, changes_of, made_worse
from countermove.examination.readings import checked_visit
from countermove.examination.sentences import listed
from countermove.record import Athlete, DrillChange, Finding, Measurement, Side, Verdict, Visit

RANKED = (Verdict.SHORT, Verdict.TOO_CLOSE, Verdict.MEETS, Verdict.NOT_MEASURED)


@dataclass(frozen=True, kw_only=True)
class Since:
    """
    What a visit stands on beside its own measurements.

    Attributes
    ----------
    days : mapping of (str, Side) to date
        Test and side that stand from an earlier visit, and of which day they are.
    names : mapping of str to str
        Names of those tests.
    worse : tuple of Worsening
        Drills that made a test worse at an earlier visit, where it was not measured anew.
    drill_changes : tuple of DrillChange
        Everything a hand changed on the work list since it was made, oldest first.
    """

    days: dict[tuple[str, Side], date]
    names: dict[str, str]
    worse: tuple[Worsening, ...] = ()
    drill_changes: tuple[DrillChange, ...] = ()


def followed(athlete: Athlete, visit: Visit) -> Visit | None:
    """Give the visit that one follows; of two on that day the later, None if it follows none."""
    if visit.follows is None or visit.follows >= visit.date:
        return None
    earlier = [one for one in athlete.visits if one.date == visit.follows]
    return earlier[-1] if earlier else None


def as_it_stands(athlete: Athlete, visit: Visit, catalogue: Catalogue) -> tuple[Visit, Since]:
    """
    Add to a visit what stands of the visits it follows.

    Parameters
    ----------
    athlete : Athlete
        Holds the earlier visits.
    visit : Visit
        Checked, see `checked_visit`.
    catalogue : Catalogue
        Holds the tests.

    Returns
    -------
    Visit
        With the earlier measurements and recordings that were not made anew; they come first.
    Since
        Of which days they are.
    """
    earlier = followed(athlete, visit)
    if earlier is None:
        return visit, Since(days={}, names={}, drill_changes=visit.drill_changes)
    before, since = as_it_stands(athlete, checked_visit(earlier, catalogue=catalogue), catalogue)
    own = {(m.test, m.side) for m in visit.measurements if not m.after}
    kinds = {recording.kind for recording in visit.recordings}
    kept = tuple(_standing(before, own))
    days = {(m.test, m.side): since.days.get((m.test, m.side), earlier.date) for m in kept}
    worse = (*_made_worse(earlier, catalogue), *since.worse)
    whole = replace(
        visit,
        measurements=(*kept, *visit.measurements),
        recordings=(*(r for r in before.recordings if r.kind not in kinds), *visit.recordings),
    )
    return whole, Since(
        days=days,
        names={test: catalogue.tests[test].name for test, _side in days},
        worse=tuple(one for one in worse if (one.test, one.side) not in own),
        drill_changes=(*since.drill_changes, *visit.drill_changes),
    )


def _standing(before: Visit, own: set[tuple[str, Side]]) -> Iterator[Measurement]:
    for one in before.measurements:
        if not one.after and (one.test, one.side) not in own:
            yield replace(one, tester=one.tester or before.tester)


def _made_worse(earlier: Visit, catalogue: Catalogue) -> Iterator[Worsening]:
    """Give the drills that made a test worse at an earlier visit, with its day."""
    changes = changes_of(checked_visit(earlier, catalogue=catalogue), catalogue=catalogue)
    for one in made_worse(changes, earlier, catalogue):
        yield one._replace(day=f"on {day_said(earlier.date)}")


def day_said(day: date) -> str:
    """
    Write a day in words, the same in every place.

    Examples
    --------
    >>> day_said(date(2026, 11, 3))
    '3 November 2026'
    """
    return f"{day.day} {day:%B %Y}"


def dated(findings: Sequence[Finding], since: Since) -> tuple[Finding, ...]:
    """Say in a finding's details which of its tests stand from an earlier day."""
    return tuple(_dated(finding, since) for finding in findings)


def _dated(finding: Finding, since: Since) -> Finding:
    by_day: dict[date, dict[str, None]] = {}
    for graded in finding.grades:
        day = since.days.get((graded.test, graded.side))
        if day is not None:
            by_day.setdefault(day, {})[f"“{since.names[graded.test]}”"] = None
    said = [
        f"As on {day_said(day)}, not measured anew: {listed(names)}."
        for day, names in sorted(by_day.items())
    ]
    return replace(finding, details=(*finding.details, *said))


def rechecks(findings: Sequence[Finding]) -> tuple[str, ...]:
    """
    Give the tests of an examination in the order to check them again: what fell short most, first.

    A shortfall counts in errors of its own test, since centimetres and degrees cannot be compared;
    an answer in words counts one error. What is equal comes in chain order, and what is not short
    after what is.

    Returns
    -------
    tuple of str
        Keys of tests, each once.
    """
    places: dict[str, tuple[int, float]] = {}
    for finding in findings:
        for graded in finding.grades:
            short = graded.gap / graded.error if graded.gap and graded.error else 1.0
            place = (RANKED.index(graded.verdict), -short)
            places[graded.test] = min(place, places.get(graded.test, place))
    return tuple(sorted(places, key=lambda test: places[test]))
