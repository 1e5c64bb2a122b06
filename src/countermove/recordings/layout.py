"""Where in a text the table begins, how it is written, and what stands above it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from countermove.errors import UnreadableRecording
from countermove.recordings.dialects import Dialect, cells_of, dialect_of, refuse_comma_clash
from countermove.recordings.labels import Label, read_label, unit_named
from countermove.recordings.options import ForceOptions
from countermove.recordings.text import decoded

LOOKED_AT = 8  # rows are enough to tell how a table is written
CHUNK = 2048  # bytes in which that many rows are looked for at first
MAX_COLUMNS = 500  # our default: two plates of every channel have under 50
HEADING_ROWS = 4  # names, units, plates above them, and one to spare


@dataclass(frozen=True)
class Layout:
    """
    One table in a text.

    Attributes
    ----------
    start : int
        Offset of the first row of numbers, in bytes.
    dialect : Dialect
        How its rows are written.
    labels : tuple of Label
        One a column; without text where the file has no heading.
    above : list of str
        The lines before the first row.
    rows : list of str
        Some rows, as they stand.
    """

    start: int
    dialect: Dialect
    labels: tuple[Label, ...]
    above: list[str]
    rows: list[str]

    @property
    def named(self) -> bool:
        """Whether the file has a heading."""
        return any(label.text for label in self.labels)

    def title(self, column: int) -> str:
        """Give a column's number and name, as messages show it."""
        text = self.labels[column].text[:40]
        return f"{column + 1} ({text})" if text else f"{column + 1}"


def layout_of(text: bytes, options: ForceOptions) -> Layout:
    """
    Find the table in a text.

    Parameters
    ----------
    text : bytes
        From `plain_text`.
    options : ForceOptions
        Separator and decimal mark, where the caller named them.

    Raises
    ------
    UnreadableRecording
        If the text holds no table of numbers.
    AmbiguousRecording
        If its commas fit more than one reading.
    """
    dialect, rows = _dialect_in(text, options)
    start, above = _first_row(text, dialect)
    if dialect.n_columns > MAX_COLUMNS:
        raise UnreadableRecording(
            f"a row holds {dialect.n_columns} numbers, more than any force plate gives; export one"
            " sample a line, time running downwards"
        )
    names, units = _heading(above, dialect)
    dialect = refuse_comma_clash(dialect, names, rows, options)
    labels = tuple(
        read_label(name, unit) for name, unit in zip(*_filled(names, units, dialect), strict=True)
    )
    return Layout(start, dialect, labels, above, rows)


def _dialect_in(text: bytes, options: ForceOptions) -> tuple[Dialect, list[str]]:
    best: tuple[Dialect, list[str]] | None = None
    for part in (0.5, 0.75, 0.25, 0.95):
        lines = _lines_at(text, int(part * len(text)))
        dialect = dialect_of(lines, options) if lines else None
        if dialect is not None and (best is None or len(dialect.wordy) < len(best[0].wordy)):
            best = dialect, lines
        if best is not None and not best[0].wordy:
            return best
    if best is None:
        raise UnreadableRecording(
            "the file holds text but no table of numbers; export the force of every sample, one a"
            " line"
        )
    return best


def _lines_at(text: bytes, offset: int) -> list[str]:
    """Give a few whole lines around an offset; all lines where the text is short."""
    size = CHUNK
    while True:
        start = max(0, offset - size // 2)
        lines = text[start : offset + size].split(b"\n")
        whole_start, whole_end = start == 0, offset + size >= len(text)
        lines = lines[0 if whole_start else 1 : None if whole_end else -1]
        lines = [line for line in lines if line.strip()]
        if len(lines) >= LOOKED_AT or (whole_start and whole_end):
            break
        size *= 8
    middle = max(0, (len(lines) - LOOKED_AT) // 2)
    return [decoded(line) for line in lines[middle : middle + LOOKED_AT]]


def _lines(text: bytes) -> Iterator[tuple[int, str]]:
    start = 0
    while start < len(text):
        end = text.find(b"\n", start)
        end = len(text) if end < 0 else end
        yield start, decoded(text[start:end]).rstrip("\r")
        start = end + 1


def _first_row(text: bytes, dialect: Dialect) -> tuple[int, list[str]]:
    """Find the first two rows in a run: one alone may be a numbering of the columns."""
    above: list[str] = []
    held: tuple[int, str] | None = None
    for start, line in _lines(text):
        if dialect.is_row(line):
            if held is not None:
                return held[0], above
            held = start, line
        elif line.strip():
            if held is not None:
                above.append(held[1])
            held = None
            above.append(line)
    raise UnreadableRecording(
        "the file holds no run of rows with numbers; export the force of every sample, one a line"
    )


def _heading(above: list[str], dialect: Dialect) -> tuple[list[str], list[str]]:
    """Give the names of the columns and their units, from the rows just above the table."""
    rows = [row for line in above[-HEADING_ROWS:] if (row := _heading_cells(line, dialect))]
    units: list[str] = []
    if rows and _is_units(rows[-1]):
        units = rows.pop()
    names = rows[-1] if rows else units
    named = [name for name in names if name]
    if len(set(named)) < len(named) and len(rows) > 1 and len(rows[-2]) == len(names):
        names = _under_groups(rows[-2], names)
    return names, units if units is not names else []


def _heading_cells(line: str, dialect: Dialect) -> list[str]:
    """Give the cells of a heading that fits the table's width; none where it does not."""
    line = line.lstrip("#%/*! \t" if dialect.separator != "\t" else "#%/*! ")
    cells = cells_of(line, dialect.separator)
    if dialect.separator == " " and len(cells) != dialect.n_columns:
        cells = _regrouped(line, cells, dialect.n_columns)
    while len(cells) > dialect.n_columns and not cells[-1]:
        cells.pop()
    halved = dialect.separator == "," and 2 * len(cells) == dialect.n_columns
    if len(cells) == dialect.n_columns or halved:
        return cells if any(cells) else []
    if len(cells) == dialect.n_columns - 1 and len(cells) > 1 and _has_blank_end(dialect):
        return [*cells, ""]
    return []


def _has_blank_end(dialect: Dialect) -> bool:
    """Whether rows end with a separator, so that their last cell is empty."""
    return dialect.n_columns - 1 not in dialect.numeric


def _regrouped(line: str, cells: list[str], n_columns: int) -> list[str]:
    """Put a heading of several words a column together again."""
    by_two = [cell.strip() for cell in line.replace("\t", "  ").split("  ") if cell.strip()]
    if len(by_two) == n_columns:
        return by_two
    joined: list[str] = []
    for cell in cells:
        if joined and cell[:1] in "([{<":
            joined[-1] += f" {cell}"
        else:
            joined.append(cell)
    return joined


def _is_units(cells: list[str]) -> bool:
    met = [cell for cell in cells if cell]
    return bool(met) and all(unit_named(cell) or cell == "-" for cell in met)


def _under_groups(groups: list[str], names: list[str]) -> list[str]:
    """Put the plate's name, written once above its columns, before each of them."""
    held, joined = "", []
    for group, name in zip(groups, names, strict=True):
        held = group or held
        joined.append(f"{held} {name}".strip())
    return joined


def _filled(names: list[str], units: list[str], dialect: Dialect) -> tuple[list[str], list[str]]:
    blank = [""] * dialect.n_columns
    return (names if len(names) == dialect.n_columns else blank), (
        units if len(units) == dialect.n_columns else blank
    )
