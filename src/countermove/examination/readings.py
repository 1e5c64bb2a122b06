"""
From what was written down to a value in SI units, refusing what cannot be true.

A slip of the pen must not become a finding: a unit of another kind, a method the test does not
have, a side it is not measured on, a value no person reaches. Two series are never joined: a lunge
in centimetres and a lunge in degrees are different tests, a tape and a stick different methods.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import replace
from math import isfinite, isnan

from countermove.catalogue import Catalogue, Cited, Test
from countermove.errors import BadInput
from countermove.record import Measurement, Side, Visit
from countermove.safety import kept_value
from countermove.units import check_kind, to_si


def checked(measurement: Measurement, *, catalogue: Catalogue) -> Measurement:
    """
    Check one measurement against its test.

    Parameters
    ----------
    measurement : Measurement
        As entered.
    catalogue : Catalogue
        Holds the test.

    Returns
    -------
    Measurement
        The same, with NaN trials (not measured) left out and the test's usual method written in
        where none was named.

    Raises
    ------
    BadInput
        With the test, what was met and what is needed.
    UnknownUnit
        If the unit is unknown or of the wrong kind.
    """
    test = find_test(measurement.test, catalogue)
    where = f"{measurement.test}, {measurement.side}"
    _check_side(measurement, test, where)
    method = _method(measurement, test, where)
    if test.reads == "words":
        _check_words(measurement, test, where)
        return replace(measurement, method=method)
    trials = tuple(value for value in measurement.trials if not isnan(value))
    _check_number(measurement, trials, test, where)
    return replace(measurement, trials=trials, method=method)


def find_test(key: str, catalogue: Catalogue) -> Test:
    """Look a test up; raises BadInput with the nearest key."""
    if key in catalogue.tests:
        return catalogue.tests[key]
    close = difflib.get_close_matches(key, catalogue.tests, n=1)
    hint = f"did you mean {close[0]!r}?" if close else f"use one of {', '.join(catalogue.tests)}"
    raise BadInput(f"{key!r} is not a test of the catalogue; {hint}")


def _check_side(measurement: Measurement, test: Test, where: str) -> None:
    if (test.sides == "both") is not (measurement.side is Side.BOTH):
        needed = "both sides together" if test.sides == "both" else "left or right"
        raise BadInput(f"{where}: this test is measured {needed}; change the side")


def _method(measurement: Measurement, test: Test, where: str) -> str:
    method = measurement.method or test.methods[0]
    if method not in test.methods:
        raise BadInput(f"{where}: method {method!r} was met; use one of {', '.join(test.methods)}")
    return method


def _check_words(measurement: Measurement, test: Test, where: str) -> None:
    words = [choice.key for choice in test.choices]
    if measurement.trials or measurement.unit:
        raise BadInput(f"{where}: this test is answered in words; use answer, without trials")
    if measurement.answer and measurement.answer not in words:
        raise BadInput(
            f"{where}: answer {measurement.answer!r} was met; use one of {', '.join(words)}"
        )


def _check_number(
    measurement: Measurement, trials: tuple[float, ...], test: Test, where: str
) -> None:
    if measurement.answer:
        raise BadInput(f"{where}: this test gives a number; use trials and unit, not an answer")
    if not trials:
        return
    if not measurement.unit:
        raise BadInput(f"{where}: trials without a unit; write one, such as {test.unit!r}")
    check_kind(measurement.unit, like=test.unit)
    for value in trials:
        _check_range(value, measurement.unit, test, where)


def _check_range(value: float, unit: str, test: Test, where: str) -> None:
    slip = (
        not isfinite(value)
        or _beyond(value, unit, test.lowest, -1)
        or _beyond(value, unit, test.highest, +1)
    )
    if slip:
        low, high = (_shown(limit) for limit in (test.lowest, test.highest))
        raise BadInput(
            f"{where}: {value:g} {unit} was met, values lie between {low} and {high};"
            " a slip of the pen?"
        )


def _beyond(value: float, unit: str, limit: Cited | None, sign: int) -> bool:
    rounding = 1e-9  # 200 cm and 2 m are the same limit
    return limit is not None and sign * (to_si(value, unit) - limit.si) > rounding


def _shown(limit: Cited | None) -> str:
    return "no limit" if limit is None else f"{limit.value:g} {limit.unit}"


def value_si(measurement: Measurement, *, catalogue: Catalogue) -> float | None:
    """Give the value the test keeps (mean or best of the trials) in SI units; None without."""
    if not measurement.trials:
        return None
    return to_si(kept_value(measurement, catalogue), measurement.unit)


def trials_si(measurement: Measurement) -> tuple[float, ...]:
    """Give every trial in SI units."""
    return tuple(to_si(value, measurement.unit) for value in measurement.trials)


def checked_visit(visit: Visit, *, catalogue: Catalogue) -> Visit:
    """
    Check all measurements of a visit, and that each stands in one place only.

    Raises
    ------
    BadInput
        If a measurement is refused, was made twice without a treatment between, or follows a
        treatment that is not there; if a treatment names no drill of the catalogue.
    """
    _check_treatments(visit, catalogue)
    measurements = tuple(checked(m, catalogue=catalogue) for m in visit.measurements)
    _refuse_twice(measurements)
    return replace(visit, measurements=measurements)


def _check_treatments(visit: Visit, catalogue: Catalogue) -> None:
    keys = [treatment.key for treatment in visit.treatments]
    if len(set(keys)) < len(keys):
        raise BadInput(f"visit of {visit.date}: two treatments have one key; give each its own")
    for treatment in visit.treatments:
        if treatment.drill not in catalogue.drills:
            raise BadInput(f"treatment {treatment.key!r}: {treatment.drill!r} is not a drill")
    for measurement in visit.measurements:
        if measurement.after and measurement.after not in keys:
            raise BadInput(
                f"{measurement.test}, {measurement.side}: after = {measurement.after!r} names no"
                f" treatment of the visit of {visit.date}"
            )


def _refuse_twice(measurements: Iterable[Measurement]) -> None:
    seen = set()
    for m in measurements:
        place = (m.test, m.side, m.method, m.after)
        if place in seen:
            raise BadInput(
                f"{m.test}, {m.side}: measured twice by {m.method} with nothing between; put all"
                " trials into one measurement, or name the treatment it follows in after"
            )
        seen.add(place)
