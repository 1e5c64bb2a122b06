"""Record to text and back: TOML and JSON with schema number, upgrade steps, errors with a path."""

from countermove.codec.documents import (
    ATHLETE,
    EXAMINATION,
    Format,
    parse,
    read_athlete,
    to_json,
    write_athlete,
)
from countermove.codec.strict import convert

__all__ = [
    "ATHLETE",
    "EXAMINATION",
    "Format",
    "convert",
    "parse",
    "read_athlete",
    "to_json",
    "write_athlete",
]
