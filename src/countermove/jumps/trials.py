"""From a reading to the numbers of a `Trial`, each metric in one place."""

from __future__ import annotations

from typing import Any

import numpy as np

from countermove.jumps.checks import Floats
from countermove.jumps.heights import height_from_standing
from countermove.jumps.margins import height_error_from_weight
from countermove.jumps.motion import Motion, power_w, propulsive_work_j
from countermove.jumps.ratios import rsi_modified
from countermove.jumps.reading import Reading
from countermove.jumps.shares import left_of, share_of_impulse
from countermove.record import JumpKind, Phase, QualityNote, Trial


def trial_from(reading: Reading, number: int, quality: tuple[QualityNote, ...]) -> Trial:
    """Give the trial of one reading."""
    values: dict[str, Any] = _flight_values(reading)
    if reading.weighing is not None or reading.mass_kg is not None:
        values |= _weighing_values(reading)
    if reading.motion is not None and reading.lifts:
        values |= _push_values(reading, reading.motion)
        values |= _onset_values(reading, values["height_impulse_m"])
    values |= _share_values(reading)
    return Trial(
        kind=reading.kind, number=number, phases=_phases(reading), quality=quality, **values
    )


def _flight_values(reading: Reading) -> dict[str, float | None]:
    """Take-off, landing and what the time between gives."""
    edges = reading.edges
    return {
        "takeoff_s": reading.at(edges.takeoff),
        "landing_s": None if edges.landing is None else reading.at(edges.landing),
        "flight_s": reading.flight_s,
        "height_flight_m": reading.height_flight_m,
        "landing_peak_n": _landing_peak(reading),
    }


def _landing_peak(reading: Reading) -> float | None:
    """Greatest force from landing to the lowest point after it."""
    if reading.edges.landing is None or reading.lowest is None:
        return None
    first, last = int(reading.edges.landing), int(reading.lowest) + 1
    return float(reading.force_n[first:last].max())


def _weighing_values(reading: Reading) -> dict[str, float | None]:
    """Weight and mass, and where they were weighed."""
    weighing = reading.weighing
    mass = reading.mass_kg
    if mass is None and reading.motion is not None:
        mass = reading.motion.mass_kg
    values: dict[str, float | None] = {"mass_kg": mass}
    if weighing is not None:
        values |= {
            "weight_n": weighing.weight_n,
            "weight_sd_n": weighing.sd_n,
            "weighing_start_s": reading.at(weighing.span.start),
            "weighing_end_s": reading.at(weighing.span.stop),
        }
    return values


def _push_values(reading: Reading, motion: Motion) -> dict[str, float | None]:
    """All that the integrated push gives."""
    velocity, force = motion.velocity_m_s, motion.force_n
    work = propulsive_work_j(motion)
    propulsion = float(motion.time_s[-1]) - motion.bottom_s
    from_standing = reading.kind is not JumpKind.SJ and not reading.rebound
    height = reading.height_impulse_m or 0.0
    rise = float(motion.position_m[-1])
    above = float(height_from_standing(rise, motion.takeoff_velocity_m_s))
    values: dict[str, float | None] = {
        "height_impulse_m": height,
        "height_impulse_sd_m": _height_sd(reading, motion),
        "takeoff_velocity_m_s": motion.takeoff_velocity_m_s,
        "peak_velocity_m_s": float(velocity.max()),
        "peak_force_n": float(force.max()),
        "depth_m": None if reading.rebound else max(0.0, -float(motion.position_m.min())),
        "rise_to_takeoff_m": rise if from_standing else None,
        "height_standing_m": above if from_standing else None,
        "propulsion_s": propulsion,
        "propulsion_impulse_n_s": motion.mass_kg * motion.takeoff_velocity_m_s,
        "peak_power_w": float(power_w(motion).max()),
        "propulsive_work_j": work,
        "mean_propulsive_power_w": work / propulsion,
    }
    return values | (_countermovement_values(reading, motion) if motion.goes_down else {})


def _countermovement_values(reading: Reading, motion: Motion) -> dict[str, float | None]:
    """What a drop before the push adds."""
    fastest = float(motion.time_s[motion.fastest_down])
    down = motion.mass_kg * float(motion.velocity_m_s[motion.fastest_down])
    rebound = reading.rebound
    return {
        "braking_start_s": fastest + reading.trace.start_s,
        "bottom_s": motion.bottom_s + reading.trace.start_s,
        "braking_s": motion.bottom_s - fastest,
        "min_velocity_m_s": float(motion.velocity_m_s[motion.fastest_down]),
        "min_force_n": None if rebound else float(motion.force_n[: motion.bottom].min()),
        "bottom_force_n": float(np.interp(motion.bottom_s, motion.time_s, motion.force_n)),
        "unweighting_impulse_n_s": None if rebound else down,
        "braking_impulse_n_s": -down,
    }


def _onset_values(reading: Reading, height: float) -> dict[str, float | None]:
    """Times that count from the onset."""
    onset, motion = reading.onset, reading.motion
    if onset is None or motion is None:
        return {}
    time = (reading.edges.takeoff - onset.sample) / reading.rate_hz
    squat = reading.kind is JumpKind.SJ  # the measure is defined for the countermovement jump
    fastest = float(motion.time_s[motion.fastest_down])
    unweighting = fastest - onset.sample / reading.rate_hz
    return {
        "onset_s": reading.at(onset.sample),
        "time_to_takeoff_s": time,
        "rsi_modified_m_s": None if squat else float(rsi_modified(height, time)),
        "unweighting_s": unweighting if motion.goes_down else None,
    }


def _height_sd(reading: Reading, motion: Motion) -> float | None:
    """Error of the height that the weighing leaves, by the law of `margins`."""
    if reading.weighing is None or reading.mass_kg is not None:
        return None
    relative = reading.weighing.se_n / reading.weighing.weight_n
    velocity = motion.takeoff_velocity_m_s
    return abs(float(height_error_from_weight(-relative, reading.push_s, velocity)))


def _share_values(reading: Reading) -> dict[str, float | None]:
    """The left foot's part of each phase."""
    left = left_of(reading.trace, reading.zero.spans)
    if left is None:
        return {}
    whole, rate = reading.force_n, reading.rate_hz
    values: dict[str, float | None] = {}
    weighing, motion = reading.weighing, reading.motion
    if weighing is not None:
        span = weighing.span
        values["left_share_weighing"] = share_of_impulse(left, whole, span.start, span.stop - 1)
    if motion is not None and reading.lifts:
        bottom, takeoff = motion.bottom_s * rate, reading.edges.takeoff
        values["left_share_propulsion"] = share_of_impulse(left, whole, bottom, takeoff)
        if motion.goes_down:
            fastest = float(motion.time_s[motion.fastest_down]) * rate
            values["left_share_braking"] = share_of_impulse(left, whole, fastest, bottom)
    values["left_share_landing"] = _landing_share(reading, left)
    return values


def _landing_share(reading: Reading, left: Floats) -> float | None:
    """Left foot's part of the landing peak."""
    if reading.edges.landing is None or reading.lowest is None:
        return None
    first, last = int(reading.edges.landing), int(reading.lowest) + 1
    peak = first + int(np.argmax(reading.force_n[first:last]))
    return float(left[peak] / reading.force_n[peak])


def _phases(reading: Reading) -> tuple[Phase, ...]:
    """Name the stretches of a jump, in order."""
    at, rate = reading.at, reading.rate_hz
    takeoff = reading.edges.takeoff
    marks: list[tuple[str, float, float]] = []
    weighing, onset, motion = reading.weighing, reading.onset, reading.motion
    if weighing is not None and weighing.span.stop <= takeoff:
        marks.append(("weighing", weighing.span.start, weighing.span.stop))
    if motion is not None and reading.lifts:
        bottom = motion.bottom_s * rate
        if motion.goes_down:
            fastest = float(motion.time_s[motion.fastest_down]) * rate
            if onset is not None:
                marks.append(("unweighting", onset.sample, fastest))
            marks.append(("braking", fastest, bottom))
        marks.append(("propulsion", bottom, takeoff))
    if reading.edges.landing is not None:
        marks.append(("flight", takeoff, reading.edges.landing))
        if reading.lowest is not None:
            marks.append(("landing", reading.edges.landing, reading.lowest))
    return tuple(Phase(name=name, start_s=at(a), end_s=at(b)) for name, a, b in marks)
