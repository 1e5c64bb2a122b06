"""Results drawn as SVG text by pure functions: no style, no script, words with every drawing."""

from countermove.charts.chain import joint, small_chain
from countermove.charts.occasions import Occasion, Reading, occasion_of
from countermove.charts.plate import Plate, Row, plate
from countermove.charts.standing import draw_standing
from countermove.charts.trace import trace_svg
from countermove.charts.trace_marks import (
    Point,
    force_at_zero,
    moved_from,
    points_of,
    span_shown,
)

__all__ = [
    "Occasion",
    "Plate",
    "Point",
    "Reading",
    "Row",
    "draw_standing",
    "force_at_zero",
    "joint",
    "moved_from",
    "occasion_of",
    "plate",
    "points_of",
    "small_chain",
    "span_shown",
    "trace_svg",
]
