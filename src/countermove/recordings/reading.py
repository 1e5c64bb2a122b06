"""Force files to `ForceTrace`: the steps in their order."""

from __future__ import annotations

import hashlib
import stat
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from countermove.errors import AmbiguousRecording, RecordingTooLarge, UnreadableRecording
from countermove.record import QualityNote, Severity
from countermove.recordings.clock import Clock, Stamps, clock_from, clock_from_counter
from countermove.recordings.columns import Choice, choose_columns
from countermove.recordings.grids import on_even_grid
from countermove.recordings.layout import Layout, layout_of
from countermove.recordings.metadata import stated_rates_hz, stated_units
from countermove.recordings.newtons import in_newtons
from countermove.recordings.options import MAX_SAMPLES, ForceOptions
from countermove.recordings.text import counted, decoded, plain_text
from countermove.recordings.trace import ForceTrace

if TYPE_CHECKING:
    from countermove.recordings.values import Columns

MEGABYTE = 2**20
NOT_OF_FORCE = ("s", "ms", "us", "other")  # a column the caller named against its heading
FINEST_DIGIT, COARSEST_DIGIT = -12, 3  # a double holds no finer digit of a time in seconds
FIND_ALL = ForceOptions()


def read_force(path: Path | str, options: ForceOptions = FIND_ALL) -> ForceTrace:
    """
    Read a force-plate text file.

    Parameters
    ----------
    path : Path or str
        The file; it is opened read-only, and not at all where it is too large.
    options : ForceOptions, optional
        Answers to what the file leaves open.

    Returns
    -------
    ForceTrace
        Vertical force in newtons on one even axis.

    Raises
    ------
    AmbiguousRecording
        If more than one reading fits; `flag` settles it.
    RecordingTooLarge
        If the file is larger than `options.max_bytes`.
    UnreadableRecording
        If it is no table that holds a force, or cannot be opened.
    """
    path = Path(path)
    _refuse_no_file(path, options.max_bytes)
    try:
        data = path.read_bytes()
    except OSError as error:
        raise _not_opened(error) from error
    return parse_force(data, name=path.name, options=options)


def parse_force(data: bytes, *, name: str = "", options: ForceOptions = FIND_ALL) -> ForceTrace:
    """
    Read the bytes of a force-plate text file; opens nothing.

    Parameters
    ----------
    data : bytes
        The file as it came.
    name : str, optional
        Kept in the trace.
    options : ForceOptions, optional
        Answers to what the file leaves open.

    Returns
    -------
    ForceTrace
        Vertical force in newtons on one even axis.

    Raises
    ------
    RecordingError
        As `read_force`.
    """
    _refuse_large(len(data), options.max_bytes)
    text = plain_text(data)
    _refuse_long(text)
    layout = layout_of(text, options)
    table = _Table(text, layout)
    choice = choose_columns(layout, options, table.columns)
    trace = _trace(table, choice, options)
    return replace(trace, name=name, sha256=hashlib.sha256(data).hexdigest())


class _Table:
    """The table of one file; a column is read once."""

    def __init__(self, text: bytes, layout: Layout) -> None:
        self.layout = layout
        self.body = memoryview(text)[layout.start :]
        self.read: dict[int, NDArray[np.float64]] = {}
        self.spoilt: set[int] = set()
        self.last_line = ""

    def columns(self, wanted: Iterable[int]) -> dict[int, NDArray[np.float64]]:
        wanted = list(dict.fromkeys(wanted))
        new = [i for i in wanted if i not in self.read]
        if new:
            # Imported here because pyarrow takes longer to load than `countermove --help` may.
            from countermove.recordings.values import read_columns  # noqa: PLC0415

            self._take(read_columns(self.body, self.layout.dialect, new))
        return {i: self.read[i] for i in wanted}

    def _take(self, columns: Columns) -> None:
        self.read.update(columns.values)
        self.spoilt |= set(columns.spoilt)
        self.last_line = self.last_line or columns.last_line

    def rounding(self, column: int) -> float:
        """Give the last printed digit of a column, from rows at its start and end."""
        tail = bytes(self.body[-400:]).split(b"\n")[1:-1]
        rows = [*self.layout.rows, *map(decoded, tail[-4:])]
        dialect = self.layout.dialect
        cells = [cells[column] for row in rows if len(cells := dialect.cells(row)) > column]
        exponents = [e for cell in cells if (e := _exponent(cell.replace(",", "."))) is not None]
        return float(10.0 ** max(FINEST_DIGIT, min((*exponents, COARSEST_DIGIT))))


def _exponent(cell: str) -> int | None:
    try:
        exponent = Decimal(cell).as_tuple().exponent
    except InvalidOperation:
        return None
    return exponent if isinstance(exponent, int) else None


def _trace(table: _Table, choice: Choice, options: ForceOptions) -> ForceTrace:
    counter = () if choice.counter is None or choice.times else (choice.counter,)
    values = table.columns((*choice.times, *counter, *choice.forces))
    stamped = _rows_with_time(table.layout, values, choice.times)
    columns = [values[i][stamped] for i in choice.forces]
    _refuse_empty(table.layout, choice, columns)
    clock = _clock(table, choice, values, stamped, options)
    gridded = on_even_grid(columns, clock)
    result = in_newtons(gridded.force, _units(table.layout, choice), options.unit, clock.rate_hz)
    return ForceTrace(
        force_n=result.force_n,
        rate_hz=clock.rate_hz,
        start_s=gridded.start_s,
        sides=choice.sides,
        missing=gridded.missing,
        notes=(
            *_notes_on_lines(table),
            *_note_on_total(table.layout, choice),
            *clock.notes,
            *gridded.notes,
            *result.notes,
        ),
    )


def _rows_with_time(
    layout: Layout, values: dict[int, NDArray[np.float64]], times: tuple[int, ...]
) -> NDArray[np.bool_] | slice:
    """Give the rows that have a time; all, where every row has one."""
    if not times:
        return slice(None)
    stamped = np.isfinite(values[times[0]])
    if stamped.all():
        return slice(None)
    if not stamped.any():
        raise AmbiguousRecording(
            f"column {layout.title(times[0])} holds no numbers, only gaps; pass --time with"
            " another column, or --rate",
            flag="--time",
        )
    return stamped


def _clock(
    table: _Table,
    choice: Choice,
    values: dict[int, NDArray[np.float64]],
    stamped: NDArray[np.bool_] | slice,
    options: ForceOptions,
) -> Clock:
    labels = table.layout.labels
    stamps = [
        Stamps(values[i][stamped], table.rounding(i), labels[i].unit)
        for i in choice.times
        if np.isfinite(values[i][stamped]).all()
    ]
    stated = stated_rates_hz(table.layout.above)
    clock = clock_from(stamps, stated, values[choice.forces[0]][stamped].size, options)
    if choice.counter is None or choice.times:
        return clock
    return clock_from_counter(values[choice.counter], clock)


def _units(layout: Layout, choice: Choice) -> tuple[str, ...]:
    """Give the unit of each plate: its heading's, else the one the file states."""
    units = tuple(layout.labels[i].unit for i in choice.forces)
    units = tuple("" if unit in NOT_OF_FORCE else unit for unit in units)
    if any(units):
        return units
    stated = stated_units(layout.above)
    return stated * len(units) if len(stated) == 1 else units


def _refuse_no_file(path: Path, max_bytes: int) -> None:
    try:
        status = path.stat()
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        raise _not_opened(error) from error
    if not stat.S_ISREG(status.st_mode):
        raise UnreadableRecording("this is not a file but a folder or device; name a recording")
    _refuse_large(status.st_size, max_bytes)


def _not_opened(error: Exception) -> UnreadableRecording:
    why = getattr(error, "strerror", None) or error
    return UnreadableRecording(f"the file cannot be opened ({why}); check its name and rights")


def _refuse_large(n_bytes: int, limit: int) -> None:
    if n_bytes > limit:
        raise RecordingTooLarge(
            f"the file has {n_bytes / MEGABYTE:.4g} MB, the limit is {limit / MEGABYTE:.4g} MB; a"
            " jump takes under 1 MB: export the part with the jumps"
        )


def _refuse_long(text: bytes) -> None:
    if len(text) <= 2 * MAX_SAMPLES:
        return  # counting takes time, and so few bytes cannot be that many lines
    n_lines = text.count(b"\n")
    if n_lines > MAX_SAMPLES:
        raise RecordingTooLarge(
            f"the file has {n_lines} lines, the limit is {MAX_SAMPLES} (over an hour at 2000 Hz);"
            " export the part with the jumps"
        )


def _refuse_empty(layout: Layout, choice: Choice, columns: list[NDArray[np.float64]]) -> None:
    empty = [
        i for i, column in zip(choice.forces, columns, strict=True) if not np.isfinite(column).any()
    ]
    if len(empty) == len(columns):
        raise UnreadableRecording(
            "the force columns hold no numbers, only gaps; check the plate's channels and export"
            " again"
        )
    if empty:
        raise AmbiguousRecording(
            f"column {layout.title(empty[0])} holds no numbers, only gaps; if the athlete stood on"
            " the other plate alone, pass --columns with that one",
            flag="--columns",
        )


def _notes_on_lines(table: _Table) -> tuple[QualityNote, ...]:
    """Say which lines of the file were left out."""
    texts = []
    if table.last_line:
        shown = table.last_line.strip()[:40]
        texts.append(f"The last line ({shown!r}) was cut short while it was written, and left out.")
    within, after = _within_and_after(table)
    if within:
        texts.append(
            f"Something else than numbers stands in {counted(len(within), 'row')} of the table"
            f" (first: row {within[0] + 1}); the samples count as missing."
        )
    if after:
        texts.append(f"After the table: {counted(after, 'line')} without numbers left out.")
    return tuple(
        QualityNote(code="line-dropped", severity=Severity.NOTE, text=text) for text in texts
    )


def _within_and_after(table: _Table) -> tuple[list[int], int]:
    """Part the rows that could not be read: those among the samples, and how many follow them."""
    within = sorted(table.spoilt)
    n_rows = next(iter(table.read.values())).size
    after = 0
    while within and within[-1] == n_rows - 1 - after:
        within.pop()
        after += 1
    return within, after


def _note_on_total(layout: Layout, choice: Choice) -> tuple[QualityNote, ...]:
    if choice.total is None:
        return ()
    text = f"Column {layout.title(choice.total)} is the sum of both plates and was left out."
    return (QualityNote(code="total-left-out", severity=Severity.NOTE, text=text),)
