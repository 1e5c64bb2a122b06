"""
The error that belongs to a measurement, chosen from what is published for its method.

A value is compared with a target through the error *between days* of the same tester: would the
value still be there tomorrow? Two values of one visit are compared through the error *within the
session*. Where that one is not published, the nearest is taken and said, in the order
`_nearest` gives. An error is never borrowed from another method, and never divided by the number
of trials: the published one belongs to the value as the test keeps it, and the part of it that
comes from one day to the next does not shrink with trials of one day.

With SEM the standard error of measurement, a measured value is within ± 1.96 SEM of the true one,
and two values differ by more than MDC95 = 1.96 √2 SEM = 2.772 SEM, 19 times in 20 each.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import sqrt
from typing import Literal

from countermove.catalogue import Test, TestError
from countermove.errors import BadInput

Z95 = 1.96
Tester = Literal["same", "different"]
Occasion = Literal["within session", "between days"]
Of = Literal["value", "difference between sides"]


def sem_from_icc(sd: float, icc: float) -> float:
    """
    Standard error of measurement from the spread of a group and the reliability.

    Parameters
    ----------
    sd : float
        Standard deviation between people.
    icc : float
        Intraclass correlation, 0 to 1.

    Raises
    ------
    BadInput
        If `sd` is negative or `icc` is not between 0 and 1.

    References
    ----------
    .. [1] J. P. Weir, "Quantifying test-retest reliability using the intraclass correlation
       coefficient and the SEM," J. Strength Cond. Res., vol. 19, pp. 231-240, 2005 (from memory).
    """
    if sd < 0 or not 0 <= icc <= 1:
        raise BadInput(f"sd {sd:g} and icc {icc:g} were met; sd is not negative, icc is 0 to 1")
    return sd * sqrt(1 - icc)


def mdc95(sem: float) -> float:
    """Smallest difference of two values outside the error, 19 times in 20: 1.96 √2 SEM."""
    return Z95 * sqrt(2) * _not_negative(sem)


def sem_from_mdc95(mdc: float) -> float:
    """Standard error of measurement behind a printed MDC95; the inverse of `mdc95`."""
    return _not_negative(mdc) / (Z95 * sqrt(2))


def sem_from_cv(cv: float, value: float) -> float:
    """Standard error of measurement of a value from a coefficient of variation (a fraction)."""
    return _not_negative(cv) * abs(value)


def half_width(sem: float) -> float:
    """Half-width of the 95 % band around one measured value: 1.96 SEM."""
    return Z95 * _not_negative(sem)


def _not_negative(number: float) -> float:
    if number < 0:
        raise BadInput(f"{number:g} was met; an error is never negative")
    return number


@dataclass(frozen=True, kw_only=True)
class KnownError:
    """
    A published error, ready to use.

    Attributes
    ----------
    sem : float
        Standard error of measurement. [SI unit of the test]
    mdc95 : float
        Smallest difference of two values outside the error. [SI unit of the test] As printed where
        both are printed, and from the other where one is.
    borrowed : str
        How its circumstances differ from those asked for, in words; empty if they do not.
    sources : tuple of str
        Source keys.
    """

    sem: float
    mdc95: float
    borrowed: str
    sources: tuple[str, ...]


def error_of(
    test: Test,
    value: float,
    *,
    method: str,
    tester: Tester = "same",
    occasion: Occasion = "between days",
    of: Of = "value",
) -> KnownError | None:
    """
    Choose the published error for a value.

    Parameters
    ----------
    test : Test
        Holds the published errors.
    value : float
        The measured value, for errors printed as a coefficient of variation. [SI]
    method : str
        How it was measured; only errors of this method count.
    tester : {"same", "different"}
        Whether the same person measures both times.
    occasion : {"within session", "between days"}
        How far apart.
    of : {"value", "difference between sides"}
        What the error belongs to.

    Returns
    -------
    KnownError or None
        None if nothing is published for this method.
    """
    fitting = {(e.occasion, e.tester): e for e in test.errors if (e.method, e.of) == (method, of)}
    for circumstances in _nearest(occasion, tester):
        if circumstances in fitting:
            entry = fitting[circumstances]
            return _known(entry, value, _borrowed(entry, occasion, tester))
    return None


def _nearest(occasion: Occasion, tester: Tester) -> list[tuple[str, str]]:
    """Order circumstances from the asked to the farthest; the occasion weighs more."""
    occasions = sorted(("between days", "within session"), key=lambda word: word != occasion)
    testers = sorted(("same", "different"), key=lambda word: word != tester)
    return list(product(occasions, testers))


def _known(entry: TestError, value: float, borrowed: str) -> KnownError:
    sem = None if entry.sem is None else entry.sem.si
    difference = None if entry.mdc95 is None else entry.mdc95.si
    printed = entry.sem or entry.mdc95 or entry.cv
    if printed is None:
        raise BadInput(f"the error for {entry.method} holds neither sem, mdc95 nor cv")
    if sem is None and difference is None:
        sem = sem_from_cv(printed.si, value)
    if sem is None:
        sem = sem_from_mdc95(difference or 0.0)
    if difference is None:
        difference = mdc95(sem)
    return KnownError(sem=sem, mdc95=difference, borrowed=borrowed, sources=(printed.source,))


def _borrowed(entry: TestError, occasion: str, tester: str) -> str:
    if entry.occasion != occasion and entry.occasion == "within session":
        return "published for one session only; from day to day it may be larger"
    if entry.occasion != occasion:
        return "published between days only; within one session it may be smaller"
    return "" if entry.tester == tester else f"published for {entry.tester} testers only"
