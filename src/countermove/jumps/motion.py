"""
From force to the motion of the centre of mass.

Newton's law, integrated twice by the trapezoid rule on the raw signal: a = (F − W) / m. Owen et al.
(2014) found trapezoid and Simpson equal at 1000 Hz. The last step ends at take-off itself, between
two samples, where the force is that of the empty plate, zero.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.jumps.checks import Floats
from countermove.jumps.heights import GRAVITY_M_S2

MOVES_M_S = 0.1  # a drop slower than this is no countermovement to split into phases (our-default)


@dataclass(frozen=True)
class Motion:
    """
    The push, from the start of integration to take-off.

    Attributes
    ----------
    time_s, force_n, velocity_m_s, position_m : ndarray, shape (n,)
        Time from the first sample of the recording; force; velocity and position of the centre of
        mass, upward positive, position from the start of integration. [s], [N], [m/s], [m]
    weight_n, mass_kg : float
        [N], [kg]
    fastest_down, bottom : int
        Index of the greatest downward velocity, and of the first sample at or after the lowest
        point; both 0 where there is no countermovement.
    bottom_s : float
        The lowest point, between samples. [s]
    """

    time_s: Floats
    force_n: Floats
    velocity_m_s: Floats
    position_m: Floats
    weight_n: float
    mass_kg: float
    fastest_down: int
    bottom: int
    bottom_s: float

    @property
    def takeoff_velocity_m_s(self) -> float:
        """Velocity at take-off. [m/s]"""
        return float(self.velocity_m_s[-1])

    @property
    def goes_down(self) -> bool:
        """Whether a countermovement leads the push."""
        return self.bottom > 0


def running_integral(values: Floats, time_s: Floats, start: float = 0.0) -> Floats:
    """
    Integrate by the trapezoid rule, keeping every step.

    Parameters
    ----------
    values, time_s : ndarray, shape (n,)
        What to integrate, and when it was sampled (steps may differ). [s]
    start : float, optional
        First value of the result.

    Returns
    -------
    ndarray, shape (n,)
    """
    steps = 0.5 * (values[1:] + values[:-1]) * np.diff(time_s)
    return np.concatenate(([start], start + np.cumsum(steps)))


def integrate_push(
    force_n: Floats,
    rate_hz: float,
    start: int,
    takeoff: float,
    weight_n: float,
    *,
    velocity_m_s: float = 0.0,
    end_n: float = 0.0,
) -> Motion:
    """
    Integrate from rest (or from a known velocity) to take-off.

    Parameters
    ----------
    force_n : ndarray, shape (n_samples,)
        Total force with the empty plate at zero. [N]
    rate_hz : float
        [Hz]
    start : int
        First sample.
    takeoff : float
        Take-off in samples, with its fraction.
    weight_n : float
        Body weight. [N]
    velocity_m_s : float, optional
        Velocity at `start`. [m/s]
    end_n : float, optional
        Force at take-off: nothing, unless a hand ends the push earlier. [N]
    """
    last = int(np.floor(takeoff))
    time = np.append(np.arange(start, last + 1) / rate_hz, takeoff / rate_hz)
    force = np.append(force_n[start : last + 1], end_n)
    mass = weight_n / GRAVITY_M_S2
    velocity = running_integral((force - weight_n) / mass, time, velocity_m_s)
    position = running_integral(velocity, time)
    fastest, bottom = _turning_points(velocity)
    bottom_s = _zero_crossing(time, velocity, bottom)
    return Motion(time, force, velocity, position, weight_n, mass, fastest, bottom, bottom_s)


def _turning_points(velocity: Floats) -> tuple[int, int]:
    """Give the fastest downward sample and the first one at or after the lowest point."""
    fastest = int(np.argmin(velocity))
    rising = np.flatnonzero(velocity[fastest:] >= 0)
    if velocity[fastest] > -MOVES_M_S or not rising.size:
        return 0, 0
    return fastest, fastest + int(rising[0])


def _zero_crossing(time: Floats, velocity: Floats, after: int) -> float:
    """Give when the velocity passes zero, between the sample before `after` and `after`."""
    if after == 0:
        return float(time[0])
    low, high = float(velocity[after - 1]), float(velocity[after])
    return float(time[after - 1] + (time[after] - time[after - 1]) * -low / (high - low))


def power_w(motion: Motion) -> Floats:
    """Power of the floor's force on the centre of mass, shape (n,). [W]"""
    return motion.force_n * motion.velocity_m_s


def propulsive_work_j(motion: Motion) -> float:
    """
    Work of the floor's force from the lowest point to take-off. [J]

    Equals m g Δd + ½ m v² (work-energy identity).
    """
    power = power_w(motion)[motion.bottom :]
    time = motion.time_s[motion.bottom :]
    work = float(running_integral(power, time)[-1])
    return work + 0.5 * float(power[0]) * (float(time[0]) - motion.bottom_s)


def lowest_after_landing(
    force_n: Floats, rate_hz: float, landing: float, weight_n: float, landing_velocity_m_s: float
) -> float | None:
    """
    Give when the centre of mass stops falling after landing. [samples]

    None if the recording, or the contact, ends before.
    """
    first = int(np.ceil(landing))
    falling = force_n[first:] - weight_n
    mass = weight_n / GRAVITY_M_S2
    velocity = landing_velocity_m_s + np.cumsum(falling) / rate_hz / mass
    stopped = np.flatnonzero(velocity >= 0)
    return float(first + stopped[0]) if stopped.size else None
