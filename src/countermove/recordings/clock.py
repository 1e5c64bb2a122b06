"""
The sampling rate: from the caller, from the times, or from what the file states.

No jump is recorded below 50 Hz or above 20 kHz, and none lasts less than half a second or more than
some hours. Seconds and milliseconds are a thousand apart, so at most one of them fits a column.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from countermove.errors import AmbiguousRecording, UnreadableRecording
from countermove.record import QualityNote, Severity
from countermove.recordings.options import ForceOptions
from countermove.recordings.timeline import Timeline, timeline_of

SECONDS = {"s": 1.0, "ms": 1e-3, "us": 1e-6}
WORDS = {"s": "seconds", "ms": "milliseconds", "us": "microseconds"}
SLOWEST_HZ = 50.0  # our default: a push-off of 0.3 s would have 15 samples
FASTEST_HZ = 20_000.0  # our default: above any plate's amplifier
SHORTEST_S = 0.5  # our default: a flight alone lasts as long
SLOW_BUT_TRUE_HZ = (
    5.0  # at this rate and above, "seconds" may be true of a file too slow for a jump
)
LEAST_SPAN = 1e-9  # in any unit: no clock has run
AGREE = 0.02  # our default: a stated and a measured rate that differ by more contradict each other


@dataclass(frozen=True)
class Clock:
    """
    An even axis in seconds, and where each row of the file stands on it.

    Attributes
    ----------
    rate_hz, start_s : float
        Samples a second, and time of the first. [Hz], [s]
    rows, places : ndarray or None
        As in `Timeline`.
    notes : tuple of QualityNote
        What was found out or mended.
    """

    rate_hz: float
    start_s: float = 0.0
    rows: NDArray[np.intp] | None = None
    places: NDArray[np.float64] | None = None
    notes: tuple[QualityNote, ...] = ()


@dataclass(frozen=True)
class Stamps:
    """A column of times: its values, the last printed digit, and the unit its heading names."""

    values: NDArray[np.float64]
    rounding: float
    unit: str = ""


def clock_from(
    stamps: list[Stamps], stated_hz: tuple[float, ...], n_rows: int, options: ForceOptions
) -> Clock:
    """
    Find the rate.

    Parameters
    ----------
    stamps : list of Stamps
        The columns of time; the first is used, the others must agree with it.
    stated_hz : tuple of float
        Rates that the lines above the table state.
    n_rows : int
        Samples in the file.
    options : ForceOptions
        `rate_hz` and `time_unit` settle what is open.

    Raises
    ------
    AmbiguousRecording
        If no rate is known, or several; the flag is ``--rate``, ``--time`` or ``--time-unit``.
    UnreadableRecording
        If the rate cannot hold a jump, or the times are no axis.
    """
    if not stamps:
        clock = Clock(_rate_without_times(stated_hz, options))
    else:
        clock = _from_times(stamps[0], stated_hz, options)
        for other in stamps[1:]:
            _refuse_two_times(clock, _from_times(other, stated_hz, options))
    return _able_to_hold_a_jump(clock, n_rows)


def clock_from_counter(counter: NDArray[np.float64], clock: Clock) -> Clock:
    """Place rows by a column that numbers the samples, where it shows that some were lost."""
    steps = np.diff(counter)
    lost = steps > 1
    if not (steps >= 1).all() or not lost.any() or lost.mean() > 0.1 or (steps % 1).any():
        return clock
    return replace(clock, places=counter - counter[0])


def _rate_without_times(stated_hz: tuple[float, ...], options: ForceOptions) -> float:
    if options.rate_hz is not None:
        return options.rate_hz
    if len(stated_hz) == 1:
        return stated_hz[0]
    if stated_hz:
        listed = ", ".join(f"{rate:g} Hz" for rate in stated_hz)
        raise AmbiguousRecording(
            f"the file states several rates ({listed}) and has no column of time; pass --rate with"
            " the rate of the force",
            flag="--rate",
        )
    raise AmbiguousRecording(
        "the file states no sampling rate and has no column of time; pass --rate, in samples a"
        " second",
        flag="--rate",
    )


def _from_times(stamps: Stamps, stated_hz: tuple[float, ...], options: ForceOptions) -> Clock:
    if options.rate_hz is not None:
        return _at_given_rate(stamps.values, stamps.rounding, options)
    times = stamps.values
    if times.size < 2 or abs(times[-1] - times[0]) < LEAST_SPAN:
        raise UnreadableRecording(
            "the time never changes; check the column of time, or leave it out and pass --rate"
        )
    line = timeline_of(times, stamps.rounding)
    unit, notes = _unit_of(line, stamps, stated_hz, options)
    clock = _in_seconds(line, unit, notes)
    if stated_hz and not any(_agree(clock.rate_hz, rate) for rate in stated_hz):
        raise _contradiction(clock.rate_hz, stated_hz)
    return clock


def _at_given_rate(times: NDArray[np.float64], rounding: float, options: ForceOptions) -> Clock:
    """Use the times only to find lost samples; the rate is the caller's."""
    rate = float(options.rate_hz or 0.0)
    step = float(np.median(np.diff(times))) if times.size > 1 else 0.0
    mean = float(times[-1] - times[0]) / max(1, times.size - 1)
    for unit, seconds in SECONDS.items():
        fits = any(
            found > LEAST_SPAN and _agree(rate, 1 / (found * seconds)) for found in (step, mean)
        )
        if fits and options.time_unit in (None, unit):
            line = timeline_of(times, rounding, 1 / (rate * seconds))
            return replace(_in_seconds(line, unit, ()), rate_hz=rate)
    note = QualityNote(
        code="time-ignored",
        severity=Severity.NOTE,
        text=f"The column of time (steps of {step:g}) does not fit the rate of {rate:g} Hz that"
        " was passed; it was left out, and the samples were taken as evenly spaced.",
    )
    return Clock(rate, notes=(note,))


def _in_seconds(line: Timeline, unit: str, notes: tuple[QualityNote, ...]) -> Clock:
    seconds = SECONDS[unit]
    rate = 1 / (line.step * seconds)
    near = round(rate)
    rate = float(near) if near and abs(rate / near - 1) < 1e-9 else rate  # 1 / 0.001 is not 1000
    return Clock(rate, line.start * seconds, line.rows, line.places, (*line.notes, *notes))


def _unit_of(
    line: Timeline, stamps: Stamps, stated_hz: tuple[float, ...], options: ForceOptions
) -> tuple[str, tuple[QualityNote, ...]]:
    if options.time_unit is not None:
        return options.time_unit, ()
    named = stamps.unit if stamps.unit in SECONDS else ""
    unit = _fitting_unit(line, stamps, named, stated_hz)
    return unit, () if unit == (named or "s") else _unit_note(unit, named, line.step)


def _fitting_unit(line: Timeline, stamps: Stamps, named: str, stated_hz: tuple[float, ...]) -> str:
    span = float(stamps.values[-1] - stamps.values[0])
    fitting = [unit for unit in SECONDS if _plausible(line.step, span, unit)]
    agreeing = [u for u in fitting if any(_agree(_rate(line.step, u), r) for r in stated_hz)]
    if named in fitting and (named in agreeing or not agreeing):
        return named
    if agreeing:
        return agreeing[0]
    if SLOW_BUT_TRUE_HZ <= _rate(line.step, named or "s") < SLOWEST_HZ:
        return _slow_or_asked(line.step, named or "s", fitting)
    return fitting[0] if fitting else named or "s"


def _rate(step: float, unit: str) -> float:
    return 1 / (step * SECONDS[unit])


def _plausible(step: float, span: float, unit: str) -> bool:
    in_range = SLOWEST_HZ * (1 - 1e-9) <= _rate(step, unit) <= FASTEST_HZ * (1 + 1e-9)
    return in_range and span * SECONDS[unit] >= SHORTEST_S


def _slow_or_asked(step: float, unit: str, fitting: list[str]) -> str:
    """A file of 10 Hz is too slow, unless its times in another unit would be a fast recording."""
    if not fitting:
        return unit
    raise AmbiguousRecording(
        f"the times step by {step:g}: in {WORDS[unit]} that is {_rate(step, unit):g} Hz, too slow"
        f" for a jump, in {WORDS[fitting[0]]} {_rate(step, fitting[0]):g} Hz; pass --time-unit",
        flag="--time-unit",
    )


def _unit_note(unit: str, named: str, step: float) -> tuple[QualityNote, ...]:
    said = f"The heading says {WORDS[named]}" if named else "The heading names no unit"
    return (
        QualityNote(
            code=f"time-in-{unit}",
            severity=Severity.NOTE,
            text=f"{said}, but the times step by {step:g}, which only {WORDS[unit]} make a sampling"
            f" rate ({_rate(step, unit):g} Hz); they were read as {WORDS[unit]}.",
        ),
    )


def _agree(one: float, other: float) -> bool:
    return abs(one - other) <= AGREE * max(one, other)


def _contradiction(measured_hz: float, stated_hz: tuple[float, ...]) -> AmbiguousRecording:
    listed = " and ".join(f"{rate:g} Hz" for rate in stated_hz)
    return AmbiguousRecording(
        f"the file states {listed}, its column of time steps at {measured_hz:g} Hz; pass --rate"
        " with the one that is true of the force",
        flag="--rate",
    )


def _refuse_two_times(clock: Clock, other: Clock) -> None:
    if not _agree(clock.rate_hz, other.rate_hz):
        raise AmbiguousRecording(
            f"two columns of time disagree ({clock.rate_hz:g} Hz and {other.rate_hz:g} Hz); pass"
            " --time with the one of the force",
            flag="--time",
        )


def _able_to_hold_a_jump(clock: Clock, n_rows: int) -> Clock:
    rate = clock.rate_hz
    if rate < SLOWEST_HZ * (1 - 1e-9):
        raise UnreadableRecording(
            f"the recording has {rate:g} samples a second; a push-off lasts about 0.3 s, so a jump"
            f" needs at least {SLOWEST_HZ:g} Hz, better 1000 Hz: record faster, or export without"
            " thinning out"
        )
    if rate > FASTEST_HZ * (1 + 1e-9):
        raise UnreadableRecording(
            f"the recording would have {rate:g} samples a second, more than any force plate; check"
            " the column and unit of time, or pass --rate"
        )
    if n_rows < SHORTEST_S * rate:
        raise UnreadableRecording(
            f"the file holds {n_rows} samples, {n_rows / rate:.2g} s at {rate:g} Hz; a jump needs"
            " some seconds: check that the whole recording was exported"
        )
    return clock
