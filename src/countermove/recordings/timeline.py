"""
From printed times to an even axis: the rate, and where samples were lost.

Printed times are rounded: 450 Hz to three decimals reads 0, 0.002, 0.004, 0.007. A rate fits when
every printed time lies within its rounding of the even axis, so the rate is found from the whole
recording, never from one step.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from countermove.errors import AmbiguousRecording, UnreadableRecording
from countermove.record import QualityNote, Severity
from countermove.recordings.text import counted

JITTER = 0.1  # of a step: clocks that stamp each sample waver by this much
UNEVEN_MOST = 3.0  # of a step: a waver beyond this is no sampling rate
REPEATED_MOST = 0.01  # our default: more rows with a repeated time are no slip
ODD_STEPS = 10  # our default: so many odd steps show whether they come in turn or by chance
FLOAT_FUZZ = (
    1e-15  # of the time itself: a few last bits of a double, for times that count from 1970
)


@dataclass(frozen=True)
class Timeline:
    """
    An even axis, and where each row of the file stands on it.

    Attributes
    ----------
    step : float
        Between samples, in the unit of the column.
    start : float
        The first time, in the unit of the column.
    rows : ndarray of int or None
        The rows that are kept, in order; None for all as they stand.
    places : ndarray of float or None
        Where each kept row stands on the axis, in steps; None for one after the other.
    notes : tuple of QualityNote
        What was mended.
    """

    step: float
    start: float
    rows: NDArray[np.intp] | None = None
    places: NDArray[np.float64] | None = None
    notes: tuple[QualityNote, ...] = ()


def timeline_of(times: NDArray[np.float64], rounding: float, step: float | None = None) -> Timeline:
    """
    Find the even axis that a column of times was printed from.

    Parameters
    ----------
    times : ndarray, shape (n_rows,)
        Finite, in any unit.
    rounding : float
        The last printed digit, in that unit.
    step : float, optional
        Where the rate is known.

    Raises
    ------
    UnreadableRecording
        If the times do not rise, or rise so unevenly that there is no rate.
    AmbiguousRecording
        If they are printed too coarsely to tell; the flag is ``--rate``.
    """
    even = _even(times, rounding, step)
    if even is not None:
        return even
    order, notes = _in_order(times)
    kept, more = _once_each(times, order, rounding)
    known = times if kept is None else times[kept]
    even = _even(known, rounding, step)
    if even is not None:
        return Timeline(even.step, even.start, kept, None, notes + more)
    step, places = _with_gaps(known, rounding, step)
    if places is not None:
        return Timeline(step, float(known[0]), kept, places, notes + more)
    return _wavering(known, kept, notes + more)


def _even(times: NDArray[np.float64], rounding: float, step: float | None) -> Timeline | None:
    """Give the axis where no sample is lost and none stands out of order."""
    span = float(times[-1] - times[0])
    if span <= 0:
        return None
    turns = np.arange(times.size)
    for turn, guess in enumerate(_steps(span / (times.size - 1), rounding / span, step)):
        if turn and not _tells_steps_apart(times, rounding, guess):
            break
        rest = times - guess * turns
        if float(rest.max() - rest.min()) <= _slack(guess, rounding, times):
            return Timeline(guess, float(times[0]))
    return None


def _slack(step: float, rounding: float, times: NDArray[np.float64]) -> float:
    """Give how far printed times may lie from an even axis, from the earliest to the latest."""
    digits = step / rounding
    exact = abs(digits - round(digits)) < 1e-6  # every time can be printed as it is
    fuzz = FLOAT_FUZZ * float(abs(times[-1]) + abs(times[0]))
    return (0.0 if exact else 1.02 * rounding) + JITTER * step + fuzz


def _tells_steps_apart(times: NDArray[np.float64], rounding: float, step: float) -> bool:
    """
    Say whether a rate that is no whole number can be told from a whole one with a lost sample.

    Printed to a digit as coarse as the step, one lost sample in 5000 looks like 999.8 Hz.
    """
    if rounding <= JITTER * step:
        return True
    steps = np.diff(times)
    odd = np.abs(steps - np.median(steps)) > 0.5 * rounding
    return int(np.count_nonzero(odd)) >= ODD_STEPS


def _steps(step: float, error: float, known: float | None) -> tuple[float, ...]:
    """Give the steps to try: first for a whole number of samples a unit, then the step as it is."""
    if known is not None:
        return (known,)
    for unit in (1.0, 1e3, 1e6):  # times in seconds, milliseconds, microseconds
        rate = unit / step
        near = float(round(rate))
        if near >= 1 and abs(near / rate - 1) <= 2 * error + 1e-6:
            return (unit / near, step)
    return (step,)


def _in_order(
    times: NDArray[np.float64],
) -> tuple[NDArray[np.intp] | None, tuple[QualityNote, ...]]:
    steps = np.diff(times)
    if (steps >= 0).all():
        return None, ()
    order = np.argsort(times, kind="stable")
    back = int(np.flatnonzero(steps < 0)[0])
    ordered = times[order]
    if _repeats(ordered) or _has_wide_step(ordered):
        raise UnreadableRecording(
            f"time runs backwards after row {back + 1} (from {times[back]:g} to"
            f" {times[back + 1]:g}); if two recordings follow one another in the file, split it"
        )
    return order, (
        QualityNote(
            code="time-sorted",
            severity=Severity.NOTE,
            text=f"The rows stood out of order (first after row {back + 1}: time runs from"
            f" {times[back]:g} back to {times[back + 1]:g}); they were put in order of time.",
        ),
    )


def _repeats(times: NDArray[np.float64]) -> int:
    return int(np.count_nonzero(np.diff(times) <= 0))


def _has_wide_step(times: NDArray[np.float64]) -> bool:
    steps = np.diff(times)
    return bool(steps.max() > 10 * np.median(steps))


def _once_each(
    times: NDArray[np.float64], order: NDArray[np.intp] | None, rounding: float
) -> tuple[NDArray[np.intp] | None, tuple[QualityNote, ...]]:
    """Leave out rows that repeat the time of the row before."""
    ordered = times if order is None else times[order]
    again = np.flatnonzero(np.diff(ordered) <= 0) + 1
    if not again.size:
        return order, ()
    if again.size > REPEATED_MOST * times.size:
        raise _too_coarse(again.size, times.size, rounding)
    keep = np.ones(times.size, dtype=bool)
    keep[again] = False
    kept = np.flatnonzero(keep) if order is None else order[keep]
    return kept, (
        QualityNote(
            code="time-repeated",
            severity=Severity.NOTE,
            text=f"The time of the row before stands again in {counted(again.size, 'row')}"
            f" (first: row {again[0] + 1}, time {ordered[again[0]]:g}); what repeats was left out.",
        ),
    )


def _too_coarse(n_again: int, n_rows: int, rounding: float) -> Exception:
    if n_again == n_rows - 1:
        return UnreadableRecording(
            "the time never changes; check the column of time, or leave it out and pass --rate"
        )
    return AmbiguousRecording(
        f"{n_again} of {n_rows} rows repeat the time of the row before, and no even rate fits; the"
        f" time may be printed too coarsely (last digit {rounding:g}): pass --rate",
        flag="--rate",
    )


def _with_gaps(
    times: NDArray[np.float64], rounding: float, known: float | None
) -> tuple[float, NDArray[np.float64] | None]:
    """Give the step, and the place of each row where every time fits a whole place."""
    steps = np.diff(times)
    short = steps[steps <= 1.5 * np.median(steps)]
    step = float(short.mean()) if known is None else known
    for _ in range(2):  # the second round has the whole length to measure the step by
        places = np.rint((times - times[0]) / step) if step > 0 else times
        if known is None and places[-1] > 0:
            step = float((times[-1] - times[0]) / places[-1])
    for guess in _steps(step, rounding / float(times[-1] - times[0]), known):
        places = np.rint((times - times[0]) / guess)
        rest = times - guess * places
        fits = float(rest.max() - rest.min()) <= _slack(guess, rounding, times)
        if fits and (np.diff(places) >= 1).all():
            return guess, places
    return step, None


def _wavering(
    times: NDArray[np.float64], kept: NDArray[np.intp] | None, notes: tuple[QualityNote, ...]
) -> Timeline:
    """Take times that rise, but not evenly, as they are: the force is read between them."""
    step = float((times[-1] - times[0]) / (times.size - 1))
    widest = float(np.diff(times).max()) / step
    if widest > UNEVEN_MOST:
        raise UnreadableRecording(
            f"the time rises unevenly: steps reach {widest:.1f} times the mean step, and no rate"
            " fits; export with the plate's own rate, or pass --rate and leave the time out"
        )
    note = QualityNote(
        code="uneven-time",
        severity=Severity.DOUBT,
        text=f"The samples are not evenly spaced (steps reach {widest:.1f} times the mean step);"
        " the force was read off between them. Use the plate's own clock.",
    )
    return Timeline(step, float(times[0]), kept, (times - times[0]) / step, (*notes, note))
