"""
Left against right: a difference is told only beyond what measuring alone explains.

Healthy sides differ too, so a difference beyond the error is something to look at, no finding by
itself. The line is the published MDC95 of the difference between sides where there is one, and else
that of the value, 1.96 √2 SEM, since a difference of two values carries the error of both.
"""

from __future__ import annotations

from countermove.catalogue import Catalogue
from countermove.errors import BadInput
from countermove.examination.measurement_errors import KnownError, error_of
from countermove.examination.readings import checked, value_si
from countermove.examination.sentences import amount, sources_named
from countermove.record import Measurement, Side


def asymmetry(
    left: Measurement, right: Measurement, *, catalogue: Catalogue
) -> tuple[str, tuple[str, ...]]:
    """
    Say a difference between sides that lies beyond the error.

    Parameters
    ----------
    left, right : Measurement
        The same test by the same method.
    catalogue : Catalogue
        Holds the test and its errors.

    Returns
    -------
    tuple of str and tuple of str
        A sentence and its source keys; both empty if the difference is inside the error, or no
        error is published, or a side was not measured.

    Raises
    ------
    BadInput
        If the two are not of one series.
    """
    left, right = (checked(m, catalogue=catalogue) for m in (left, right))
    if (left.test, left.method) != (right.test, right.method):
        raise BadInput(
            f"{left.test} by {left.method} and {right.test} by {right.method} are two series;"
            " compare sides within one"
        )
    values = [value_si(m, catalogue=catalogue) for m in (left, right)]
    if None in values:
        return "", ()
    low, high = (value for value in values if value is not None)
    known = side_error(left, (abs(low) + abs(high)) / 2, catalogue)
    if known is None or abs(low - high) <= known.mdc95:
        return "", ()
    return _sentence(left, low - high, known, catalogue), known.sources


def side_error(measurement: Measurement, value: float, catalogue: Catalogue) -> KnownError | None:
    """Give the error of the difference between sides; that of the value where none is published."""
    test, method = catalogue.tests[measurement.test], measurement.method
    own = error_of(test, value, method=method, of="difference between sides")
    return own or error_of(test, value, method=method)


def _sentence(
    measurement: Measurement, difference: float, known: KnownError, catalogue: Catalogue
) -> str:
    less = Side.RIGHT if difference > 0 else Side.LEFT
    more = Side.LEFT if less is Side.RIGHT else Side.RIGHT
    unit = measurement.unit
    return (
        f"{catalogue.tests[measurement.test].name}: the {less} is {amount(abs(difference), unit)}"
        f" less than the {more}, more than the {amount(known.mdc95, unit)} that measuring alone"
        f" explains ({sources_named(known.sources, catalogue)})."
    )
