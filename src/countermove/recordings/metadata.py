"""Rate and unit as the lines above a table state them, in whatever words."""

from __future__ import annotations

import re

from countermove.recordings.labels import unit_named

NUMBER = r"(\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:[.,]\d+)?(?:e[+-]?\d+)?)"
RATE_WORDS = r"(?:sampl\w*|sampling|abtast\w*|mess(?:rate|frequenz)|rate|freq\w*|fr[eé]q\w*|frec\w*"
RATE_WORDS += r"|cadence|muestreo|campion\w*|amostra\w*|hz|fs)"
PERIOD_WORDS = r"(?:interval\w*|period\w*|p[eé]riode|intervall\w*|per[ií]odo|\bdt\b|step|delta)"
HERTZ = re.compile(NUMBER + r"\s*(k?)(?:hz|hertz|sps|samples\s*(?:/|per)\s*s\w*)\b", re.IGNORECASE)
AFTER_WORD = re.compile(
    r"\b"
    + RATE_WORDS
    + r"\b[^\d]{0,40}?[\s:=,;\t\"]\s*"
    + NUMBER
    + r"\s*(k?)(?:hz|hertz)?\"?\s*(?:$|[,;\t])",
    re.IGNORECASE,
)
PERIOD = re.compile(
    PERIOD_WORDS + r"[^\d]{0,40}?[\s:=,;\t\"(]\s*" + NUMBER + r"\s*([mµμu]?s)(?:ec\w*)?\b",
    re.IGNORECASE,
)
NOT_A_RATE = re.compile(
    r"filter|cut.?off|low.?pass|high.?pass|notch|butterworth|grenzfrequenz|coupure|corte|video|camera"
    r"|kamera|cam[eé]ra|mains|duration|dauer|heart|number of|total (?:number|samples)|anzahl",
    re.IGNORECASE,
)
UNIT = re.compile(
    r"\b(?:force|kraft|fuerza|forza)?\s*(?:units?|einheit(?:en)?|unit[eé]s?|unidad(?:es)?|unit[aà])\b"
    r"[^:=,;\t]{0,30}?[\s:=,;\t\"(\[]+([a-z%µμ/.]+)",
    re.IGNORECASE,
)
SECONDS = {"s": 1.0, "ms": 1e-3, "us": 1e-6, "µs": 1e-6, "μs": 1e-6}
LONGEST = 500  # a line longer than this states no rate, and would be slow to search


def stated_rates_hz(lines: list[str]) -> tuple[float, ...]:
    """
    Give every rate of sampling that the lines state, each once.

    Parameters
    ----------
    lines : list of str
        The lines above the table, with its heading.

    Returns
    -------
    tuple of float
        In the order met. [Hz] Filters, cameras and the mains have frequencies too: lines about
        these are passed over.
    """
    found: dict[float, None] = {}
    for line in lines:
        if len(line) <= LONGEST and not NOT_A_RATE.search(line):
            found.update(dict.fromkeys(_rates_in(line)))
    return tuple(found)


def stated_units(lines: list[str]) -> tuple[str, ...]:
    """Give every unit of force that the lines state, each once."""
    met = (match[1] for line in lines if len(line) <= LONGEST for match in UNIT.finditer(line))
    units = dict.fromkeys(unit_named(word) for word in met)
    return tuple(unit for unit in units if unit in ("N", "kN", "kgf", "lbf", "relative", "raw"))


def _rates_in(line: str) -> list[float]:
    found = [_number(m[1]) * (1000 if m[2] else 1) for m in HERTZ.finditer(line)]
    if not found:
        found = [
            1 / (_number(m[1]) * SECONDS[m[2].lower()])
            for m in PERIOD.finditer(line)
            if _number(m[1])
        ]
    if not found:
        found = [_number(m[1]) * (1000 if m[2] else 1) for m in AFTER_WORD.finditer(line)]
    return [round(rate, 6) for rate in found if rate > 0]


def _number(text: str) -> float:
    """Read a number; 1,000 is a thousand and 1000,0 has a decimal comma."""
    if re.fullmatch(r"[1-9]\d{0,2}(?:,\d{3})+(?:\.\d+)?", text):
        return float(text.replace(",", ""))
    return float(text.replace(",", "."))
