"""
How far a wrong weight, a bent landing or a coarse clock moves the jump height.

These laws turn what was noticed in a recording into metres: they fill `QualityNote.may_cost_m`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from countermove.jumps.checks import Floats, not_negative, positive
from countermove.jumps.heights import GRAVITY_M_S2, height_from_flight, height_from_velocity

# Conference abstract, July 2010 (60 countermovement jumps of 20 footballers, decimated from
# 1000 Hz): heights by either method fell by up to 0.2, 0.6 and 1.5 cm at 500, 200 and 100 Hz.
_RATES_HZ = (100.0, 200.0, 500.0, 1000.0)
_MARGINS_M = (0.015, 0.006, 0.002, 0.0)


def velocity_error_from_weight(
    relative_error: ArrayLike,
    time_to_takeoff_s: ArrayLike,
    takeoff_velocity_m_s: ArrayLike,
    *,
    g: float = GRAVITY_M_S2,
) -> Floats:
    """
    Take-off velocity moved by a wrong body weight: δv = −(g T + v) δ. [m/s]

    Weight enters twice: as the mass that divides the impulse, and taken off the force for the
    whole time T. First order in δ; derived in ``docs/methods/jump-from-force.md``.

    Parameters
    ----------
    relative_error : array_like
        Error of the weight over the weight. [1]
    time_to_takeoff_s : array_like
        From the start of integration to take-off. [s]
    takeoff_velocity_m_s : array_like
        [m/s]
    g : float, optional
        [m/s²]

    References
    ----------
    .. [1] J. Vanrenterghem, D. De Clercq and P. Van Cleven, "Necessary precautions in measuring
       correct vertical jumping height by means of force plate measurements," Ergonomics, vol. 44,
       pp. 814-818, 2001 (the precaution; the law itself is derived).
    """
    error = np.asarray(relative_error, dtype=np.float64)
    time = not_negative("time_to_takeoff_s", time_to_takeoff_s)
    return -(g * time + np.asarray(takeoff_velocity_m_s, dtype=np.float64)) * error


def height_error_from_weight(
    relative_error: ArrayLike,
    time_to_takeoff_s: ArrayLike,
    takeoff_velocity_m_s: ArrayLike,
    *,
    g: float = GRAVITY_M_S2,
) -> Floats:
    """
    Jump height moved by a wrong body weight. [m]

    Parameters and source as `velocity_error_from_weight`. Half a per cent of weight costs about
    1.5 cm in an ordinary jump.
    """
    wrong = velocity_error_from_weight(relative_error, time_to_takeoff_s, takeoff_velocity_m_s, g=g)
    return height_error_from_velocity(wrong, takeoff_velocity_m_s, g=g)


def height_error_from_velocity(
    velocity_error_m_s: ArrayLike, takeoff_velocity_m_s: ArrayLike, *, g: float = GRAVITY_M_S2
) -> Floats:
    """Jump height moved by an error of the take-off velocity: ((v + δ)² − v²) / (2 g). [m]"""
    error = np.asarray(velocity_error_m_s, dtype=np.float64)
    velocity = np.asarray(takeoff_velocity_m_s, dtype=np.float64)
    return (2 * velocity + error) * error / (2 * g)


def flight_height_error_from_landing(
    lower_m: ArrayLike, takeoff_velocity_m_s: ArrayLike, *, g: float = GRAVITY_M_S2
) -> Floats:
    """
    Flight-time height over-read by landing lower than take-off; about half the drop. [m]

    Parameters
    ----------
    lower_m : array_like
        How much lower the centre of mass is at landing than at take-off. [m]
    takeoff_velocity_m_s : array_like
        [m/s]
    g : float, optional
        [m/s²]

    Raises
    ------
    BadInput
        If the drop is negative or so is the velocity.
    """
    lower = not_negative("lower_m", lower_m)
    velocity = not_negative("takeoff_velocity_m_s", takeoff_velocity_m_s)
    flight = (velocity + np.sqrt(velocity**2 + 2 * g * lower)) / g
    return height_from_flight(flight, g=g) - height_from_velocity(velocity, g=g)


def height_error_from_timing(
    flight_s: ArrayLike, error_s: ArrayLike, *, g: float = GRAVITY_M_S2
) -> Floats:
    """
    Flight-time height moved by an error of the flight time: g (2 T δ + δ²) / 8. [m]

    Raises
    ------
    BadInput
        If a flight time is negative.
    """
    flight = not_negative("flight_s", flight_s)
    error = np.asarray(error_s, dtype=np.float64)
    return g * (2 * flight * error + error**2) / 8


def flight_sd_from_rate(flight_s: ArrayLike, rate_hz: ArrayLike) -> Floats:
    """
    Spread of a flight time counted in whole samples: √(q (1 − q)) / f, q = frac(T f). [s]

    For a fixed flight time caught at a random instant; unbiased.

    Raises
    ------
    BadInput
        If a flight time is negative or a rate is not above zero.
    """
    rate = positive("rate_hz", rate_hz)
    part = np.mod(not_negative("flight_s", flight_s) * rate, 1.0)
    return np.asarray(np.sqrt(part * (1 - part)) / rate)[()]


def height_margin_from_rate(rate_hz: ArrayLike) -> Floats:
    """
    How far a low sampling rate lowered heights in a published comparison with 1000 Hz. [m]

    Between the printed rates the margin is interpolated on the logarithm of the rate; below
    100 Hz it grows as one over the rate (our default).

    References
    ----------
    .. [1] Conference abstract, July 2010: 60 countermovement jumps of 20 footballers decimated
       from 1000 Hz; up to 0.2 cm at 500, 0.6 cm at 200 and 1.5 cm at 100 Hz, either method.
    """
    rate = positive("rate_hz", rate_hz)
    margin = np.interp(np.log(rate), np.log(_RATES_HZ), _MARGINS_M)
    return np.asarray(margin * np.maximum(1.0, _RATES_HZ[0] / rate))[()]
