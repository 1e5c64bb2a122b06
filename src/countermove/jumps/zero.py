"""
The reading of the really empty plate.

The plate is empty before the athlete steps on, after stepping off, and in every flight. Where these
agree, their common mean is the offset; where they do not, the plate drifts, and the flight of the
jump itself, nearest in time, is used. Nothing else is ever taken for zero. A constant offset
cancels in force less weight, and enters the height only through the mass.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from countermove.jumps.checks import Floats
from countermove.jumps.contacts import LONGEST_DIP_S, Flight, Plate, Span

# Left off at the ends of an empty stretch: feet arrive and leave slowly, plates ring (our-default)
STEP_MARGIN_S = 0.15
FLIGHT_MARGIN_S = 0.04
# Means of empty stretches may differ by this much before it is called drift: four standard errors,
# doubled because plate noise is seldom white, and a little (our-default).
AGREE_SE = 8.0
AGREE_N = 0.5


@dataclass(frozen=True)
class Zero:
    """
    The empty plate, as one jump sees it.

    Attributes
    ----------
    offset_n, noise_n : float
        Mean and standard deviation of the empty plate. [N]
    spans : tuple of Span
        The samples that they come from.
    where : str
        The same in words.
    drift_n_s : float
        Slope through the empty stretches; 0 where they agree. [N/s]
    """

    offset_n: float
    noise_n: float
    spans: tuple[Span, ...]
    where: str
    drift_n_s: float = 0.0


def find_zero(
    total_n: Floats, rate_hz: float, plate: Plate, flights: tuple[Flight, ...], flight: Flight
) -> Zero:
    """Give the reading of the empty plate for one jump."""
    spans, names = _empty_spans(total_n, rate_hz, plate, flights)
    sizes = np.array([len(span) for span in spans], dtype=np.float64)
    means = np.array([span.of(total_n).mean() for span in spans])
    variances = np.array([span.of(total_n).var() for span in spans])
    noise = float(np.sqrt(np.average(variances, weights=sizes)))
    pooled = float(np.average(means, weights=sizes))
    allowed = AGREE_SE * noise / np.sqrt(sizes) + AGREE_N
    if bool(np.all(np.abs(means - pooled) <= allowed)):
        return Zero(pooled, noise, tuple(spans), _in_words(names))
    own = flights.index(flight) + names.count("before stepping on")
    centres = np.array([(span.start + span.stop) / 2 for span in spans]) / rate_hz
    slope = np.polyfit(centres, means, 1, w=np.sqrt(sizes))[0]
    own_noise = float(np.sqrt(variances[own]))
    return Zero(float(means[own]), own_noise, (spans[own],), "in flight", float(slope))


def _empty_spans(
    total_n: Floats, rate_hz: float, plate: Plate, flights: tuple[Flight, ...]
) -> tuple[list[Span], list[str]]:
    """Give the inner part of every empty stretch, and what it is."""
    step, air = round(STEP_MARGIN_S * rate_hz), round(FLIGHT_MARGIN_S * rate_hz)
    spans = [flight.air.inner(air) for flight in flights]
    names = ["in flight"] * len(flights)
    first, last = plate.empties[0], plate.empties[-1]
    used = {flight.air for flight in flights}
    if first.start == 0 and first not in used and len(first) >= LONGEST_DIP_S * rate_hz:
        spans.insert(0, Span(0, first.stop).inner(step))
        names.insert(0, "before stepping on")
    at_end = last.stop == total_n.size
    if at_end and last not in used and last != first and len(last) >= LONGEST_DIP_S * rate_hz:
        spans.append(last.inner(step))
        names.append("after stepping off")
    return spans, names


def _in_words(names: list[str]) -> str:
    """Say where the plate was empty, each place once."""
    places = list(dict.fromkeys(names))
    return places[0] if len(places) == 1 else ", ".join(places[:-1]) + " and " + places[-1]
