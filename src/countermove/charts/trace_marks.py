"""
What is marked on a force trace: where numbers stand, and which stretch is worth showing.

The same marks go to the drawing and to the page's script, so both say the same.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from countermove.record import Trial
from countermove.recordings import ForceTrace
from countermove.units import from_si

LEAD_S = 0.7  # of standing shown before the movement (our default)
NARROW_LEAD_S = 0.15  # the same on a phone (our default)
SETTLING_S = 0.55  # shown after the lowest point of the landing (our default)
EMPTY_MARGIN_S = 0.05  # the plate rings this long after take-off (our default)
LOADED_SHARE = 0.05  # of weight; with more, the feet have not left, as in `jumps`
STEP_BACK_S = 0.03  # integration starts so long before the onset, as in `jumps`


@dataclass(frozen=True, kw_only=True)
class Point:
    """
    A number and the place on the trace where it stands.

    Attributes
    ----------
    key : str
        ``least``, ``bottom``, ``peak``, ``power``, ``takeoff`` or ``landing``.
    letter : str
        a, b, c in order of time.
    time_s, force_n : float
        Where the circle is drawn. [s], [N]
    text, under : str
        The number with its unit, and what it is.
    """

    key: str
    letter: str
    time_s: float
    force_n: float
    text: str
    under: str


def force_at_zero(trace: ForceTrace, trial: Trial) -> NDArray[np.float64]:
    """
    Give the force on each plate with the plate's own empty level in flight taken off.

    Only for drawing: the numbers come from `jumps`, which looks for the zero more widely.

    Parameters
    ----------
    trace : ForceTrace
        The recording.
    trial : Trial
        Its flight tells the empty level.

    Returns
    -------
    ndarray, shape (n_plates, n_samples)
        [N] As recorded where the trial holds no flight of 0.1 s.
    """
    if trial.takeoff_s is None or trial.landing_s is None:
        return trace.force_n
    first = _index(trace, trial.takeoff_s + EMPTY_MARGIN_S)
    last = _index(trace, trial.landing_s - EMPTY_MARGIN_S / 2)
    if last - first < EMPTY_MARGIN_S / 2 * trace.rate_hz:
        return trace.force_n
    empty = trace.force_n[:, first:last].mean(axis=1, keepdims=True)
    return np.asarray(trace.force_n - empty)


def moved_from(trial: Trial, found: Trial) -> list[float]:
    """
    Give where the events were found that a hand moved.

    Parameters
    ----------
    trial, found : Trial
        As used, and without what a hand set.

    Returns
    -------
    list of float
        Onset, take-off and landing, those that differ. [s]
    """
    names = ("onset_s", "takeoff_s", "landing_s")
    pairs = [(getattr(trial, name), getattr(found, name)) for name in names]
    return [there for here, there in pairs if there is not None and here != there]


def span_shown(trace: ForceTrace, trial: Trial, *, lead_s: float = LEAD_S) -> tuple[float, float]:
    """
    Give the stretch of time worth showing at first: some standing, the jump, the settling.

    Parameters
    ----------
    trace : ForceTrace
        The recording; the stretch lies within it.
    trial : Trial
        The jump.
    lead_s : float, optional
        How much standing to show. [s]

    Returns
    -------
    tuple of float
        Start and end on the recording's axis. [s]
    """
    end_of_trace = trace.start_s + trace.duration_s
    moves = [p.start_s for p in trial.phases if p.name != "weighing"]
    first = min(moves, default=trace.start_s if trial.takeoff_s is None else trial.takeoff_s - 1)
    last = max((phase.end_s for phase in trial.phases), default=end_of_trace)
    return max(trace.start_s, first - lead_s), min(end_of_trace, last + SETTLING_S)


def points_of(
    trace: ForceTrace, trial: Trial, *, length_unit: str = "cm", found: Trial | None = None
) -> tuple[Point, ...]:
    """
    Give the numbers that have a place on the trace, in order of time.

    Parameters
    ----------
    trace : ForceTrace
        The recording.
    trial : Trial
        The jump.
    length_unit : str, optional
        For heights: ``cm`` or ``in``.
    found : Trial, optional
        The same jump without what a hand set: its flight tells the empty plate.

    Returns
    -------
    tuple of Point
        Lettered from a; a number that the trial lacks is left out.
    """
    total = force_at_zero(trace, found or trial).sum(axis=0)
    places = [
        place
        for place in (
            _least(trace, trial, total),
            _bottom(trace, trial, total, length_unit),
            _power(trace, trial, total),
            _takeoff(trace, trial, total, length_unit),
            _landing(trace, trial, total),
        )
        if place is not None
    ]
    places.sort(key=lambda place: place[1])
    return tuple(
        Point(key=key, letter=letter, time_s=at, force_n=force, text=text, under=under)
        for letter, (key, at, force, text, under) in zip("abcde", places, strict=False)
    )


Place = tuple[str, float, float, str, str]


def _index(trace: ForceTrace, time_s: float) -> int:
    return int(np.clip(round((time_s - trace.start_s) * trace.rate_hz), 0, trace.force_n.shape[1]))


def _extreme(
    trace: ForceTrace, total: NDArray[np.float64], start_s: float, end_s: float, *, least: bool
) -> tuple[float, float] | None:
    first, last = _index(trace, start_s), _index(trace, end_s) + 1
    part = total[first:last]
    if not part.size:
        return None
    at = int(np.argmin(part) if least else np.argmax(part))
    return trace.start_s + (first + at) / trace.rate_hz, float(part[at])


def _least(trace: ForceTrace, trial: Trial, total: NDArray[np.float64]) -> Place | None:
    if trial.min_force_n is None or trial.onset_s is None or trial.bottom_s is None:
        return None
    found = _extreme(trace, total, trial.onset_s, trial.bottom_s, least=True)
    return found and ("least", *found, f"{trial.min_force_n:.0f} N", "least force")


def _bottom(
    trace: ForceTrace, trial: Trial, total: NDArray[np.float64], length_unit: str
) -> Place | None:
    """Mark the lowest point, or in a squat jump, which has none of its own, the greatest force."""
    if trial.bottom_s is not None and trial.bottom_force_n is not None:
        under = "lowest point"
        if trial.depth_m is not None:
            under = f"lowest point, {from_si(trial.depth_m, length_unit):.1f} {length_unit} down"
        at = _index(trace, trial.bottom_s)
        force = float(total[min(at, total.size - 1)])
        return "bottom", trial.bottom_s, force, f"{trial.bottom_force_n:.0f} N", under
    push = next((phase for phase in trial.phases if phase.name == "propulsion"), None)
    if push is None or trial.peak_force_n is None:
        return None
    found = _extreme(trace, total, push.start_s, push.end_s, least=False)
    return found and ("peak", *found, f"{trial.peak_force_n:.0f} N", "greatest force")


def _power(trace: ForceTrace, trial: Trial, total: NDArray[np.float64]) -> Place | None:
    """Find where power peaks: the trial holds how much, the push tells when."""
    onset, takeoff, weight, mass = trial.onset_s, trial.takeoff_s, trial.weight_n, trial.mass_kg
    if onset is None or takeoff is None or weight is None or mass is None:
        return None
    first = _index(trace, onset - STEP_BACK_S)
    force = total[first : _index(trace, takeoff)]
    if not force.size or trial.peak_power_w is None:
        return None
    velocity = np.cumsum(force - weight) / mass / trace.rate_hz
    at = int(np.argmax(force * velocity))
    when = trace.start_s + (first + at) / trace.rate_hz
    return "power", when, float(force[at]), f"{trial.peak_power_w / mass:.1f} W/kg", "peak power"


def _takeoff(
    trace: ForceTrace, trial: Trial, total: NDArray[np.float64], length_unit: str
) -> Place | None:
    """Mark take-off: on the floor, or on the line where a hand set it before the feet left."""
    if trial.takeoff_s is None or trial.height_impulse_m is None:
        return None
    text = f"{from_si(trial.height_impulse_m, length_unit):.1f} {length_unit}"
    force = float(total[min(_index(trace, trial.takeoff_s), total.size - 1)])
    left = force < LOADED_SHARE * (trial.weight_n or np.inf)
    return (
        "takeoff",
        trial.takeoff_s,
        0.0 if left else force,
        text,
        f"leaves at {trial.takeoff_velocity_m_s:.2f} m/s",
    )


def _landing(trace: ForceTrace, trial: Trial, total: NDArray[np.float64]) -> Place | None:
    phase = next((phase for phase in trial.phases if phase.name == "landing"), None)
    if phase is None or trial.landing_peak_n is None:
        return None
    found = _extreme(trace, total, phase.start_s, phase.end_s, least=False)
    times = f", {trial.landing_peak_n / trial.weight_n:.1f} times weight" if trial.weight_n else ""
    return found and ("landing", *found, f"{trial.landing_peak_n:.0f} N", f"landing{times}")
