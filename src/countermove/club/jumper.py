"""
Simulated force recordings of invented jumpers, with the truth they were made from.

A point mass moves as `jumper_motion` prescribes: it steps on, stands with a little sway, jumps,
lands, stands and steps off. The force on the floor is m (g + a); the plates add offset, noise and
rounding, and sample at any rate and instant. The generator was written from mechanics and from what
real traces look like; it shares no code and no constant with the analysis it is used to test.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np

from countermove.club.jumper_motion import (
    Acceleration,
    Floats,
    G,
    Landing,
    Push,
    Sway,
    bend,
    bounce,
    countermovement,
    land,
    quiet_sway,
    smooth,
    squat_push,
)
from countermove.club.jumper_plan import Jump, Plan, Plates, faultless_plan
from countermove.record import JumpKind, Side
from countermove.recordings import ForceTrace


@dataclass(frozen=True, kw_only=True)
class Truth:
    """What one simulated jump was, on the recording's own time axis; units as in `Trial`."""

    kind: JumpKind
    mass_kg: float
    takeoff_velocity_m_s: float
    height_m: float
    flight_s: float
    depth_m: float
    rise_to_takeoff_m: float
    min_velocity_m_s: float
    movement_s: float
    braking_start_s: float
    bottom_s: float
    takeoff_s: float
    landing_s: float
    left_share_braking: float
    left_share_propulsion: float


@dataclass(frozen=True, kw_only=True)
class Simulated:
    """A recording, its truth, and the plan it was made from."""

    trace: ForceTrace
    truths: tuple[Truth, ...]
    plan: Plan


@dataclass
class _Story:
    """The recording while it is being told: pieces of force in time order."""

    mass_kg: float
    pieces: list[tuple[float, float, Callable[[Floats], Floats]]] = field(default_factory=list)
    shares: list[tuple[float, float]] = field(default_factory=list)
    truths: list[Truth] = field(default_factory=list)

    def force_n(self, t: Floats) -> Floats:
        """Give the total force at any times. [N]"""
        force = np.zeros_like(t)
        for start, stop, piece in self.pieces:
            inside = (t >= start) & (t < stop)
            if inside.any():
                force[inside] = piece(t[inside])
        return force

    def share(self, t: Floats) -> Floats:
        """Give the left foot's share: steps in time, each smoothed over 40 ms."""
        value = np.full_like(t, self.shares[0][1])
        for (_, old), (when, new) in zip(self.shares, self.shares[1:], strict=False):
            value = value + (new - old) * smooth((t - when) / 0.04 + 0.5)
        return value


__all__ = [
    "Jump",
    "Plan",
    "Plates",
    "Simulated",
    "Truth",
    "faultless_plan",
    "shifted",
    "simulate",
]

STEP_ON_S, STEP_OFF_S, SETTLE_S = 0.7, 0.65, 0.8


def simulate(plan: Plan, seed: int, *, name: str = "simulated") -> Simulated:
    """
    Make a recording and its truth.

    Parameters
    ----------
    plan : Plan
        What happens.
    seed : int
        Settles everything drawn: shapes of the movements, sway, noise, the instant of sampling.
    name : str, optional
        File name that the trace will carry.
    """
    rng = np.random.default_rng(seed)
    sway = quiet_sway(rng, plan.sway_share)
    story = _Story(plan.mass_kg, shares=[(0.0, plan.left_shares[0])])
    now = _step_on(story, plan.empty_before_s)
    caught: tuple[float, Landing] | None = None
    for jump in plan.jumps:
        now, caught = _jump(story, plan, jump, sway, rng, now, caught)
    now = _step_off(story, plan, sway, now, caught)
    return _sampled(story, plan, rng, now + plan.empty_after_s, name)


def _step_on(story: _Story, start: float) -> float:
    """Step on with one foot, then the other; the plate swings a little."""
    weight = story.mass_kg * G

    def force(t: Floats) -> Floats:
        s = t - start
        feet = 0.55 * smooth(s / 0.3) + 0.45 * smooth((s - 0.35) / 0.3)
        swing = 0.12 * smooth(s / 0.3) * np.exp(-6 * s) * np.sin(2 * np.pi * 2.3 * s)
        fade = 1 - smooth((s - STEP_ON_S) / SETTLE_S)
        return np.asarray(weight * (feet + swing * fade))

    story.pieces.append((start, start + STEP_ON_S + SETTLE_S, force))
    return start + STEP_ON_S + SETTLE_S


def _jump(
    story: _Story,
    plan: Plan,
    jump: Jump,
    sway: Sway,
    rng: np.random.Generator,
    now: float,
    caught: tuple[float, Landing] | None,
) -> tuple[float, tuple[float, Landing]]:
    """Stand, push, fly and land; give when the landing has come to rest."""
    push, begin, extra, squat = _movement(jump, rng, now)
    takeoff = begin + push.duration_s
    mass = story.mass_kg
    still = (now, now + SETTLE_S), (begin, begin + 0.55 * push.duration_s)

    def force(t: Floats) -> Floats:
        a = push.acceleration(t - begin) + sway.acceleration(t, *still)
        for part in extra:
            a = a + part(t)
        base = mass * G if caught is None else caught[1].force_n(t - caught[0])
        return np.asarray(base + mass * a)

    story.pieces.append((now, takeoff, force))
    _, _, way = push.path()
    v = push.takeoff_velocity()
    rise = float(way[-1]) - squat
    flight = (v + np.sqrt(v**2 + 2 * G * jump.lower_m)) / G
    landing = takeoff + flight
    landed = land(
        mass, rise - jump.lower_m, G * flight - v, rng.uniform(7.0, 10.0), rng.uniform(0.5, 0.8)
    )
    rest = landing + landed.duration_s - SETTLE_S
    story.pieces.append((landing, rest, lambda t: landed.force_n(t - landing)))
    _tell(story, plan, jump, push, begin, squat, float(flight))
    return rest, (landing, landed)


def _movement(
    jump: Jump, rng: np.random.Generator, now: float
) -> tuple[Push, float, list[Acceleration], float]:
    """Draw the push; give when it begins, what else moves the body, and how low it begins."""
    begin = now + SETTLE_S + jump.standing_s
    extra: list[Acceleration] = []
    squat = 0.0
    if jump.kind is JumpKind.SJ:
        push = squat_push(rng, jump.velocity_m_s, dip=jump.dips)
        _, _, way = push.path()
        squat = max(jump.squat_m, float(way[-1]) - 0.12)
        going_down = 1.2
        extra.append(bend(begin, going_down, squat))
        begin += going_down + jump.hold_s
    else:
        push = countermovement(rng, jump.velocity_m_s, arms=jump.kind is JumpKind.CMJ_ARMS)
    if jump.bounce_m:
        start = begin - jump.bounce_before_s - jump.bounce_s
        extra.append(bounce(start, jump.bounce_s, jump.bounce_m))
    return push, begin, extra, squat


def _tell(
    story: _Story, plan: Plan, jump: Jump, push: Push, begin: float, squat: float, flight: float
) -> None:
    """Write down the truth of a jump, and its shares."""
    t, v, y = push.path()
    lowest = int(np.argmin(y))
    fastest = int(np.argmin(v))
    takeoff = begin + push.duration_s
    _, braking, pushing, landing = plan.left_shares
    story.shares += [
        (begin + float(t[fastest]), braking),
        (begin + float(t[lowest]), pushing),
        (takeoff + flight / 2, landing),
        (takeoff + flight + 1.0, plan.left_shares[0]),
    ]
    velocity = push.takeoff_velocity()
    story.truths.append(
        Truth(
            kind=jump.kind,
            mass_kg=plan.mass_kg,
            takeoff_velocity_m_s=velocity,
            height_m=velocity**2 / (2 * G),
            flight_s=flight,
            depth_m=-float(y[lowest]),
            rise_to_takeoff_m=float(y[-1]) - squat,
            min_velocity_m_s=float(v[fastest]),
            movement_s=begin,
            braking_start_s=begin + float(t[fastest]),
            bottom_s=begin + float(t[lowest]),
            takeoff_s=takeoff,
            landing_s=takeoff + flight,
            left_share_braking=_true_share(story, begin + t[fastest : lowest + 1]),
            left_share_propulsion=_true_share(story, begin + t[lowest:]),
        )
    )


def _true_share(story: _Story, t: Floats) -> float:
    """Left foot's share of an impulse, from the story itself."""
    if t.size < 2:
        return float("nan")
    force = story.force_n(np.minimum(t, t[-1] - 1e-9))
    left = np.trapezoid(force * story.share(t), t)
    return float(left / np.trapezoid(force, t))


def _step_off(
    story: _Story, plan: Plan, sway: Sway, now: float, caught: tuple[float, Landing] | None
) -> float:
    """Stand to the end, then step off with one foot after the other."""
    leave = now + SETTLE_S + plan.standing_after_s
    mass = story.mass_kg

    def standing(t: Floats) -> Floats:
        base = mass * G if caught is None else caught[1].force_n(t - caught[0])
        envelope = (now, now + SETTLE_S), (leave - 0.3, leave)
        return np.asarray(base + mass * sway.acceleration(t, *envelope))

    def leaving(t: Floats) -> Floats:
        s = t - leave
        feet = 0.45 * smooth(s / 0.35) + 0.55 * smooth((s - 0.3) / 0.35)
        return np.asarray(mass * G * (1 - feet))

    story.pieces += [(now, leave, standing), (leave, leave + STEP_OFF_S, leaving)]
    return leave + STEP_OFF_S


def _sampled(
    story: _Story, plan: Plan, rng: np.random.Generator, end: float, name: str
) -> Simulated:
    """Sample the story with the plates, whose clock starts somewhere within one sample."""
    plates = plan.plates
    phase = rng.uniform(0, 1) / plates.rate_hz
    t = phase + np.arange(int((end - phase) * plates.rate_hz)) / plates.rate_hz
    total, share = story.force_n(t), story.share(t)
    count, tilt = plates.count, rng.uniform(0.2, 0.8)
    parts = np.array([total] if count == 1 else [total * share, total * (1 - share)])
    part = np.array([1.0] if count == 1 else [tilt, 1 - tilt])
    offset = part * plates.offset_n
    parts += offset[:, None] + plates.drift_n_s * t / count
    parts += rng.normal(0, plates.noise_n / np.sqrt(count), parts.shape)
    if plates.step_n:
        parts = np.round(parts / plates.step_n) * plates.step_n
    sides = (None,) if count == 1 else (Side.LEFT, Side.RIGHT)
    trace = ForceTrace(
        force_n=parts,
        rate_hz=plates.rate_hz,
        start_s=0.0,
        sides=sides,
        missing=np.zeros(t.size, dtype=np.bool_),
        name=name,
    )
    truths = tuple(shifted(truth, -phase) for truth in story.truths)
    return Simulated(trace=trace, truths=truths, plan=plan)


def shifted(truth: Truth, by_s: float) -> Truth:
    """Give a truth on a time axis that starts elsewhere."""
    times = ("movement_s", "braking_start_s", "bottom_s", "takeoff_s", "landing_s")
    return replace(truth, **{name: getattr(truth, name) + by_s for name in times})
