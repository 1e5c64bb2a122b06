"""
Measured, treated, measured again: did it change today?

Two values of one visit differ for certain only by more than MDC95 = 1.96 √2 SEM, with the error
*within the session*. Less is *not told*: neither changed nor unchanged. What opens within a visit
has not yet been kept; only weeks of work show that.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from countermove.catalogue import Catalogue, Test
from countermove.errors import BadInput
from countermove.examination.measurement_errors import KnownError, Tester, error_of
from countermove.examination.readings import checked, value_si
from countermove.examination.sentences import ON_SIDE, amount, sources_named
from countermove.record import Change, Measurement, Side, Visit


class Worsening(NamedTuple):
    """A drill after which a test of a side was worse on the same day, and which day that was."""

    drill: str
    side: Side
    test: str
    day: str = "today"


def has_changed(difference: float, needed: float) -> bool:
    """
    Tell whether a difference of two values lies outside the error.

    Parameters
    ----------
    difference : float
        Either sign.
    needed : float
        The MDC95, same unit.

    Examples
    --------
    >>> has_changed(2.3, 1.5), has_changed(-1.5, 1.5)
    (True, False)
    """
    return abs(difference) > needed


def change(
    before: Measurement, after: Measurement, *, catalogue: Catalogue, tester: Tester = "same"
) -> Change:
    """
    Compare two measurings of one visit.

    Parameters
    ----------
    before, after : Measurement
        The same test, side and method; `after.after` names the treatment between.
    catalogue : Catalogue
        Holds the test and its errors.
    tester : {"same", "different"}, optional
        Whether the same person measured both times.

    Raises
    ------
    BadInput
        If the two are not of one series, or one of them holds no number.
    """
    before, after = (checked(m, catalogue=catalogue) for m in (before, after))
    _same_series(before, after)
    first, second = (value_si(m, catalogue=catalogue) for m in (before, after))
    if first is None or second is None:
        raise BadInput(f"{before.test}, {before.side}: both measurings must hold trials")
    known = error_of(
        catalogue.tests[before.test],
        first,
        method=before.method,
        tester=tester,
        occasion="within session",
    )
    needed = None if known is None else known.mdc95
    changed = needed is not None and has_changed(second - first, needed)
    pair = _Pair(before=before, first=first, second=second, known=known, changed=changed)
    return Change(
        test=before.test,
        side=before.side,
        treatment=after.after,
        difference=second - first,
        needed=needed,
        changed=changed,
        text=_sentence(pair, catalogue),
        sources=known.sources if known else (),
    )


def _same_series(before: Measurement, after: Measurement) -> None:
    """Refuse to join two tests, two sides or two methods."""
    for name in ("test", "side", "method"):
        first, second = getattr(before, name), getattr(after, name)
        if first != second:
            raise BadInput(
                f"{before.test}, {before.side}: {name} {first!r} before and {second!r} after are"
                " two series, which are never compared; measure again in the same way"
            )


@dataclass(frozen=True, kw_only=True)
class _Pair:
    before: Measurement
    first: float
    second: float
    known: KnownError | None
    changed: bool


def _sentence(pair: _Pair, catalogue: Catalogue) -> str:
    test, unit = catalogue.tests[pair.before.test], pair.before.unit
    difference = pair.second - pair.first
    way = "up" if difference >= 0 else "down"
    place = ", ".join(part for part in (test.name, ON_SIDE[pair.before.side]) if part)
    moved = (
        f"{place}: {amount(pair.first, unit)} before, {amount(pair.second, unit)} after,"
        f" {way} {amount(abs(difference), unit)}"
    )
    if pair.known is None:
        return f"{moved}; no error of this method is published: not told."
    needed, named = amount(pair.known.mdc95, unit), sources_named(pair.known.sources, catalogue)
    if pair.known.borrowed:
        named = f"{named}, {pair.known.borrowed}"
    if not pair.changed:
        return f"{moved}; more than {needed} would be a change ({named}): not told."
    worse = _goes_the_wrong_way(difference, test)
    verdict = "changed today, for the worse" if worse else "changed today"
    after = "" if worse else " Only weeks of work show whether it stays."
    return f"{moved}, more than the {needed} of error ({named}): {verdict}.{after}"


def _goes_the_wrong_way(difference: float, test: Test) -> bool:
    return test.better != "neither" and (difference > 0) is not (test.better == "higher")


def for_the_worse(change: Change, catalogue: Catalogue) -> bool:
    """Tell whether a change lies outside the error and in the direction nobody wants."""
    return change.changed and _goes_the_wrong_way(change.difference, catalogue.tests[change.test])


def made_worse(
    changes: Iterable[Change], visit: Visit, catalogue: Catalogue
) -> tuple[Worsening, ...]:
    """
    Give the drills of a visit after which a test was worse, beyond the error.

    Parameters
    ----------
    changes : iterable of Change
        Of the visit.
    visit : Visit
        Names the drill of each treatment.
    catalogue : Catalogue
        Says for each test whether more or less is better.

    Returns
    -------
    tuple of Worsening
        In the order measured.
    """
    drills = {treatment.key: treatment.drill for treatment in visit.treatments}
    return tuple(
        Worsening(drill=drills[change.treatment], side=change.side, test=change.test)
        for change in changes
        if for_the_worse(change, catalogue)
    )


def before_of(after: Measurement, visit: Visit) -> Measurement | None:
    """Find the measuring of the same test and side that came last before a treatment."""
    order = ["", *(treatment.key for treatment in visit.treatments)]
    earlier = order[: order.index(after.after)]
    fitting = [
        m
        for m in visit.measurements
        if (m.test, m.side) == (after.test, after.side) and m.after in earlier
    ]
    same_method = [m for m in fitting if m.method == after.method]
    return max(same_method or fitting, key=lambda m: order.index(m.after), default=None)


def changes_of(visit: Visit, *, catalogue: Catalogue) -> tuple[Change, ...]:
    """
    Give every change within a checked visit that can be judged in numbers.

    Raises
    ------
    BadInput
        If a measuring after a treatment is of another series than the one before.
    """
    found = []
    for after in visit.measurements:
        before = before_of(after, visit) if after.after else None
        if before is not None and before.trials and after.trials:
            same = (before.tester or visit.tester) == (after.tester or visit.tester)
            tester: Tester = "same" if same else "different"
            found.append(change(before, after, catalogue=catalogue, tester=tester))
    return tuple(found)
