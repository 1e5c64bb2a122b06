"""Results drawn as SVG text by pure functions: no style, no script, words with every drawing."""

from countermove.charts.chain import joint, small_chain
from countermove.charts.occasions import Occasion, Reading, occasion_of
from countermove.charts.plate import Plate, Row, plate
from countermove.charts.standing import StandingFigure, draw_standing, standing_figure

__all__ = [
    "Occasion",
    "Plate",
    "Reading",
    "Row",
    "StandingFigure",
    "draw_standing",
    "joint",
    "occasion_of",
    "plate",
    "small_chain",
    "standing_figure",
]
