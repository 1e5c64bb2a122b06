"""
Cells to arrays, with pyarrow's reader.

A whole file is read strictly, which is fast. Only where that fails (a row cut short, words among
the numbers) is it read again as text, and what is no number is left out and counted.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pyarrow as pa
from numpy.typing import NDArray
from pyarrow import compute, csv

from countermove.errors import UnreadableRecording
from countermove.recordings.dialects import MISSING, NUMBERS, Dialect

SPOILT_MOST = 0.05  # our default: a table with more rows that are none is not one table
ABSURD = 1e16  # in any unit: an overflow that was printed, and no force or time
# The common few; a longer list slows every cell. The others are found on the second reading.
NULLS = ["", "NaN", "nan", "NA", "N/A", "-"]

# The row handler takes UTF-8 only, and no number has a byte beyond ASCII.
ASCII = bytes(range(128)) + b"?" * 128


@dataclass(frozen=True)
class Columns:
    """
    The columns that were asked for.

    Attributes
    ----------
    values : mapping of int to ndarray, shape (n_rows,)
        By column number, counted from 0; NaN where the file holds no number.
    spoilt : tuple of int
        Rows that could not be read, among those that could; each stands as NaN in `values`.
    last_line : str
        The last line, where it was cut short and left out.
    """

    values: Mapping[int, NDArray[np.float64]]
    spoilt: tuple[int, ...] = field(default=())
    last_line: str = ""


def read_columns(text: memoryview, dialect: Dialect, wanted: Sequence[int]) -> Columns:
    """
    Read the wanted columns of a table.

    Parameters
    ----------
    text : memoryview
        The table alone, without heading.
    dialect : Dialect
        How it is written.
    wanted : sequence of int
        Column numbers, counted from 0.

    Raises
    ------
    UnreadableRecording
        If too many rows do not belong to the table.
    """
    text, last_line = _whole_lines(text, dialect)
    text, dialect = _arrow_can_read(text, dialect)
    try:
        table = _table(text, dialect, wanted, pa.float64())
        return Columns(_arrays(table, wanted), last_line=last_line)
    except pa.ArrowInvalid:
        return _repaired(text, dialect, wanted, last_line)


def _table(
    text: memoryview | bytes,
    dialect: Dialect,
    wanted: Sequence[int],
    kind: pa.DataType,
    **parse: Any,
) -> pa.Table:
    names = [str(i) for i in range(dialect.n_columns)]
    kept = [str(i) for i in wanted]
    return csv.read_csv(
        pa.BufferReader(text),
        read_options=csv.ReadOptions(
            column_names=names,
            use_threads=not parse,
        ),
        parse_options=csv.ParseOptions(
            delimiter=dialect.separator or "\t",
            quote_char='"' if _quoted(text) else False,
            ignore_empty_lines=dialect.n_columns > 1,  # in one column a blank line is a lost sample
            **parse,
        ),
        convert_options=csv.ConvertOptions(
            include_columns=kept,
            column_types=dict.fromkeys(kept, kind),
            decimal_point=dialect.decimal,
            null_values=NULLS,
            check_utf8=False,
        ),
    )


def _quoted(text: memoryview | bytes) -> bool:
    return b'"' in bytes(text[:1024])


def _arrays(table: pa.Table, wanted: Sequence[int]) -> dict[int, NDArray[np.float64]]:
    return {i: _without_absurd(table.column(str(i)).to_numpy()) for i in wanted}


def _without_absurd(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Take infinities and printed overflows for what they are: no sample."""
    known = np.abs(values) < ABSURD
    return values if known.all() else np.where(known, values, np.nan)


def _whole_lines(text: memoryview, dialect: Dialect) -> tuple[memoryview, str]:
    """Leave out a last line that was cut while it was written."""
    if bytes(text[-1:]) == b"\n":
        return text, ""
    tail = bytes(text[-65536:]).split(b"\n")
    if len(tail) < 3:
        return text, ""
    last, before = (line.decode("latin-1").rstrip("\r") for line in (tail[-1], tail[-2]))
    if not _is_cut(dialect, last, before):
        return text, ""
    return text[: len(text) - len(tail[-1])], last


def _is_cut(dialect: Dialect, last: str, before: str) -> bool:
    """Tell whether a line misses cells, or decimals that the line before it has."""
    cells, whole = dialect.cells(last), dialect.cells(before)
    if len(cells) != len(whole):
        return len(cells) < len(whole)
    return _decimals(cells[-1], dialect.decimal) < _decimals(whole[-1], dialect.decimal)


def _decimals(cell: str, decimal: str) -> int:
    return len(cell.partition(decimal)[2])


def _arrow_can_read(text: memoryview, dialect: Dialect) -> tuple[memoryview, Dialect]:
    """Rewrite what pyarrow's reader does not take: runs of blanks, commas used for two things."""
    plain = Dialect("\t", dialect.decimal, dialect.n_columns, dialect.numeric)
    if dialect.separator == " ":
        rows = (b"\t".join(line.split()) for line in bytes(text).split(b"\n"))
        return memoryview(b"\n".join(rows)), plain
    if dialect.paired:
        pairs = re.sub(rb"([^,\r\n]*),([^,\r\n]*)(,?)", _as_pair, bytes(text))
        return memoryview(pairs), plain
    return text, dialect


def _as_pair(match: re.Match[bytes]) -> bytes:
    return match[1] + b"," + match[2] + (b"\t" if match[3] else b"")


def _repaired(text: memoryview, dialect: Dialect, wanted: Sequence[int], last_line: str) -> Columns:
    plain = bytes(text).translate(ASCII)
    odd: list[int] = []

    def leave_out(row: Any) -> str:
        odd.append(row.number - 1)
        return "skip"

    try:
        table = _table(plain, dialect, wanted, pa.string(), invalid_row_handler=leave_out)
    except pa.ArrowInvalid as error:
        raise UnreadableRecording(
            f"the table breaks off in a way that cannot be mended ({_first_line(error)}); export"
            " the recording again"
        ) from None
    arrays = {i: _numbers(table.column(str(i)), dialect.decimal) for i in wanted}
    words = [spoilt for _, spoilt in arrays.values()]
    values = {i: _with_rows(array, odd) for i, (array, _) in arrays.items()}
    n_rows = len(values[wanted[0]])
    rows = set(odd) | {int(row) for spoilt in words for row in _rows_with(spoilt, odd)}
    if len(rows) > max(2, SPOILT_MOST * n_rows):
        raise UnreadableRecording(
            f"{len(rows)} of {n_rows} rows do not fit the table ({dialect.n_columns} columns of"
            " numbers); the file may hold several tables: keep the one with the force of every"
            " sample"
        )
    return Columns(values, tuple(sorted(rows)), last_line)


def _first_line(error: Exception) -> str:
    return str(error).splitlines()[0][:120]


def _numbers(cells: Any, decimal: str) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Give the numbers among cells of text, and where words stood in their place."""
    trimmed = compute.replace_substring_regex(cells, r'^[\s"]+|[\s"]+$', "")
    pattern = f"^(?:{NUMBERS[decimal].pattern})$"
    is_number = compute.match_substring_regex(trimmed, pattern)
    lowered = compute.utf8_lower(trimmed)
    is_blank = compute.is_in(lowered, value_set=pa.array(sorted(MISSING)))
    kept = compute.if_else(is_number, trimmed, pa.scalar(None, pa.string()))
    points = compute.replace_substring(kept, ",", ".") if decimal == "," else kept
    words = compute.invert(compute.or_kleene(is_number, is_blank))
    spoilt = np.asarray(compute.fill_null(words, False).to_numpy(), dtype=bool)
    return _without_absurd(points.cast(pa.float64()).to_numpy()), spoilt


def _with_rows(array: NDArray[np.float64], odd: list[int]) -> NDArray[np.float64]:
    """Put an empty row where a row was left out, so that the rows after it keep their place."""
    if not odd:
        return array
    return np.insert(array, np.asarray(odd) - np.arange(len(odd)), np.nan)


def _rows_with(spoilt: NDArray[np.bool_], odd: list[int]) -> NDArray[np.int64]:
    """Give the rows of `spoilt` in the numbering that counts the rows left out."""
    rows = np.flatnonzero(spoilt)
    kept = np.setdiff1d(np.arange(spoilt.size + len(odd)), odd)
    return kept[rows]
