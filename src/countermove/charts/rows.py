"""One row of the plate as SVG: marks of one series on the posts of all visits."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from countermove.charts import marks
from countermove.charts.axes import TimeAxis, ValueAxis, value_axis
from countermove.charts.chain import joint
from countermove.charts.series import Mark, Series
from countermove.examination.sentences import amount
from countermove.record import Side, Verdict

Say = Callable[[str], str]
NUMBERS_PX = 92.0  # room between two posts for the numbers of both
TOP_PX, BOTTOM_PX = 20.0, 14.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Sheet:
    """What all rows share: size, time, and the words of each day."""

    width: float
    height: float
    axis: TimeAxis
    days: Mapping[date, str]
    say: Say = str
    foot: float = 0.0  # room below for dates, where the row stands alone


def draw_row(name: str, series: Series | None, sheet: Sheet, *, asked: str = "") -> str:
    """
    Draw a row; without a series its posts stand and it says "not measured".

    Parameters
    ----------
    name : str
        Of the link, for the words of the drawing.
    series : Series or None
        Left, right or both on each post.
    sheet : Sheet
        Size and time axis.
    asked : str, optional
        Words at the target line, such as ``asked 10``.
    """
    parts = list(_posts(sheet))
    if series is None:
        parts.append(_nothing(sheet))
    elif all(mark.value is None for mark in series.marks):
        parts += _joints(series, sheet)
    else:
        parts += _values(series, sheet, asked)
    if sheet.foot:
        parts += _dates(sheet)
    words = describe(series, sheet, asked)
    return marks.svg(parts, sheet.width, sheet.height + sheet.foot, name, words)


def _posts(sheet: Sheet) -> Iterator[str]:
    for place, x in enumerate(sheet.axis.xs):
        yield marks.post(x, sheet.height, latest=place == len(sheet.axis.xs) - 1)


def _nothing(sheet: Sheet) -> str:
    x = sheet.axis.xs[-1] + 20 if sheet.axis.xs else 20.0
    words = sheet.say("not measured")
    return (
        f'<text class="it soft" x="{marks.n(x)}" y="{marks.n(sheet.height / 2 + 5)}">{words}</text>'
    )


def _dates(sheet: Sheet) -> Iterator[str]:
    """Write the days under a row that stands alone, leaving out those without room."""
    for x, day in dated(sheet.axis):
        y = sheet.height + 18
        yield f'<text class="soft mid" x="{marks.n(x)}" y="{marks.n(y)}">{sheet.days[day]}</text>'


def dated(axis: TimeAxis, room: float = 62.0) -> list[tuple[float, date]]:
    """Give the posts that have room for their date: the latest first, then backwards."""
    kept: list[tuple[float, date]] = []
    for x, day in reversed(list(zip(axis.xs, axis.days, strict=True))):
        if not kept or kept[-1][0] - x >= room:
            kept.append((x, day))
    return kept[::-1]


def _joints(series: Series, sheet: Sheet) -> Iterator[str]:
    """Draw answers in words as joints of the small chain, a side on each side of the post."""
    y = sheet.height / 2
    for mark in series.marks:
        away = {Side.LEFT: -14, Side.RIGHT: 14, Side.BOTH: 0}[mark.side]
        x = sheet.axis.xs[mark.place] + away
        yield f'<path class="hair" d="M{marks.n(x - 12)} {marks.n(y)}h24"/>'
        yield joint(round(x, 1), y, mark.verdict)


def _values(series: Series, sheet: Sheet, asked: str) -> Iterator[str]:
    """Draw target, bands, threads, gaps, discs and numbers, in this order from back to front."""
    valued = [mark for mark in series.marks if mark.value is not None]
    values = [mark.value for mark in valued if mark.value is not None]
    if series.target is not None:
        values.append(series.target)
    errors = [mark.error or 0.0 for mark in valued]
    axis = value_axis(values, errors, TOP_PX, sheet.height - BOTTOM_PX)
    if series.target is not None:
        below = _is_crowded_above(valued, series.target)
        yield marks.target(axis.y(series.target), sheet.width, asked, below=below)
    for mark in valued:
        yield _band(mark, axis, sheet)
    for run in threads(valued):
        yield marks.thread([_place(mark, axis, sheet) for mark in run])
    for mark in valued:
        yield _gap(mark, series, axis, sheet)
        yield marks.disc(*_place(mark, axis, sheet, on_post=True), mark.side)
    for mark in valued:
        yield _number(mark, series, axis, sheet)


def _is_crowded_above(valued: Sequence[Mark], target: float) -> bool:
    """Tell whether the latest number at the right stands above the target, where its words go."""
    latest = max(mark.place for mark in valued)
    last = [mark for mark in valued if mark.place == latest and mark.side is not Side.LEFT]
    return any(mark.value is not None and mark.value >= target for mark in last)


def _place(
    mark: Mark, axis: ValueAxis, sheet: Sheet, *, on_post: bool = False
) -> tuple[float, float]:
    x, y = sheet.axis.xs[mark.place], axis.y(mark.value or 0.0)
    return (x, y) if on_post or mark.side is Side.BOTH else (marks.middle(x, mark.side), y)


def _band(mark: Mark, axis: ValueAxis, sheet: Sheet) -> str:
    if mark.value is None or not mark.error:
        return ""
    top, bottom = axis.y(mark.value + mark.error), axis.y(mark.value - mark.error)
    return marks.band(sheet.axis.xs[mark.place], top, bottom, mark.side)


def _gap(mark: Mark, series: Series, axis: ValueAxis, sheet: Sheet) -> str:
    """Draw what the latest visit still misses beyond the error."""
    is_latest = mark.place == len(sheet.axis.xs) - 1
    if mark.verdict is not Verdict.SHORT or mark.value is None or series.target is None:
        return ""
    toward = 1 if series.target > mark.value else -1
    near = mark.value + toward * (mark.error or 0.0)
    x = sheet.axis.xs[mark.place]
    return marks.gap(x, axis.y(near), axis.y(series.target), mark.side) if is_latest else ""


def _number(mark: Mark, series: Series, axis: ValueAxis, sheet: Sheet) -> str:
    """Write the value of the latest visit, and of others that have room on that side."""
    place, count = mark.place, len(sheet.axis.xs)
    before = sheet.axis.gap_after(place - 1) if place else float("inf")
    room = before if mark.side is Side.LEFT else sheet.axis.gap_after(place)
    if (place < count - 1 and room < NUMBERS_PX) or mark.value is None:
        return ""
    x, y = sheet.axis.xs[place], axis.y(mark.value)
    side = Side.RIGHT if mark.side is Side.BOTH else mark.side
    text = bare(mark.value, series.unit)
    shift = 4.0 if mark.verdict is Verdict.SHORT and place == count - 1 else 0.0
    outward = -shift if side is Side.LEFT else shift
    return marks.number(x + outward, y, side, text, latest=place == count - 1)


def bare(value: float, unit: str) -> str:
    """
    Write a value without its unit, which stands with the row's name.

    Examples
    --------
    >>> bare(0.072, "cm")
    '7.2'
    """
    return amount(value, unit).removesuffix(f" {unit}")


def threads(found: Sequence[Mark]) -> list[list[Mark]]:
    """
    Join the same side by the same method from visit to visit.

    Two methods are two series: a thread never runs from one to the other.
    """
    runs: dict[tuple[Side, str], list[Mark]] = {}
    for mark in found:
        runs.setdefault((mark.side, mark.method), []).append(mark)
    return [run for run in runs.values() if len(run) > 1]


def describe(series: Series | None, sheet: Sheet, asked: str) -> str:
    """Say in words what a row shows: day by day, side by side, with errors, and what is asked."""
    say = sheet.say
    if series is None:
        return say("not measured")
    parts = []
    for place, day in enumerate(sheet.axis.days):
        found = series.at(place)
        said = ", ".join(told(mark, series, say) for mark in found) or say("not measured")
        parts.append(f"{sheet.days[day]}: {said}")
    return "; ".join(
        [f"{say(series.name)} ({series.unit or say('in words')})", *parts, asked]
    ).strip("; ")


def told(mark: Mark, series: Series, say: Say) -> str:
    """Say one mark: side, value and error, or its verdict."""
    side = "" if mark.side is Side.BOTH else f"{say(mark.side)} "
    if mark.value is None:
        return f"{side}{say(mark.verdict)}"
    error = f" ± {bare(mark.error, series.unit)}" if mark.error else ""
    return f"{side}{bare(mark.value, series.unit)}{error}"
