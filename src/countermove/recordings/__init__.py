"""
Outside files to arrays with units.

    reading   the steps in their order: start here
    options   what the caller may settle; trace, what every file becomes
    text      bytes to plain text, and what is no text
    layout    where the table begins (dialects: how it is written)
    labels    what a heading says (heading_words: the words that are known)
    metadata  rate and unit, as the lines above the table state them
    columns   which columns hold force and time (behaviour: by what they do)
    values    cells to arrays
    clock     the rate (timeline: from printed times to an even axis)
    grids     forces on that axis, gaps filled and marked
    newtons   unit and sign
"""

from countermove.recordings.options import DEFAULT_MAX_BYTES, ForceOptions
from countermove.recordings.reading import parse_force, read_force
from countermove.recordings.trace import ForceTrace

__all__ = ["DEFAULT_MAX_BYTES", "ForceOptions", "ForceTrace", "parse_force", "read_force"]
