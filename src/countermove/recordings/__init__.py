"""
Outside files to arrays with units.

    text      bytes to plain text, and what is no text
    layout    where the table begins (dialects: how it is written; labels, metadata: what it says)
    columns   which columns hold force and time (behaviour: by what they do)
    values    cells to arrays
    clock     the rate (timeline: from printed times to an even axis)
    grids     forces on that axis, gaps filled and marked
    weights   unit and sign
    reading   the steps in their order
"""

from countermove.recordings.options import DEFAULT_MAX_BYTES, ForceOptions
from countermove.recordings.reading import parse_force, read_force
from countermove.recordings.trace import ForceTrace

__all__ = ["DEFAULT_MAX_BYTES", "ForceOptions", "ForceTrace", "parse_force", "read_force"]
