"""What we know, as TOML with sources, loaded into one immutable Catalogue."""

from countermove.catalogue.catalogue import (
    Catalogue,
    build_catalogue,
    current,
    load_catalogue,
    norm_for,
)
from countermove.catalogue.cautions import Caution, Consequence
from countermove.catalogue.cited import Cited
from countermove.catalogue.entries import (
    Dose,
    Drill,
    Gate,
    Impact,
    Quality,
    Sample,
    Segment,
    Sense,
    Source,
    TendonLoad,
)
from countermove.catalogue.prerequisites import (
    drills_before,
    ladder_of,
    levels_of,
    unreachable,
)
from countermove.catalogue.testing import Background, Choice, Fixed, Norm, Target, Test, TestError

__all__ = [
    "Background",
    "Catalogue",
    "Caution",
    "Choice",
    "Cited",
    "Consequence",
    "Dose",
    "Drill",
    "Fixed",
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
    "norm_for",
    "unreachable",
]
