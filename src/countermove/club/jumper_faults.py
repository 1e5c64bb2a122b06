"""
What goes wrong with recordings, each fault large enough to do harm.

Some faults happen to the athlete (they change the plan), some to the plate or the file (they change
the finished recording). Sizes are drawn from a range in which the fault moves a printed number
visibly; a fault that does no harm is not worth a note.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from countermove.club.jumper import (
    Jump,
    Plan,
    Simulated,
    Truth,
    faultless_plan,
    shifted,
    simulate,
)
from countermove.club.jumper_motion import Floats, G, smooth
from countermove.record import JumpKind

Rng = np.random.Generator


def _first(plan: Plan, **changes: float | bool | JumpKind) -> Plan:
    """Change the only jump of a plan."""
    return replace(plan, jumps=(replace(plan.jumps[0], **changes),))  # type: ignore[arg-type]


def weighing_unquiet(plan: Plan, rng: Rng) -> Plan:
    """Sway by 2 to 5 % of body weight."""
    return replace(plan, sway_share=rng.uniform(0.02, 0.05))


def moved_before(plan: Plan, rng: Rng) -> Plan:
    """Dip by 2 to 6 cm just before the jump, or still while it begins."""
    return _first(
        plan,
        kind=JumpKind.CMJ,
        bounce_m=rng.uniform(0.02, 0.06),
        bounce_s=rng.uniform(0.5, 0.8),
        bounce_before_s=rng.uniform(-0.1, 0.4),
    )


def landed_deep(plan: Plan, rng: Rng) -> Plan:
    """Land 8 to 20 cm lower than at take-off."""
    return _first(plan, lower_m=rng.uniform(0.08, 0.20))


def dipped_squat(plan: Plan, rng: Rng) -> Plan:
    """Dip before the push of a squat jump."""
    return _first(plan, kind=JumpKind.SJ, dips=True)


def low_rate(plan: Plan, rng: Rng) -> Plan:
    """Sample 60 to 180 times a second."""
    return replace(plan, plates=replace(plan.plates, rate_hz=rng.uniform(60, 180)))


def drift(plan: Plan, rng: Rng) -> Plan:
    """Let the plates drift by 2 to 8 N a second."""
    slope = float(rng.uniform(2, 8) * rng.choice([-1, 1]))
    return replace(plan, plates=replace(plan.plates, drift_n_s=slope))


def weighing_short(made: Simulated, rng: Rng) -> Simulated:
    """Start the recording 0.1 to 0.6 s before the movement."""
    return cropped(made, made.truths[0].movement_s - rng.uniform(0.1, 0.6), None)


def cut_before_landing(made: Simulated, rng: Rng) -> Simulated:
    """End the recording in the air."""
    truth = made.truths[0]
    return cropped(made, None, truth.takeoff_s + rng.uniform(0.4, 0.9) * truth.flight_s)


def offset_unseen(made: Simulated, rng: Rng) -> Simulated:
    """Start after stepping on, end before stepping off: only the flight shows the empty plate."""
    size = float(rng.uniform(8, 20) * rng.choice([-1, 1])) - made.plan.plates.offset_n
    force = made.trace.force_n + size / made.trace.force_n.shape[0]
    truth = made.truths[0]
    moved = replace(made, trace=replace(made.trace, force_n=force))
    earliest = made.plan.empty_before_s + 1.6
    return cropped(moved, earliest, truth.landing_s + 2.2)


def clipped(made: Simulated, rng: Rng) -> Simulated:
    """Cut the force of every plate off at 60 to 90 % of the greatest in the push."""
    truth, rate = made.truths[0], made.trace.rate_hz
    push = made.trace.force_n[:, round(truth.movement_s * rate) : round(truth.takeoff_s * rate)]
    limit = rng.uniform(0.6, 0.9) * push.max(axis=1, keepdims=True)
    return replace(made, trace=replace(made.trace, force_n=np.minimum(made.trace.force_n, limit)))


def dropped(made: Simulated, rng: Rng) -> Simulated:
    """Lose 40 to 120 ms between onset and take-off: filled, held or zero."""
    truth, trace = made.truths[0], made.trace
    length = rng.uniform(0.04, 0.12)
    begin = rng.uniform(truth.movement_s + 0.1, truth.takeoff_s - 0.05 - length)
    first, last = round(begin * trace.rate_hz), round((begin + length) * trace.rate_hz)
    force, missing = trace.force_n.copy(), trace.missing.copy()
    way = str(rng.choice(["filled", "held", "zero"]))
    if way == "filled":
        part = np.linspace(0, 1, last - first + 2)[1:-1]
        edges = force[:, [first - 1]], force[:, [last]]
        force[:, first:last] = edges[0] + (edges[1] - edges[0]) * part
        missing[first:last] = True
    else:
        force[:, first:last] = force[:, [first - 1]] if way == "held" else 0.0
    return replace(made, trace=replace(trace, force_n=force, missing=missing))


def leaned(made: Simulated, rng: Rng) -> Simulated:
    """Lean on a rail with 2 to 6 % of body weight until just before the jump."""
    truth, rate = made.truths[0], made.trace.rate_hz
    lift = rng.uniform(0.02, 0.06) * truth.mass_kg * G
    t = np.arange(made.trace.force_n.shape[1]) / rate
    held: Floats = lift * (1 - smooth((t - truth.movement_s + 0.4) / 0.3))
    held = held * smooth((t - made.plan.empty_before_s - 0.7) / 0.3)
    force = made.trace.force_n - held / made.trace.force_n.shape[0]
    return replace(made, trace=replace(made.trace, force_n=force))


def cropped(made: Simulated, start_s: float | None, stop_s: float | None) -> Simulated:
    """Keep a part of a recording; its time axis starts anew."""
    trace, rate = made.trace, made.trace.rate_hz
    first = 0 if start_s is None else max(0, round(start_s * rate))
    last = trace.missing.size if stop_s is None else min(trace.missing.size, round(stop_s * rate))
    part = replace(trace, force_n=trace.force_n[:, first:last], missing=trace.missing[first:last])
    truths: tuple[Truth, ...] = tuple(shifted(truth, -first / rate) for truth in made.truths)
    return replace(made, trace=part, truths=truths)


@dataclass(frozen=True)
class Fault:
    """
    A fault and the notes that name it.

    Attributes
    ----------
    codes : tuple of str
        Any of these counts as flagged.
    plan, signal : callable or None
        How it is put in.
    kind : JumpKind or None
        The jump it needs.
    """

    codes: tuple[str, ...]
    plan: Callable[[Plan, Rng], Plan] | None = None
    signal: Callable[[Simulated, Rng], Simulated] | None = None
    kind: JumpKind | None = None


FAULTS: dict[str, Fault] = {
    "weighing too short": Fault(("weighing-short",), signal=weighing_short, kind=JumpKind.CMJ),
    "unquiet weighing": Fault(("weighing-unquiet",), plan=weighing_unquiet),
    "drift": Fault(("drift",), plan=drift),
    "offset, no empty plate but the flight": Fault(("offset",), signal=offset_unseen),
    "clipping": Fault(("clipping",), signal=clipped),
    "dropped samples": Fault(("dropped",), signal=dropped),
    "moved before the jump": Fault(("moved-before",), plan=moved_before),
    "landed deep": Fault(("landed-deep",), plan=landed_deep),
    "low rate": Fault(("low-rate",), plan=low_rate),
    "cut before landing": Fault(("no-landing",), signal=cut_before_landing),
    "leaned on something": Fault(
        ("weight-changed", "heights-disagree", "moved-before"), signal=leaned
    ),
    "dip in a squat jump": Fault(("countermovement",), plan=dipped_squat, kind=JumpKind.SJ),
}


def with_fault(name: str, rng: Rng) -> Simulated:
    """
    Make one recording with one jump and one fault.

    Parameters
    ----------
    name : str
        A key of `FAULTS`.
    rng : numpy.random.Generator
        Settles everything drawn.
    """
    fault = FAULTS[name]
    plan = faultless_plan(rng)
    jump: Jump = plan.jumps[0]
    if fault.kind is not None:
        jump = replace(jump, kind=fault.kind)
    plan = replace(plan, jumps=(jump,))
    if fault.plan is not None:
        plan = fault.plan(plan, rng)
    made = simulate(plan, int(rng.integers(2**31)), name=name)
    return made if fault.signal is None else fault.signal(made, rng)
