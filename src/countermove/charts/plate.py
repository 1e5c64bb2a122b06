"""
The plate: links as rows rising from one floor, the jump on top, visits to the right on one axis.

Pure: from occasions (see `countermove.charts.occasions`) to SVG text, words and a table. The
programme has its place at the right of the posts; without one it stays empty.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from countermove.catalogue import Catalogue, Sense
from countermove.charts import marks
from countermove.charts.axes import time_axis
from countermove.charts.occasions import Occasion
from countermove.charts.rows import Sheet, bare, dated, draw_row, told
from countermove.charts.series import Mark, Series, series_of_jump, series_of_link, worst
from countermove.charts.standing import draw_standing
from countermove.examination import error_of, has_changed, target_of
from countermove.examination.sentences import amount, listed
from countermove.figure import Proportions, usual_proportions
from countermove.record import Link, Side, Verdict

Say = Callable[[str], str]
ROW_PX = 92.0
WIDE_PX, NARROW_PX = 536.0, 326.0
# Visits stand here; what lies to the right is the programme's.
WIDE_POSTS, NARROW_POSTS = (49.0, 330.0), (52.0, 232.0)
FLOOR_PX = 60.0


@dataclass(frozen=True, kw_only=True, slots=True)
class Row:
    """
    One link, or the jump.

    Attributes
    ----------
    link : Link or None
        None is the jump.
    name, measure : str
        Its name; what was measured, with the unit.
    wide, narrow : str
        SVG beside the figure; SVG that stands alone with its dates.
    lead, rest, small : str
        The verdict in bold, what follows it, and one small line.
    cells : tuple of str
        One a visit, for the table.
    asked, verdict : str
        For the table.
    """

    link: Link | None
    name: str
    measure: str
    wide: str
    narrow: str
    lead: str
    rest: str = ""
    small: str = ""
    cells: tuple[str, ...] = ()
    asked: str = ""
    verdict: str = ""


@dataclass(frozen=True, kw_only=True, slots=True)
class Plate:
    """Rows from the ankle up, then the jump; the floor with its days; the figure."""

    rows: tuple[Row, ...]
    floor: str
    body: str
    days: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class _Desk:
    """Everything a row is made from."""

    occasions: Sequence[Occasion]
    catalogue: Catalogue
    wide: Sheet
    narrow: Sheet
    say: Say
    shown_in: Mapping[str, str] = field(default_factory=dict)


def plate(
    occasions: Sequence[Occasion],
    *,
    catalogue: Catalogue,
    title: str,
    person: Proportions | None = None,
    here: Link | None = None,
    shown_in: Mapping[str, str] | None = None,
    day_words: Callable[[date], str] = str,
    say: Say = str,
) -> Plate:
    """
    Draw the plate.

    Parameters
    ----------
    occasions : sequence of Occasion
        Oldest first, one a day; may be empty.
    catalogue : Catalogue
        Tests, targets and errors.
    title : str
        Of the figure.
    person : Proportions, optional
        The athlete's; left out, the usual ones.
    here : Link, optional
        The link to work on, ringed.
    shown_in : mapping of str to str, optional
        Units to show in place of those entered, such as ``{"cm": "in"}``.
    day_words : callable, optional
        Writes a day.
    say : callable, optional
        Translates words.
    """
    days = [one.on for one in occasions]
    words = {day: day_words(day) for day in days}
    wide = Sheet(
        width=WIDE_PX, height=ROW_PX, axis=time_axis(days, *WIDE_POSTS), days=words, say=say
    )
    narrow = Sheet(width=NARROW_PX, height=ROW_PX + 12, axis=time_axis(days, *NARROW_POSTS),
                   days=words, say=say, foot=26)  # fmt: skip
    desk = _Desk(occasions=occasions, catalogue=catalogue, wide=wide, narrow=narrow, say=say,
                 shown_in=shown_in or {})  # fmt: skip
    rows = (*(_link_row(link, desk) for link in Link), _jump_row(desk))
    return Plate(
        rows=rows,
        floor=_floor(wide),
        body=_body(rows, person or usual_proportions(catalogue), title, here, say),
        days=tuple(words.values()),
    )


def _body(rows: Sequence[Row], person: Proportions, title: str, here: Link | None, say: Say) -> str:
    height = ROW_PX * len(rows)
    ys = {row.link: height - ROW_PX * (i + 0.5) for i, row in enumerate(rows)}
    says = {row.link: f"{row.lead} {row.rest}".strip() for row in rows if row.link is not None}
    return draw_standing(
        person, height=height, row_ys=ys, here=here, says=says, title=title, say=say
    )


def _floor(sheet: Sheet) -> str:
    """Draw the floor from the figure to the words, a hatch a week, and the days below."""
    axis, say = sheet.axis, sheet.say
    hatches = "".join(f"M{marks.n(x)} 1l-7 8" for x in axis.hatches())
    parts = ['<path class="floor" d="M-308 0H806"/>', f'<path class="hatch" d="{hatches}"/>']
    parts += [f'<path class="post" d="M{marks.n(x)} 0V14"/>' for x in axis.xs]
    for x, day in dated(axis):
        last = day == axis.days[-1]
        parts.append(f'<text class="mid" x="{marks.n(x)}" y="30">{sheet.days[day]}</text>')
        if last and len(axis.days) > 1:
            parts.append(f'<text class="it mid" x="{marks.n(x)}" y="48">{say("latest")}</text>')
    left = (axis.xs[-1] if axis.xs else 0.0) + 60
    middle = marks.n((left + sheet.width) / 2)
    parts.append(f'<text class="it ask mid" x="{middle}" y="30">{say("no programme yet")}</text>')
    told_days = ", ".join(sheet.days.values()) or say("no visit yet")
    return marks.svg(parts, sheet.width, FLOOR_PX, say("Days of the visits"), told_days)


def _link_row(link: Link, desk: _Desk) -> Row:
    found = series_of_link(link, desk.occasions, catalogue=desk.catalogue, shown_in=desk.shown_in)
    say, name = desk.say, desk.say(link.value)
    asked = _asked(found, desk) if found else ""
    lead, rest, small = _words(link, found, desk)
    return Row(
        link=link,
        name=name,
        measure=_measure(found, desk),
        wide=draw_row(name, found, desk.wide, asked=asked),
        narrow=draw_row(name, found, desk.narrow, asked=asked),
        lead=lead,
        rest=rest,
        small=small,
        cells=_cells(found, desk),
        asked=asked.removeprefix(f"{say('asked')} "),
        verdict=f"{lead}{rest}",
    )


def _measure(found: Series | None, desk: _Desk) -> str:
    if found is None:
        return ""
    name, unit = desk.say(found.name), desk.say(found.unit or "in words")
    return f"{name}, {unit}"


def _cells(found: Series | None, desk: _Desk) -> tuple[str, ...]:
    nothing = desk.say("not measured")
    if found is None:
        return (nothing,) * len(desk.occasions)
    return tuple(
        ", ".join(told(mark, found, desk.say) for mark in found.at(place)) or nothing
        for place in range(len(desk.occasions))
    )


def _asked(found: Series, desk: _Desk) -> str:
    """Give the words at the target line, such as ``asked 10``; empty where nothing is drawn."""
    target = target_of(found.test, desk.catalogue)
    if target is None or found.target is None:
        return ""
    most = f"{desk.say('at most')} " if target.sense is Sense.AT_MOST else ""
    return f"{desk.say('asked')} {most}{bare(found.target, found.unit)}"


def _words(link: Link, found: Series | None, desk: _Desk) -> tuple[str, str, str]:
    """Give the verdict of the latest visit, the sides, and one small line."""
    say, last = desk.say, len(desk.occasions) - 1
    if found is None:
        return say("not measured"), "", ""
    place = found.last_place()
    decided = worst([mark.verdict for mark in found.at(place)])
    if place < last:
        when = desk.wide.days[desk.occasions[place].on]
        return say("not measured"), "", f"{say('last on')} {when}: {say(decided)}"
    rest = _sides(found, place, decided, desk)
    return say(decided), rest, _others(link, found, desk)


def _sides(found: Series, place: int, decided: Verdict, desk: _Desk) -> str:
    """Say which side, by how much, and how the other stands."""
    say, here = desk.say, found.at(place)
    deciding = [mark for mark in here if mark.verdict is decided]
    sided = [mark for mark in deciding if mark.side is not Side.BOTH]
    if len({mark.side for mark in sided}) > 1 and decided is not Verdict.SHORT:
        return f" {say('on both sides')}"
    by = [_by(mark, found, desk) for mark in deciding]
    rest = f", {listed(word for word in by if word)}" if any(by) else ""
    others = [mark for mark in here if mark.verdict is not decided]
    return rest + "".join(f"; {say(mark.side)} {say(mark.verdict)}" for mark in others)


def _by(mark: Mark, found: Series, desk: _Desk) -> str:
    side = "" if mark.side is Side.BOTH else desk.say(mark.side)
    if mark.verdict is not Verdict.SHORT or mark.gap is None:
        return side
    return f"{side} {desk.say('by')} {amount(mark.gap, found.unit)}".strip()


def _others(link: Link, found: Series, desk: _Desk) -> str:
    """Say in one line how the link's other tests stood at the latest visit."""
    verdicts: dict[str, list[Verdict]] = {}
    for one in desk.occasions[-1].of_link(link):
        if one.grade.test != found.test and one.grade.verdict is not Verdict.NOT_MEASURED:
            verdicts.setdefault(one.grade.test, []).append(one.grade.verdict)
    if not verdicts:
        return ""
    named = [
        f"{desk.say(worst(met))}: {desk.say(desk.catalogue.tests[test].name)}"
        for test, met in verdicts.items()
        if worst(met) is not Verdict.MEETS
    ]
    if named:
        return f"{desk.say('also')} {'; '.join(named)}"
    return desk.say("other tests meet") if len(verdicts) > 1 else desk.say("the other test meets")


def _jump_row(desk: _Desk) -> Row:
    say = desk.say
    found = series_of_jump(desk.occasions, catalogue=desk.catalogue, shown_in=desk.shown_in)
    lead, small = _jump_words(found, desk)
    return Row(
        link=None,
        name=say("jump"),
        measure=_measure(found, desk),
        wide=draw_row(say("jump"), found, desk.wide),
        narrow=draw_row(say("jump"), found, desk.narrow),
        lead=lead,
        small=small,
        cells=_cells(found, desk),
        verdict=lead,
    )


def _jump_words(found: Series | None, desk: _Desk) -> tuple[str, str]:
    """Say whether the jump changed since the first visit by more than the error between days."""
    say, last = desk.say, len(desk.occasions) - 1
    if found is None:
        return say("not measured"), ""
    place = found.last_place()
    if place < last:
        when = desk.wide.days[desk.occasions[place].on]
        return say("not measured"), f"{say('last on')} {when}"
    first, latest = found.marks[0], found.marks[-1]
    height = amount(latest.value or 0.0, found.unit)
    if first.place == latest.place:
        return height, say("one visit; change shows from the second")
    return _changed(found, desk)


def _changed(found: Series, desk: _Desk) -> tuple[str, str]:
    say, first, latest = desk.say, found.marks[0], found.marks[-1]
    moved = (latest.value or 0.0) - (first.value or 0.0)
    since = desk.wide.days[desk.occasions[first.place].on]
    way = say("up since") if moved >= 0 else say("down since")
    told_move = f"{amount(abs(moved), found.unit)} {way} {since}"
    test = desk.catalogue.tests[found.test]
    known = error_of(test, first.value or 0.0, method=first.method)
    if known is None:
        return say("change not told"), f"{told_move}; {say('no error is published')}"
    needed = f"{amount(known.mdc95, found.unit)} {say('would prove a change')}"
    proven = has_changed(moved, known.mdc95)
    lead = say("a real change") if proven else say("no change proven")
    return lead, f"{told_move}; {needed}"
