"""Which test stands for a link, and its values from visit to visit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from countermove.catalogue import Catalogue
from countermove.charts.occasions import Occasion, Reading
from countermove.record import JumpKind, Link, Side, Verdict

WORST_FIRST = (Verdict.SHORT, Verdict.TOO_CLOSE, Verdict.MEETS, Verdict.NOT_MEASURED)


@dataclass(frozen=True, kw_only=True, slots=True)
class Mark:
    """
    One value on a post.

    Attributes
    ----------
    place : int
        Which visit, counted from 0.
    value, error, gap : float or None
        In SI; an answer in words has none.
    """

    place: int
    side: Side
    verdict: Verdict
    method: str
    value: float | None = None
    error: float | None = None
    gap: float | None = None


@dataclass(frozen=True, kw_only=True, slots=True)
class Series:
    """One test (or kind of jump) over all visits, in one unit."""

    test: str
    name: str
    unit: str
    target: float | None
    marks: tuple[Mark, ...]

    def at(self, place: int) -> tuple[Mark, ...]:
        """Give the marks of one visit, left before right."""
        return tuple(mark for mark in self.marks if mark.place == place)

    def last_place(self) -> int:
        """Give the latest visit at which something was measured."""
        return max(mark.place for mark in self.marks)


def worst(verdicts: Sequence[Verdict]) -> Verdict:
    """Give the verdict that decides among several."""
    return next((one for one in WORST_FIRST if one in verdicts), Verdict.NOT_MEASURED)


def series_of_link(
    link: Link, occasions: Sequence[Occasion], *, catalogue: Catalogue, shown_in: Mapping[str, str]
) -> Series | None:
    """
    Give the series that stands for a link; None if nothing of it was ever graded.

    The test is the one that decided at the latest visit with a grade: of those with the link's own
    verdict, the one farthest outside its error, a number before words, then the one seen oftenest.

    Parameters
    ----------
    link : Link
        Where.
    occasions : sequence of Occasion
        Oldest first.
    catalogue : Catalogue
        Names of tests.
    shown_in : mapping of str to str
        The unit to show in, for a unit that was entered; others stay.
    """
    graded = [[r for r in one.of_link(link) if _is_measured(r)] for one in occasions]
    latest = next((readings for readings in reversed(graded) if readings), None)
    if latest is None:
        return None
    verdict = worst([r.grade.verdict for r in latest])
    deciding = [r for r in latest if r.grade.verdict is verdict]
    seen = [r.grade.test for readings in graded for r in readings]
    chosen = max(
        deciding,
        key=lambda r: (_errors_out(r), r.grade.value is not None, seen.count(r.grade.test)),
    )
    marks = (
        _mark(place, r)
        for place, readings in enumerate(graded)
        for r in readings
        if r.grade.test == chosen.grade.test
    )
    return Series(
        test=chosen.grade.test,
        name=catalogue.tests[chosen.grade.test].name,
        unit=shown_in.get(chosen.grade.unit, chosen.grade.unit),
        target=chosen.grade.target,
        marks=tuple(sorted(marks, key=lambda mark: (mark.place, mark.side is Side.RIGHT))),
    )


def _is_measured(reading: Reading) -> bool:
    return reading.grade.verdict is not Verdict.NOT_MEASURED


def _errors_out(reading: Reading) -> float:
    graded = reading.grade
    if graded.verdict is not Verdict.SHORT:
        return 0.0
    return (graded.gap or 0.0) / graded.error if graded.error else 0.0


def _mark(place: int, reading: Reading) -> Mark:
    graded = reading.grade
    return Mark(
        place=place,
        side=graded.side,
        verdict=graded.verdict,
        method=reading.method,
        value=graded.value,
        error=graded.error,
        gap=graded.gap,
    )


def series_of_jump(
    occasions: Sequence[Occasion], *, catalogue: Catalogue, shown_in: Mapping[str, str]
) -> Series | None:
    """Give the heights of one kind of jump, the countermovement jump before others."""
    met = {jump.kind for one in occasions for jump in one.jumps if jump.height_m is not None}
    kind = next((kind for kind in JumpKind if kind in met), None)
    if kind is None:
        return None
    test = catalogue.tests[kind.value]
    marks = tuple(
        Mark(
            place=place,
            side=Side.BOTH,
            verdict=Verdict.NOT_MEASURED,
            method=test.methods[0],
            value=jump.height_m,
            error=jump.error_m,
        )
        for place, one in enumerate(occasions)
        for jump in one.jumps
        if jump.kind is kind and jump.height_m is not None
    )
    return Series(
        test=kind.value, name=test.name, unit=shown_in.get("cm", "cm"), target=None, marks=marks
    )
