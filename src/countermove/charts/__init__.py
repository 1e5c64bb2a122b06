"""Charts as SVG: pure functions from the record's objects to a drawing with its words."""

from countermove.charts.trace import trace_svg
from countermove.charts.trace_marks import Point, force_at_zero, points_of, span_shown

__all__ = ["Point", "force_at_zero", "points_of", "span_shown", "trace_svg"]
