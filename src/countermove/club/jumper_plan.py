"""What happens in a simulated recording, and how ordinary good recordings are drawn."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from countermove.record import JumpKind


@dataclass(frozen=True, kw_only=True)
class Plates:
    """
    The measuring side.

    Attributes
    ----------
    rate_hz : float
        [Hz]
    count : int
        1 or 2; of two the left foot stands on the first.
    noise_n, offset_n : float
        Standard deviation and mean error of the total. [N]
    step_n : float
        Rounding of each plate; 0 for none. [N]
    drift_n_s : float
        [N/s]
    """

    rate_hz: float = 1000.0
    count: int = 2
    noise_n: float = 2.0
    offset_n: float = 0.0
    step_n: float = 0.0
    drift_n_s: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Jump:
    """
    One jump to be made.

    Attributes
    ----------
    kind : JumpKind
    velocity_m_s : float
        Take-off velocity. [m/s]
    standing_s : float
        Quiet standing before it (squat jump: before going down). [s]
    hold_s : float
        Squat jump: time at the bottom. [s]
    squat_m : float
        Squat jump: how far down. [m]
    dips : bool
        Squat jump: with a small countermovement.
    lower_m : float
        How much lower the centre of mass lands than it left. [m]
    bounce_m, bounce_s, bounce_before_s : float
        A dip in standing, how long it lasts, and how long before the movement it ends.
        [m], [s], [s]
    """

    kind: JumpKind = JumpKind.CMJ
    velocity_m_s: float = 2.5
    standing_s: float = 2.5
    hold_s: float = 2.0
    squat_m: float = 0.3
    dips: bool = False
    lower_m: float = 0.01
    bounce_m: float = 0.0
    bounce_s: float = 0.6
    bounce_before_s: float = 0.3


@dataclass(frozen=True, kw_only=True)
class Plan:
    """
    A whole recording to be made.

    Attributes
    ----------
    mass_kg : float
        [kg]
    jumps : tuple of Jump
        In order.
    plates : Plates
    empty_before_s, empty_after_s : float
        Plate empty before stepping on and after stepping off. [s]
    standing_after_s : float
        Standing after the last landing, which itself takes 2.5 s. [s]
    sway_share : float
        Standard deviation of standing force over body weight. [1]
    left_shares : tuple of float
        Left foot's share standing, braking, pushing and landing.
    """

    mass_kg: float = 70.0
    jumps: tuple[Jump, ...] = (Jump(),)
    plates: Plates = field(default_factory=Plates)
    empty_before_s: float = 1.5
    empty_after_s: float = 1.5
    standing_after_s: float = 1.0
    sway_share: float = 0.003
    left_shares: tuple[float, float, float, float] = (0.5, 0.5, 0.5, 0.5)


def faultless_plan(rng: np.random.Generator) -> Plan:
    """
    Draw an ordinary, good recording.

    Any body from 40 to 120 kg, any rate from 450 to 2000 Hz, noise of 1 to 10 N and offsets up to
    20 N in the total, one or two plates, one to three jumps of any kind.
    """
    count = int(rng.choice([1, 1, 1, 1, 1, 1, 2, 3]))
    return Plan(
        mass_kg=rng.uniform(40, 120),
        jumps=tuple(_faultless_jump(rng) for _ in range(count)),
        plates=Plates(
            rate_hz=float(rng.choice([500, 600, 1000, 1200, 2000, rng.uniform(450, 2000)])),
            count=int(rng.choice([1, 2])),
            noise_n=rng.uniform(1, 10),
            offset_n=rng.uniform(-20, 20),
            step_n=float(rng.choice([0.0, 0.1, 0.5, 1.0])),
        ),
        empty_before_s=rng.uniform(0.7, 3.0),
        empty_after_s=rng.uniform(0.7, 3.0),
        standing_after_s=rng.uniform(0.5, 2.0),
        sway_share=rng.uniform(0.001, 0.005),
        left_shares=tuple(rng.uniform(0.42, 0.58, 4)),
    )


def _faultless_jump(rng: np.random.Generator) -> Jump:
    """Draw one good jump."""
    kind = JumpKind(str(rng.choice([kind.value for kind in JumpKind])))
    fast = {JumpKind.CMJ: (1.8, 3.3), JumpKind.CMJ_ARMS: (2.0, 3.6), JumpKind.SJ: (1.7, 3.1)}
    return Jump(
        kind=kind,
        velocity_m_s=rng.uniform(*fast[kind]),
        standing_s=rng.uniform(1.3, 4.0),
        hold_s=rng.uniform(1.4, 3.0),
        squat_m=rng.uniform(0.2, 0.4),
        lower_m=rng.uniform(0.0, 0.03),
    )
