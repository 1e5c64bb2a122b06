"""
The movements that an invented jumper is made of, each with its exact acceleration.

Every movement is a prescribed acceleration of the centre of mass (m a = F − m g), given by
piecewise polynomials or a power law, so that velocity and position are known in closed form; only
the landing, a spring and damper, is integrated numerically. Nothing here knows how jumps are
analysed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator, PPoly
from scipy.optimize import brentq

G = 9.81
Floats = NDArray[np.float64]
Acceleration = Callable[[Floats], Floats]


def smooth(u: Floats) -> Floats:
    """Give the step from 0 to 1 over 0..1 with level first and second derivatives at both ends."""
    u = np.clip(u, 0.0, 1.0)
    return np.asarray(u**3 * (10 - 15 * u + 6 * u**2))


def smooth_bend(u: Floats) -> Floats:
    """Give the second derivative of `smooth`."""
    inside = (u > 0) & (u < 1)
    return np.where(inside, 60 * u - 180 * u**2 + 120 * u**3, 0.0)


@dataclass(frozen=True)
class Sway:
    """
    Quiet standing: a few small sinusoids of the centre of mass, faded in and out.

    Attributes
    ----------
    height_m, turn_rad_s, phase_rad : ndarray, shape (n,)
        Amplitude, angular frequency and phase of each. [m], [rad/s], [rad]
    """

    height_m: Floats
    turn_rad_s: Floats
    phase_rad: Floats

    def acceleration(
        self, t: Floats, rise: tuple[float, float], fall: tuple[float, float]
    ) -> Floats:
        """Give the acceleration of envelope times sway. [m/s²]"""
        angle = np.multiply.outer(t, self.turn_rad_s) + self.phase_rad
        y = np.sin(angle) @ self.height_m
        v = np.cos(angle) @ (self.height_m * self.turn_rad_s)
        a = -np.sin(angle) @ (self.height_m * self.turn_rad_s**2)
        up, up_v, up_a = _ramp(t, *rise)
        down, down_v, down_a = _ramp(t, *fall)
        e = up - down
        return np.asarray((up_a - down_a) * y + 2 * (up_v - down_v) * v + e * a)

    def scaled(self, factor: float) -> Sway:
        """Give the same sway, larger or smaller."""
        return Sway(self.height_m * factor, self.turn_rad_s, self.phase_rad)


def _ramp(t: Floats, start: float, stop: float) -> tuple[Floats, Floats, Floats]:
    """Give a smooth step in time with its first two derivatives."""
    span = stop - start
    u = np.clip((t - start) / span, 0.0, 1.0)
    return smooth(u), 30 * u**2 * (1 - u) ** 2 / span, smooth_bend(u) / span**2


def quiet_sway(rng: np.random.Generator, force_sd_share: float) -> Sway:
    """
    Draw the sway of a person standing still.

    Slow parts (breathing, postural sway) move a few millimetres, fast ones (pulse) far less, as
    their force would otherwise be large.

    Parameters
    ----------
    rng : numpy.random.Generator
    force_sd_share : float
        Standard deviation of the force over body weight. [1]
    """
    turn = 2 * np.pi * np.exp(rng.uniform(np.log(0.2), np.log(6.0), 7))
    height = np.minimum(0.003, rng.uniform(0.3, 1.0, 7) / turn**2)
    sd = np.sqrt(np.sum((height * turn**2) ** 2) / 2)
    return Sway(height * force_sd_share * G / sd, turn, rng.uniform(0, 2 * np.pi, 7))


@dataclass(frozen=True)
class Toes:
    """
    How one foot leaves the floor: its force dies as a power of the time left.

    Attributes
    ----------
    share : float
        Its part of body weight when the tail begins.
    duration_s : float
        From there to its last contact. [s]
    power : float
        Near 1 the force ends sharply, near 2 it fades.
    """

    share: float
    duration_s: float
    power: float

    def left(self, s: Floats) -> Floats:
        """Give the time left over the whole, 1 to 0."""
        return np.clip(1 - s / self.duration_s, 0.0, 1.0)

    def pull(self, s: Floats) -> Floats:
        """Give force over body mass. [m/s²]"""
        return np.asarray(G * self.share * self.left(s) ** self.power)

    def speed(self, s: Floats) -> Floats:
        """Give the integral of `pull`. [m/s]"""
        k = self.power + 1
        return np.asarray(G * self.share * self.duration_s / k * (1 - self.left(s) ** k))

    def way(self, s: Floats) -> Floats:
        """Give the integral of `speed`. [m]"""
        k = self.power + 1
        whole = G * self.share * self.duration_s / k
        rest = self.duration_s / (k + 1) * (1 - self.left(s) ** (k + 1))
        return np.asarray(whole * (s - rest))


@dataclass(frozen=True)
class Push:
    """
    The movement that ends in take-off.

    Up to `tail_s` a smooth curve through knots; then the force dies from body weight to nothing,
    each foot in its own way.

    Attributes
    ----------
    curve : PPoly
        Acceleration up to the tail. [m/s²]
    tail_s : float
        When the force falls through body weight. [s]
    feet : tuple of Toes
        How each foot leaves.
    """

    curve: PPoly
    tail_s: float
    feet: tuple[Toes, ...]

    @property
    def duration_s(self) -> float:
        """From the start of the movement to the last contact. [s]"""
        return self.tail_s + max(foot.duration_s for foot in self.feet)

    def acceleration(self, t: Floats) -> Floats:
        """Give the acceleration, time counted from the start of the movement. [m/s²]"""
        late = t >= self.tail_s
        body = self.curve(np.clip(t, 0.0, self.tail_s))
        tail = sum(foot.pull(np.maximum(t - self.tail_s, 0.0)) for foot in self.feet) - G
        return np.where((t >= 0) & (t <= self.duration_s), np.where(late, tail, body), 0.0)

    def takeoff_velocity(self) -> float:
        """Give the velocity when the feet leave. [m/s]"""
        tail = np.asarray(self.duration_s - self.tail_s)
        feet = sum(float(foot.speed(tail)) for foot in self.feet)
        return float(self.curve.integrate(0.0, self.tail_s)) + feet - G * float(tail)

    def path(self) -> tuple[Floats, Floats, Floats]:
        """Give times, velocity and position up to take-off, exact at a step of 0.1 ms."""
        t = np.linspace(0.0, self.tail_s, round(self.tail_s * 1e4) + 1)
        speed = self.curve.antiderivative()
        way = speed.antiderivative()
        v = speed(t) - float(speed(0.0))
        y = way(t) - float(way(0.0)) - float(speed(0.0)) * t
        tail = self.duration_s - self.tail_s
        s = np.linspace(0.0, tail, round(tail * 1e4) + 2)[1:]
        tail_v = v[-1] - G * s + sum(foot.speed(s) for foot in self.feet)
        tail_y = y[-1] + v[-1] * s - G * s**2 / 2 + sum(foot.way(s) for foot in self.feet)
        return np.append(t, self.tail_s + s), np.append(v, tail_v), np.append(y, tail_y)


def toes(rng: np.random.Generator) -> tuple[Toes, Toes]:
    """
    Draw how two feet leave: 10 to 30 ms from body weight, not quite together.

    Harman et al. (1990) saw the velocity fall by 6 to 7 % in the last 30 ms, which a force that
    dies as a power of the time left does with a power of 1.1 to 1.6; drawn a little wider.
    """
    share, last = rng.uniform(0.4, 0.6), rng.uniform(0.010, 0.030)
    first = last * rng.uniform(0.85, 1.0)
    return (
        Toes(share, last, rng.uniform(1.0, 1.8)),
        Toes(1 - share, first, rng.uniform(1.0, 1.8)),
    )


def push_through(
    times: Floats, values: Floats, velocity_m_s: float, feet: tuple[Toes, ...]
) -> Push:
    """
    Make a push that leaves the floor at a wanted velocity.

    Parameters
    ----------
    times, values : ndarray, shape (n,)
        Knots of the acceleration; the positive values are scaled until the velocity fits; the last
        value is 0 (force equals weight). [s], [m/s²]
    velocity_m_s : float
        Wanted at take-off. [m/s]
    feet : tuple of Toes
        How the feet leave.
    """
    # A knot before the start keeps the first slope at zero.
    knots = np.concatenate(([times[0] - 0.05], times))

    def push(factor: float) -> Push:
        scaled = np.where(values > 0, values * factor, values)
        curve = PchipInterpolator(knots, np.concatenate(([0.0], scaled)))
        return Push(curve, float(times[-1]), feet)

    factor = brentq(lambda x: push(x).takeoff_velocity() - velocity_m_s, 0.01, 30.0)
    return push(float(factor))


def countermovement(rng: np.random.Generator, velocity_m_s: float, *, arms: bool = False) -> Push:
    """Draw a countermovement jump; with arms it lasts longer and has two humps."""
    while True:
        times, humps = _rhythm(rng, arms=arms)
        feet = toes(rng)

        def push(low: float, times: Floats = times, humps: Floats = humps) -> Push:
            values = np.concatenate(([0.0, -0.45 * low, -low], humps, [0.0]))
            return push_through(times, values, velocity_m_s, feet)  # noqa: B023 - called below

        found = push(_low_for(push, rng.uniform(0.08, 0.16)))
        if _is_human(found):
            return found


def _rhythm(rng: np.random.Generator, *, arms: bool) -> tuple[Floats, Floats]:
    """Draw when the knots of a countermovement come, and the heights of its two humps."""
    slow = 1.15 if arms else 1.0
    dip = rng.uniform(0.14, 0.26) * slow
    brake = dip + rng.uniform(0.16, 0.26) * slow
    second = brake + rng.uniform(0.08, 0.16) * slow
    end = second + rng.uniform(0.08, 0.14)
    hump = rng.uniform(0.7, 0.9) if arms else rng.uniform(0.85, 1.15)
    between = min(1.0, hump) * (rng.uniform(0.75, 0.95) if arms else rng.uniform(0.95, 1.0))
    times = np.array([0.0, 0.45 * dip, dip, brake, (brake + second) / 2, second, end])
    return times, 10.0 * np.array([hump, between, 1.0])


def _low_for(push: Callable[[float], Push], rise_m: float) -> float:
    """
    How strong the dip must be for a wanted rise above standing at take-off. [m/s²]

    A stronger dip starts the push deeper, so the body leaves lower; almost in proportion.
    """
    weak, strong = 3.5, 8.5
    high, deep = (float(push(low).path()[2][-1]) for low in (weak, strong))
    return float(np.clip(weak + (high - rise_m) / (high - deep) * (strong - weak), 2.5, 9.5))


def _is_human(push: Push) -> bool:
    """
    Keep drawn pushes within what people do: depth, speed, force and rise.

    The rise is 9 to 15 cm in plantar-flexed take-offs (Baumgart et al. 2017, as the difference of
    two methods); a little more is let through.
    """
    _, v, y = push.path()
    peak = float(push.curve(np.linspace(0, push.tail_s, 200)).max())
    depth, rise = -y.min(), y[-1]
    return bool(0.15 < depth < 0.50 and -1.8 < v.min() < -0.5 and peak < 22 and 0.05 < rise < 0.18)


def squat_push(rng: np.random.Generator, velocity_m_s: float, *, dip: bool = False) -> Push:
    """Draw the push of a squat jump from the held bottom; with `dip`, a small countermovement."""
    rise = rng.uniform(0.12, 0.25)
    top = rise + rng.uniform(0.08, 0.18)
    end = top + rng.uniform(0.07, 0.12)
    times = np.array([0.0, 0.5 * rise, rise, top, end])
    values = np.array([0.0, 4.0, 9.0, 10.0, 0.0])
    if dip:
        low, high = rng.uniform(0.09, 0.12), rng.uniform(0.20, 0.26)
        times = np.concatenate(([0.0, low], times[1:] + high))
        values = np.concatenate(([0.0, -rng.uniform(2.5, 4.5)], values[1:]))
    return push_through(times, values, velocity_m_s, toes(rng))


def bend(start_s: float, duration_s: float, drop_m: float) -> Acceleration:
    """Give the acceleration of going smoothly down by `drop_m` (up, if negative)."""
    return lambda t: -drop_m * smooth_bend((t - start_s) / duration_s) / duration_s**2


def bounce(start_s: float, duration_s: float, drop_m: float) -> Acceleration:
    """Give the acceleration of dipping by `drop_m` and coming back to rest."""
    half = duration_s / 2
    down, up = bend(start_s, half, drop_m), bend(start_s + half, half, -drop_m)
    return lambda t: down(t) + up(t)


@dataclass(frozen=True)
class Landing:
    """A leg as spring and damper that catches the body and lifts it back to standing."""

    mass_kg: float
    duration_s: float
    solution: Callable[[Floats], Floats]
    force: Callable[[Floats, Floats, Floats], Floats]

    def force_n(self, t: Floats) -> Floats:
        """Give the force on the floor, time counted from touch-down. [N]"""
        y, v = self.solution(np.clip(t, 0.0, self.duration_s))
        return np.where(t <= self.duration_s, self.force(t, y, v), self.mass_kg * G)


def land(
    mass_kg: float, height_m: float, speed_m_s: float, turn_rad_s: float, damping: float
) -> Landing:
    """
    Catch a falling body.

    Parameters
    ----------
    mass_kg : float
        [kg]
    height_m : float
        Centre of mass at touch-down, above standing. [m]
    speed_m_s : float
        Downward speed at touch-down. [m/s]
    turn_rad_s : float
        √(stiffness over mass). [rad/s]
    damping : float
        Damping ratio; it grows over the first centimetre and a half, as soft tissue gives way.
    """
    k, c = mass_kg * turn_rad_s**2, 2 * damping * mass_kg * turn_rad_s
    standing = G / turn_rad_s**2

    def force(t: Floats, y: Floats, v: Floats) -> Floats:
        step = smooth(np.asarray(t) / 1.0)
        length = height_m + (standing - height_m) * step
        length_v = (standing - height_m) * 30 * np.clip(t, 0, 1) ** 2 * (1 - np.clip(t, 0, 1)) ** 2
        x = np.maximum(length - y, 0.0)
        return np.asarray(np.maximum(0.0, k * x + c * (length_v - v) * (1 - np.exp(-x / 0.015))))

    def motion(t: float, state: Floats) -> list[float]:
        pull = force(np.asarray(t), state[0], state[1])
        return [float(state[1]), float(pull) / mass_kg - G]

    duration = 2.5
    solved = solve_ivp(
        motion, (0.0, duration), (height_m, -speed_m_s), "DOP853", dense_output=True,
        rtol=1e-8, atol=1e-9, max_step=0.02,
    )  # fmt: skip
    return Landing(mass_kg, duration, solved.sol, force)
