"""How a table is written: what stands between the cells, and what marks the decimals."""

from __future__ import annotations

import csv
import re
from collections import Counter
from dataclasses import dataclass

from countermove.errors import AmbiguousRecording, UnreadableRecording
from countermove.recordings.options import SEPARATORS, ForceOptions

NUMBERS = {
    ".": re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII),
    ",": re.compile(r"[+-]?(?:\d+,?\d*|,\d+)(?:[eE][+-]?\d+)?", re.ASCII),
}
# What files write where no sample was taken; the reader gets each in three spellings.
MISSING_WORDS = (
    "nan",
    "-nan",
    "na",
    "n/a",
    "#n/a",
    "null",
    "none",
    "inf",
    "-inf",
    "+inf",
    "-",
    "--",
)
MISSING = frozenset({"", *MISSING_WORDS})
THOUSANDS = re.compile(
    r"[+-]?[1-9]\d{0,2}(?:\.\d{3})+,\d+|[+-]?[1-9]\d{0,2}(?:,\d{3})+\.\d+", re.ASCII
)
ORDER = ("\t", ";", " ", ",", "")


@dataclass(frozen=True)
class Dialect:
    """
    How the rows of one table are written.

    Attributes
    ----------
    separator : str
        Between the cells; empty where there is one column only.
    decimal : str
        Point or comma.
    n_columns : int
        Cells in a row.
    numeric : tuple of int
        Columns in which the rows that were looked at hold numbers, counted from 0.
    wordy : tuple of int
        Columns in which they hold words.
    paired : bool
        True where a comma stands between cells and also in every number.
    """

    separator: str
    decimal: str
    n_columns: int
    numeric: tuple[int, ...]
    wordy: tuple[int, ...] = ()
    paired: bool = False

    def cells(self, line: str) -> list[str]:
        """Give the cells of a line, without blanks around them."""
        return cells_of(line, self.separator)

    def is_row(self, line: str) -> bool:
        """Say whether a line is a row of this table's numbers."""
        cells = self.cells(line)
        if len(cells) != self.n_columns:
            return False
        number = NUMBERS[self.decimal].fullmatch
        read = [bool(number(cells[i])) for i in self.numeric]
        return any(read) and all(
            ok or cells[i].lower() in MISSING for ok, i in zip(read, self.numeric, strict=True)
        )


def cells_of(line: str, separator: str) -> list[str]:
    """Give the cells of a line that `separator` parts; a space stands for any run of blanks."""
    if separator == " ":
        return line.split()
    if not separator:
        return [line.strip().strip('"')]
    if '"' in line:
        whole = line.replace("\r", " ")
        return [cell.strip() for cell in next(csv.reader([whole], delimiter=separator), [])]
    return [cell.strip() for cell in line.split(separator)]


def dialect_of(lines: list[str], options: ForceOptions) -> Dialect | None:
    """
    Find how the given lines are written.

    Parameters
    ----------
    lines : list of str
        Lines from the midst of the file, where a recording has nothing but numbers.
    options : ForceOptions
        `separator` and `decimal` narrow the search.

    Returns
    -------
    Dialect or None
        The reading that leaves the fewest words; None where no reading finds numbers.

    Raises
    ------
    UnreadableRecording
        If the numbers carry thousands marks.
    """
    fits = [
        fit
        for separator in _separators(options)
        if not separator or any(separator in line for line in lines)
        for decimal in _decimals(separator, lines, options)
        if (fit := _fit(lines, separator, decimal)) is not None
    ]
    if not fits:
        _refuse_thousands(lines)
        return None
    return min(fits, key=lambda fit: len(fit.wordy))


def refuse_comma_clash(
    dialect: Dialect, header: list[str], lines: list[str], options: ForceOptions
) -> Dialect:
    """
    Settle whether commas between whole numbers are separators, decimal marks, or both.

    Parameters
    ----------
    dialect : Dialect
        As `dialect_of` gave it.
    header : list of str
        Column names, empty where the file has none.
    lines : list of str
        Rows of the table.
    options : ForceOptions
        A named decimal mark or separator settles it.

    Raises
    ------
    AmbiguousRecording
        If more than one of these fits.
    """
    if dialect.separator != "," or any("." in line or '"' in line for line in lines):
        return dialect
    twice = bool(header) and dialect.n_columns == 2 * len(header)
    if twice and options.decimal == ",":
        n = len(header)
        return Dialect(",", ",", n, tuple(range(n)), paired=True)
    if twice:
        raise AmbiguousRecording(
            f"the heading names {len(header)} columns, the rows hold {dialect.n_columns} whole"
            " numbers parted by commas: the comma seems to be both separator and decimal mark;"
            " export with semicolons, or pass --decimal , to join the numbers in pairs",
            flag="--decimal",
        )
    settled = options.decimal == "." or options.separator is not None or len(header) > 1
    if settled or dialect.n_columns % 2:
        return dialect
    raise AmbiguousRecording(
        f"rows such as {lines[0].strip()[:40]!r} may hold whole numbers parted by commas, or"
        " numbers with a decimal comma; pass --decimal . or --decimal ,",
        flag="--decimal",
    )


def _separators(options: ForceOptions) -> tuple[str, ...]:
    if options.separator is None:
        return ORDER
    return (SEPARATORS[options.separator], "")


def _decimals(separator: str, lines: list[str], options: ForceOptions) -> tuple[str, ...]:
    if separator == "," and not any('"' in line for line in lines):
        return (".",)  # whether the comma marks decimals too is settled with the heading in view
    return (".", ",") if options.decimal is None else (options.decimal,)


def _fit(lines: list[str], separator: str, decimal: str) -> Dialect | None:
    rows = [cells_of(line, separator) for line in lines]
    n_columns, n_rows = Counter(map(len, rows)).most_common(1)[0]
    if n_rows < 0.7 * len(rows) or (separator and n_columns < 2):
        return None
    columns = list(zip(*(row for row in rows if len(row) == n_columns), strict=True))
    numeric = tuple(i for i, cells in enumerate(columns) if _holds_numbers(cells, decimal))
    if not numeric:
        return None
    known = set(numeric)
    wordy = tuple(
        i
        for i, cells in enumerate(columns)
        if i not in known and not all(cell.lower() in MISSING for cell in cells)
    )
    return Dialect(separator, decimal, n_columns, numeric, wordy)


def _holds_numbers(cells: tuple[str, ...], decimal: str) -> bool:
    number = NUMBERS[decimal].fullmatch
    found = 0
    for cell in cells:
        if number(cell):
            found += 1
        elif cell.lower() not in MISSING:
            return False
    return found > 0


def _refuse_thousands(lines: list[str]) -> None:
    cells = (cell for line in lines for cell in re.split(r'[\s;"]+', line))
    met = next((cell for cell in cells if THOUSANDS.fullmatch(cell)), None)
    if met is not None:
        raise UnreadableRecording(
            f"numbers such as {met} carry marks between thousands; export without them"
        )
