"""Which columns hold the vertical force, under which foot, and which one the time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from countermove.errors import AmbiguousRecording, UnreadableRecording
from countermove.record import Side
from countermove.recordings import behaviour
from countermove.recordings.labels import Label
from countermove.recordings.layout import Layout
from countermove.recordings.options import ForceOptions

Read = Callable[[list[int]], dict[int, NDArray[np.float64]]]
ALIKE_LEVELS = 4.0  # our default: two feet share the weight at worst about 1 to 4


@dataclass(frozen=True)
class Choice:
    """
    The columns of one recording, counted from 0.

    Attributes
    ----------
    forces : tuple of int
        One a plate; left before right.
    sides : tuple of Side or None
        Which foot stood on each.
    times : tuple of int
        Columns of time, in the order in which they are tried.
    counter : int or None
        A column that numbers the samples.
    total : int or None
        A column left out because it is the sum of the plates.
    """

    forces: tuple[int, ...]
    sides: tuple[Side | None, ...]
    times: tuple[int, ...] = ()
    counter: int | None = None
    total: int | None = None


def choose_columns(layout: Layout, options: ForceOptions, read: Read) -> Choice:
    """
    Choose by the caller's word, else by heading, else by what the columns do.

    Parameters
    ----------
    layout : Layout
        The table's headings.
    options : ForceOptions
        What the caller settled.
    read : callable
        Gives the values of the columns it is passed; called only where headings leave a doubt.

    Raises
    ------
    AmbiguousRecording
        If more than one choice fits; the flag is ``--columns`` or ``--time``.
    UnreadableRecording
        If no column can be a vertical force.
    """
    if options.columns or options.left or options.right:
        choice = _as_told(layout, options, read)
    elif _forces_named(layout):
        choice = _by_heading(layout, read)
    else:
        choice = _by_behaviour(layout, read, _unknown(layout))
    times, counter = _clock(layout, options, read, choice.forces)
    return _left_first(replace(choice, times=times, counter=counter))


def column_named(layout: Layout, name: str, flag: str) -> int:
    """Find a column by its heading or its 1-based number."""
    wanted = name.strip().casefold()
    texts = [label.text.strip().casefold() for label in layout.labels]
    found = None
    if wanted in texts and texts.count(wanted) == 1:
        found = texts.index(wanted)
    elif wanted.isascii() and wanted.isdigit() and 1 <= int(wanted) <= len(texts):
        found = int(wanted) - 1
    if found is not None and found in layout.dialect.wordy:
        raise AmbiguousRecording(
            f"column {layout.title(found)} holds words or clock times, not numbers; pass another,"
            f" one of {_listed(layout, list(layout.dialect.numeric))}",
            flag=flag,
        )
    if found is not None:
        return found
    met = f"{texts.count(wanted)} columns are" if wanted in texts else "no column is"
    raise AmbiguousRecording(
        f"{met} called {name!r}; pass one of the numbers of {_listed(layout)}", flag=flag
    )


def _listed(layout: Layout, columns: list[int] | None = None) -> str:
    picked = range(len(layout.labels)) if columns is None else columns
    titles = [layout.title(i) for i in picked]
    shown = ", ".join(titles[:12])
    return shown if len(titles) <= 12 else f"{shown}, ... ({len(titles)} columns)"


def _as_told(layout: Layout, options: ForceOptions, read: Read) -> Choice:
    left = None if options.left is None else column_named(layout, options.left, "--left")
    right = None if options.right is None else column_named(layout, options.right, "--right")
    told = [column_named(layout, name, "--columns") for name in options.columns]
    if not told and (left is None or right is None):
        told = _other_plate(layout, read)
    forces = dict.fromkeys([*told, *(i for i in (left, right) if i is not None)])
    if left is not None and left == right:
        raise AmbiguousRecording(
            f"column {layout.title(left)} was named for both feet; name two", flag="--left"
        )
    feet = {left: Side.LEFT, right: Side.RIGHT}
    sides = tuple(feet.get(i, layout.labels[i].side) for i in forces)
    if len(sides) == 2 and sides.count(None) == 1:
        known = sides[0] or sides[1]
        other = Side.RIGHT if known is Side.LEFT else Side.LEFT
        sides = tuple(side or other for side in sides)
    return Choice(tuple(forces), sides)


def _other_plate(layout: Layout, read: Read) -> list[int]:
    """Find the plates where the caller named one foot only."""
    if _forces_named(layout):
        return list(_by_heading(layout, read).forces)
    return list(_by_behaviour(layout, read, _unknown(layout)).forces)


def _of_kind(layout: Layout, *kinds: str) -> list[int]:
    return [
        i
        for i, label in enumerate(layout.labels)
        if label.kind in kinds and i not in layout.dialect.wordy
    ]


def _forces_named(layout: Layout) -> list[int]:
    """Give the columns whose headings may mean a vertical force."""
    labels = layout.labels
    upright = [i for i in _of_kind(layout, "force") if labels[i].vertical]
    if _of_kind(layout, "shear") and upright:
        return upright
    return [
        i
        for i, label in enumerate(labels)
        if i not in layout.dialect.wordy
        and (label.kind == "force" or (not label.kind and (label.side or label.total)))
    ]


def _unknown(layout: Layout) -> list[int]:
    """Give the columns of numbers whose headings say nothing."""
    return [i for i in layout.dialect.numeric if not layout.labels[i].kind]


def _by_heading(layout: Layout, read: Read) -> Choice:
    labels = layout.labels
    named = _forces_named(layout)
    totals = [i for i in named if labels[i].total]
    plates = [i for i in named if i not in totals] or totals
    total = totals[0] if totals and plates != totals else None
    if len(plates) == 1 and total is None:
        return _lone_plate(layout, read, plates[0])
    if len(plates) == 2 and _makes_a_pair([labels[i] for i in plates]):
        return Choice(tuple(plates), tuple(labels[i].side for i in plates), total=total)
    values = read(plates)
    plates = [i for i in plates if _moves(values[i])]  # a body weight may stand in each row
    if len(plates) == 1 and total is None:
        return _lone_plate(layout, read, plates[0])
    plates, found = _without_sum(plates, values)
    total = found if total is None else total
    if len(plates) != 2 or not _may_be_two_plates([values[i] for i in plates]):
        raise _asked_columns(layout, plates or named)
    return Choice(tuple(plates), tuple(labels[i].side for i in plates), total=total)


def _lone_plate(layout: Layout, read: Read, plate: int) -> Choice:
    """Take one named plate, unless a column without a name looks like the other."""
    label = layout.labels[plate]
    unknown = [i for i in _unknown(layout) if i != plate]
    if label.side and unknown:
        values = read(unknown)
        like = [i for i in unknown if behaviour.acts_as_force(values[i])]
        if like:
            raise _asked_columns(layout, sorted([plate, *like]))
    return Choice((plate,), (label.side,))


def _makes_a_pair(labels: list[Label]) -> bool:
    sides = {label.side for label in labels}
    if sides == {Side.LEFT, Side.RIGHT}:
        return True
    numbers = [label.plate for label in labels]
    return sides == {None} and all(numbers) and len(set(numbers)) == 2


def _without_sum(
    plates: list[int], values: dict[int, NDArray[np.float64]]
) -> tuple[list[int], int | None]:
    """Leave out the one column of three that is the sum of the other two."""
    if len(plates) != 3:
        return plates, None
    sums = [i for i in plates if behaviour.is_sum(values[i], [values[j] for j in plates if j != i])]
    if len(sums) != 1:
        return plates, None
    return [i for i in plates if i != sums[0]], sums[0]


def _may_be_two_plates(values: list[NDArray[np.float64]]) -> bool:
    """Say whether two columns share one athlete: levels alike, but not one force twice."""
    sizes = [abs(behaviour.level_of(column)) for column in values]
    alike = min(sizes) * ALIKE_LEVELS >= max(sizes) > 0
    return alike and not behaviour.is_alike(*values)


def _by_behaviour(layout: Layout, read: Read, columns: list[int]) -> Choice:
    if not columns:
        raise UnreadableRecording(
            f"no column can be a vertical force; the columns are {_listed(layout)}"
        )
    values = read(columns)
    moving = [i for i in columns if _moves(values[i])]
    rest = [i for i in moving if not behaviour.rises_evenly(values[i])]
    forces = [i for i in rest if behaviour.acts_as_force(values[i])]
    forces, total = _without_sum(forces, values)
    if len(rest) == 1 or len(forces) == 1:
        plate = (forces or rest)[0]
        return Choice((plate,), (layout.labels[plate].side,))
    if len(forces) == 2 and _may_be_two_plates([values[i] for i in forces]):
        return Choice(tuple(forces), tuple(layout.labels[i].side for i in forces), total=total)
    if not rest:
        raise _nothing_moves(layout, values)
    raise _asked_columns(layout, forces or rest)


def _moves(column: NDArray[np.float64]) -> bool:
    known = column[np.isfinite(column)]
    return bool(known.size and known.min() < known.max())


def _nothing_moves(layout: Layout, values: dict[int, NDArray[np.float64]]) -> UnreadableRecording:
    if not any(np.isfinite(column).any() for column in values.values()):
        return UnreadableRecording(
            "the columns hold no numbers, only gaps; check the plate's channels and export again"
        )
    return UnreadableRecording(
        f"no column looks like a force: each of {_listed(layout)} stays the same or rises evenly;"
        " check which channels were exported"
    )


def _asked_columns(layout: Layout, columns: list[int]) -> AmbiguousRecording:
    alike = "; with two, they may be two plates or one force twice" if len(columns) == 2 else ""
    return AmbiguousRecording(
        f"{len(columns)} columns may be the vertical force: {_listed(layout, columns)}{alike};"
        " pass --columns with the one, or the two, that the athlete stood on",
        flag="--columns",
    )


def _clock(
    layout: Layout, options: ForceOptions, read: Read, forces: tuple[int, ...]
) -> tuple[tuple[int, ...], int | None]:
    """Find the columns of time, and the one that counts samples."""
    numeric = layout.dialect.numeric
    if options.time is not None:
        return (column_named(layout, options.time, "--time"),), None
    times = [i for i in _of_kind(layout, "time") if i in numeric and i not in forces]
    counters = [i for i in _of_kind(layout, "counter") if i in numeric and i not in forces]
    if times or not (unknown := [i for i in _unknown(layout) if i not in forces]):
        return tuple(times), next(iter(counters), None)
    values = read(unknown)
    rising = [i for i in unknown if behaviour.rises_evenly(values[i])]
    times = [i for i in rising if not behaviour.counts_rows(values[i])]
    counters += [i for i in rising if i not in times]
    if len(times) > 1:
        raise AmbiguousRecording(
            f"{len(times)} columns rise evenly: {_listed(layout, times)}; pass --time with the one"
            " that is the time",
            flag="--time",
        )
    return tuple(times), next(iter(counters), None)


def _left_first(choice: Choice) -> Choice:
    """Put the left plate before the right, whatever order the file has."""
    if choice.sides != (Side.RIGHT, Side.LEFT):
        return choice
    return replace(choice, forces=choice.forces[::-1], sides=(Side.LEFT, Side.RIGHT))
