"""
A force trace as a drawing: the force as an ink line over a floor that is the time axis.

Named brackets stand under the axis, circles where numbers stand, one hatch a tenth of a second. A
column of pixels keeps its least and greatest force, so that no peak is lost by drawing small.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape
from itertools import pairwise
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from countermove.charts.trace_figures import figures_over, moment_times
from countermove.charts.trace_marks import (
    LEAD_S,
    NARROW_LEAD_S,
    Point,
    force_at_zero,
    moved_from,
    points_of,
    span_shown,
)
from countermove.figure import Moment
from countermove.record import Phase, Side, Trial
from countermove.recordings import ForceTrace

HATCH_S = 0.1
TICK_N = 500.0
LEAST_BRACKET_PX = 20
LENGTH_PX = 40  # a length needs this much
STRIP_PX = {False: 166, True: 100}  # for the small figures, wide and narrow
FIGURE_FLOOR_PX = -8  # where they stand, above the drawing
LETTER_PX = 7.2  # of the italic bracket names, on average


@dataclass(frozen=True)
class Frame:
    """The paper: its size in pixels, and where time and force lie on it."""

    width: int
    height: int
    left: int
    right: int
    top: int
    floor: int
    span_s: tuple[float, float]
    most_n: float
    narrow: bool

    def x(self, time_s: float) -> float:
        """Pixels from the left."""
        start, end = self.span_s
        return self.left + (time_s - start) / (end - start) * (self.right - self.left)

    def y(self, force_n: float) -> float:
        """Pixels from the top."""
        return self.floor - force_n / self.most_n * (self.floor - self.top)


def trace_svg(
    trace: ForceTrace,
    trial: Trial,
    *,
    length_unit: str = "cm",
    narrow: bool = False,
    key: str = "trace",
    moments: Sequence[Moment] = (),
    found: Trial | None = None,
) -> str:
    """
    Draw one trial.

    Parameters
    ----------
    trace : ForceTrace
        The recording.
    trial : Trial
        One of its jumps.
    length_unit : str, optional
        For heights: ``cm`` or ``in``.
    narrow : bool, optional
        For a phone: letters at the points, the numbers left to a list beside it.
    key : str, optional
        Makes the ids of title and description unique on a page.
    moments : sequence of Moment, optional
        Small figures that stand over the phases, from `figure.jump_moments`.
    found : Trial, optional
        The same jump without what a hand set: where an event was found is drawn as a broken line.

    Returns
    -------
    str
        An SVG element with title and description; classes only, no style of its own.
    """
    force = force_at_zero(trace, found or trial)
    points = points_of(trace, trial, length_unit=length_unit, found=found)
    frame = _frame(trace, trial, force.sum(axis=0), narrow=narrow)
    strip = STRIP_PX[narrow] if moments else 0
    parts = [
        *_figures(frame, trace, trial, moments),
        *_found(frame, trial, found),
        *_axis(frame),
        *_weight(frame, trial),
        *_floor(frame),
        *_feet(frame, trace, force),
        f'<path class="trace" d="{_line(frame, trace, force.sum(axis=0))}"/>',
        *_brackets(frame, trial.phases),
        *(mark for point in points for mark in _point(frame, point, trial.weight_n or 0.0)),
    ]
    return (
        f'<svg viewBox="0 {-strip} {frame.width} {frame.height + strip}" width="{frame.width}"'
        f' height="{frame.height + strip}" role="img" aria-labelledby="{key}-title {key}-desc">'
        f'<title id="{key}-title">{escape(_title(trial))}</title>'
        f'<desc id="{key}-desc">{escape(_words(trial, points, moments, found))}</desc>'
        + "".join(parts)
        + "</svg>"
    )


def _frame(trace: ForceTrace, trial: Trial, total: NDArray[np.float64], *, narrow: bool) -> Frame:
    span = span_shown(trace, trial, lead_s=NARROW_LEAD_S if narrow else LEAD_S)
    first, last = (round((edge - trace.start_s) * trace.rate_hz) for edge in span)
    most = TICK_N * ceil((float(total[first:last].max()) + 0.3 * TICK_N) / TICK_N)
    if narrow:
        return Frame(358, 406, 6, 352, 24, 318, span, most, narrow)
    return Frame(1120, 500, 58, 1044, 28, 412, span, most, narrow)


def _figures(
    frame: Frame, trace: ForceTrace, trial: Trial, moments: Sequence[Moment]
) -> Iterator[str]:
    """Stand the small figures on a line of their own above the drawing."""
    if not moments:
        return
    times = moment_times(trace, trial, lead_s=NARROW_LEAD_S if frame.narrow else LEAD_S)
    places = {name: (time, frame.x(time)) for name, time in times.items()}
    yield '<g class="moments">'
    yield f'<path class="hair" d="M{frame.left} {FIGURE_FLOOR_PX}H{frame.right}"/>'
    yield from figures_over(moments, places, FIGURE_FLOOR_PX)
    yield "</g>"


def _found(frame: Frame, trial: Trial, found: Trial | None) -> Iterator[str]:
    """Draw where an event was found that a hand moved."""
    for there in moved_from(trial, found or trial):
        if frame.left < frame.x(there) < frame.right:
            yield f'<path class="wasfound" d="M{frame.x(there):.1f} {frame.top}V{frame.floor}"/>'


def _axis(frame: Frame) -> Iterator[str]:
    if frame.narrow:
        return
    for newtons in np.arange(0.0, frame.most_n + 1, TICK_N):
        y = frame.y(newtons)
        yield f'<path class="axis" d="M{frame.left - 5} {y:.1f}h5"/>'
        yield f'<text class="end soft" x="{frame.left - 10}" y="{y + 5:.1f}">{newtons:.0f}</text>'
    yield f'<text class="it soft" x="0" y="{frame.top - 14}">newtons</text>'


def _weight(frame: Frame, trial: Trial) -> Iterator[str]:
    if trial.weight_n is None:
        return
    y = frame.y(trial.weight_n)
    yield f'<path class="weight" d="M{frame.left} {y:.1f}H{frame.right}"/>'
    if not frame.narrow:
        yield f'<text class="ask" x="{frame.right + 6}" y="{y - 2:.1f}">weight</text>'
        at = f'x="{frame.right + 6}" y="{y + 14:.1f}"'
        yield f'<text class="ask" {at}>{trial.weight_n:.0f} N</text>'


def _floor(frame: Frame) -> Iterator[str]:
    start, end = frame.span_s
    tenths = range(ceil(start / HATCH_S - 1e-9), floor(end / HATCH_S + 1e-9) + 1)
    y = frame.floor
    yield f'<path class="floor" d="M{frame.left} {y}H{frame.right}"/>'
    hatch = "".join(f"M{frame.x(tenth * HATCH_S):.1f} {y + 1}l-6 7" for tenth in tenths)
    yield f'<path class="hatch" d="{hatch}"/>'


def _feet(frame: Frame, trace: ForceTrace, force: NDArray[np.float64]) -> Iterator[str]:
    """Draw each foot as a thinner line, the left dashed; nothing where plates have no side."""
    if set(trace.sides) != {Side.LEFT, Side.RIGHT}:
        return
    for side, plate in zip(trace.sides, force, strict=True):
        dashed = " left" if side is Side.LEFT else ""
        line = _line(frame, trace, plate, column_px=2.0)
        yield f'<path class="plateline{dashed}" d="{line}"/>'
    if not frame.narrow:
        words = "right foot; left foot dashed"
        yield f'<text class="soft" x="{frame.left + 8}" y="{frame.floor - 14}">{words}</text>'


def _line(
    frame: Frame, trace: ForceTrace, force: NDArray[np.float64], *, column_px: float = 1.0
) -> str:
    """Write the path of a force, each column of pixels by its least and greatest value."""
    first, last = (round((edge - trace.start_s) * trace.rate_hz) for edge in frame.span_s)
    first, last = max(0, first), min(force.size, last + 1)
    picked = decimated(force[first:last], round((frame.right - frame.left) / column_px))
    times = trace.start_s + (first + picked) / trace.rate_hz
    pairs = zip(times, force[first + picked], strict=True)
    written = [f"{frame.x(float(t)):.1f} {frame.y(float(f)):.1f}" for t, f in pairs]
    return "M" + "L".join(dict.fromkeys(written))


def decimated(force: NDArray[np.float64], columns: int) -> NDArray[np.intp]:
    """
    Give the samples that draw a line as well as all of them do.

    Parameters
    ----------
    force : ndarray, shape (n_samples,)
        What is drawn.
    columns : int
        Columns of pixels that it is drawn over.

    Returns
    -------
    ndarray of int
        In order: first and last sample, and of each column the least and the greatest.
    """
    if force.size <= 2 * columns:
        return np.arange(force.size)
    edges = np.linspace(0, force.size, columns + 1).astype(np.intp)
    spans = list(pairwise(edges))
    low = [start + int(np.argmin(force[start:stop])) for start, stop in spans]
    high = [start + int(np.argmax(force[start:stop])) for start, stop in spans]
    return np.unique(np.array([0, *low, *high, force.size - 1], dtype=np.intp))


def _brackets(frame: Frame, phases: Sequence[Phase]) -> Iterator[str]:
    """Name each phase under the floor; where names would touch, they stand a line lower."""
    ends = [0.0, 0.0, -np.inf]  # how far right each line is written; the last takes what is left
    for phase in phases:
        start, end = (min(max(frame.x(t), frame.left), frame.right) for t in _edges(phase))
        if end - start < LEAST_BRACKET_PX:
            continue
        yield from _bracket(frame, start, end, open_left=frame.x(phase.start_s) < frame.left)
        half = LETTER_PX * len(phase.name) / 2
        middle = min(max((start + end) / 2, half), frame.width - half)
        line = next(line for line, end_px in enumerate(ends) if middle - half >= end_px)
        ends[line] = middle + half + LETTER_PX if line < 2 else -np.inf
        y = frame.floor + 46
        lower = (18 if frame.narrow else 38) * line
        yield f'<text class="it mid" x="{middle:.1f}" y="{y + lower}">{phase.name}</text>'
        if not frame.narrow and line == 0 and end - start >= LENGTH_PX:
            length = f"{phase.end_s - phase.start_s:.2f} s"
            yield f'<text class="mid soft" x="{middle:.1f}" y="{y + 20}">{length}</text>'


def _edges(phase: Phase) -> tuple[float, float]:
    return phase.start_s, phase.end_s


def _bracket(frame: Frame, start: float, end: float, *, open_left: bool) -> Iterator[str]:
    """Draw a bracket; one that begins before the picture stays open at the left."""
    y = frame.floor + 28
    opens = f"M{start:.1f} {y}" if open_left else f"M{start + 2:.1f} {y - 8}v8"
    yield f'<path class="bracket" d="{opens}H{end - 2:.1f}v-8"/>'
    if not frame.narrow and not open_left:
        yield f'<path class="hair" d="M{start:.1f} {frame.top}V{frame.floor}"/>'


# Where the words of a point stand: anchor, how far right, how far below it. [px]
PLACES = {
    "least": ("mid", 0, -10),  # of the weight line: the dip itself is too narrow for words
    "bottom": ("end", -14, -27),
    "peak": ("end", -14, -27),
    "power": ("", 14, -20),
    "takeoff": ("", 40, -52),
    "landing": ("", 14, -2),
}


def _point(frame: Frame, point: Point, weight_n: float) -> Iterator[str]:
    """Draw a circle and the words that belong to it; on a phone only its letter."""
    x, y = frame.x(point.time_s), frame.y(point.force_n)
    anchor, right, below = PLACES[point.key]
    letter = f'<tspan class="it ask">{point.letter}</tspan>'
    beside = y
    if point.key == "least":
        beside = min(y, frame.y(weight_n))
        yield f'<path class="lead" d="M{x:.1f} {beside - 6:.1f}V{y - 4:.1f}"/>'
    yield f'<circle class="point" cx="{x:.1f}" cy="{y:.1f}" r="4"/>'
    if frame.narrow:
        right, below = {"end": (-16, -6), "mid": (-4, -10)}.get(anchor, (10, -6))
        yield f'<text x="{x + right:.1f}" y="{beside + below:.1f}">{letter}</text>'
        return
    at = f'x="{x + right:.1f}" y="{beside + below:.1f}"'
    yield f'<text class="big {anchor}" {at}>{letter} {escape(point.text)}</text>'
    if point.key != "least":
        at = f'x="{x + right:.1f}" y="{beside + below + 17:.1f}"'
        yield f'<text class="soft {anchor}" {at}>{escape(point.under)}</text>'


def _title(trial: Trial) -> str:
    return f"Vertical force against time, trial {trial.number}"


def _words(
    trial: Trial, points: Sequence[Point], moments: Sequence[Moment], found: Trial | None
) -> str:
    """Say the drawing in words."""
    weight = "" if trial.weight_n is None else f"Weight {trial.weight_n:.0f} newtons. "
    marks = "; ".join(f"{point.letter}: {point.under} {point.text}" for point in points)
    phases = ", ".join(f"{p.name} {p.end_s - p.start_s:.2f} s" for p in trial.phases)
    moved = ", ".join(f"{time:.3f} s" for time in moved_from(trial, found or trial))
    by_hand = f" Moved by hand; broken lines where events were found: {moved}." if moved else ""
    figures = " Small figures name the moments; they are drawn, not measured." if moments else ""
    return f"{weight}{marks}. Phases: {phases}.{by_hand}{figures}"
