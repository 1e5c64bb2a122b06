"""What we know, as TOML with sources, loaded into one immutable Catalogue."""

from countermove.catalogue.catalogue import Catalogue, build_catalogue, current, load_catalogue
from countermove.catalogue.cited import Cited
from countermove.catalogue.entries import (
    Caution,
    Choice,
    Consequence,
    Dose,
    Drill,
    Gate,
    Impact,
    Norm,
    Quality,
    Sample,
    Segment,
    Sense,
    Source,
    Target,
    TendonLoad,
    Test,
    TestError,
)
from countermove.catalogue.prerequisites import (
    drills_before,
    ladder_of,
    levels_of,
    unreachable,
)

__all__ = [
    "Catalogue",
    "Caution",
    "Choice",
    "Cited",
    "Consequence",
    "Dose",
    "Drill",
    "Gate",
    "Impact",
    "Norm",
    "Quality",
    "Sample",
    "Segment",
    "Sense",
    "Source",
    "Target",
    "TendonLoad",
    "Test",
    "TestError",
    "build_catalogue",
    "current",
    "drills_before",
    "ladder_of",
    "levels_of",
    "load_catalogue",
    "unreachable",
]
