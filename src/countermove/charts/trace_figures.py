"""
Small figures over a force trace: each stands over the moment it names.

They are drawn poses, not measurements: how deep or how high, the numbers tell.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from countermove.charts.trace_marks import span_shown
from countermove.figure import Moment
from countermove.record import JumpKind, Trial
from countermove.recordings import ForceTrace

# Where two would touch, the later of this list stays away.
FIRST = ("lowest", "takeoff", "flight", "landing", "standing")
AIR_PX = 3.0  # between two figures


def moment_times(trace: ForceTrace, trial: Trial, *, lead_s: float) -> dict[str, float]:
    """
    Give when each moment of a jump is; what the trial does not hold is left out.

    Parameters
    ----------
    trace : ForceTrace
        The recording.
    trial : Trial
        The jump.
    lead_s : float
        How much standing is shown before it: the standing figure is in its middle. [s]

    Returns
    -------
    dict of str to float
        By the names of `figure.Moment`. [s] A squat jump begins at its lowest point.
    """
    first, _ = span_shown(trace, trial, lead_s=lead_s)
    phases = {phase.name: phase for phase in trial.phases}
    push, landing = phases.get("propulsion"), phases.get("landing")
    squat = trial.kind is JumpKind.SJ
    times = {
        "standing": None if squat or trial.onset_s is None else (first + trial.onset_s) / 2,
        "lowest": trial.bottom_s or (push.start_s if push and squat else None),
        "takeoff": trial.takeoff_s,
        "flight": _middle(trial),
        "landing": landing.end_s if landing else None,
    }
    return {name: time for name, time in times.items() if time is not None}


def _middle(trial: Trial) -> float | None:
    if trial.takeoff_s is None or trial.landing_s is None:
        return None
    return (trial.takeoff_s + trial.landing_s) / 2


def figures_over(
    moments: Sequence[Moment], places: dict[str, tuple[float, float]], floor: float
) -> Iterator[str]:
    """
    Draw the figures that have room.

    Parameters
    ----------
    moments : sequence of Moment
        From `figure.jump_moments`.
    places : dict of str to tuple of float
        Time and x of each moment. [s], [px]
    floor : float
        Where their feet stand. [px]
    """
    ends: list[tuple[float, float]] = []
    by_name = {moment.name: moment for moment in moments}
    for name in FIRST:
        if name not in places or name not in by_name:
            continue
        moment, (time, x) = by_name[name], places[name]
        left, right = x + moment.left - AIR_PX, x + moment.right + AIR_PX
        taken = any(left < end and start < right for start, end in ends)
        if not taken:
            ends.append((left, right))
        shown = ' display="none"' if taken else ""
        reach = (
            f'data-at="{time:.4f}" data-left="{moment.left:.1f}" data-right="{moment.right:.1f}"'
        )
        yield (
            f'<g class="moment" data-name="{name}" {reach}{shown}'
            f' transform="translate({x:.1f} {floor:.1f})">{moment.limbs}</g>'
        )
