"""The forms of a card: blank, filled for a correction, or as they were typed and refused."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from uuid import uuid4

from countermove.catalogue import Test
from countermove.clinic.visits.clocks import Clock, clock_of
from countermove.clinic.visits.entries import Typed, step_of, unit_for
from countermove.clinic.visits.models import Measurement
from countermove.clinic.visits.scene import Scene
from countermove.record import Side


@dataclass(frozen=True, kw_only=True)
class Blank:
    """A form for one or two sides, blank or as it was typed."""

    name: str
    test: Test
    sides: tuple[Typed, ...]
    unit: str
    step: float
    method: str
    after: str = ""
    corrects: str = ""
    reason: str = ""
    error: str = ""

    @property
    def clock(self) -> Clock:
        """Give what helps to time or count it."""
        return clock_of(self.test)


def blank_for(
    key: str, sides: Iterable[Side], scene: Scene, *, name: str = "new", method: str = "",
    after: str = "", corrects: str = "",
) -> Blank:  # fmt: skip
    """Give an empty form for some sides of a test."""
    test = scene.catalogue.tests[key]
    unit = unit_for(test, imperial=scene.imperial)
    trials = ("",) * int(test.trials.value) if test.reads == "number" else ()
    return Blank(
        name=name,
        test=test,
        sides=tuple(Typed(side=side, trials=trials, sent_as=str(uuid4())) for side in sides),
        unit=unit,
        step=step_of(unit),
        method=method or test.methods[0],
        after=after,
        corrects=corrects,
    )


def correction_of(row: Measurement, scene: Scene, typed: Blank | None = None) -> Blank:
    """Give the form that corrects a row, filled with what stands or with what was refused."""
    if typed is not None and typed.name == f"correct-{row.pk}":
        return typed
    test, one = scene.catalogue.tests[row.test], scene.record_of(row)
    wanted = int(test.trials.value) if test.reads == "number" else 0
    values = [f"{round(value, 2):g}" for value in one.trials]
    unit = unit_for(test, imperial=scene.imperial)
    side = Typed(
        side=one.side,
        trials=tuple(values + [""] * (wanted - len(values))),
        answer=one.answer,
        could_not=one.could_not,
        pain="" if one.pain is None else f"{one.pain.score:g}",
        where=one.pain.where if one.pain else "",
        sent_as=str(uuid4()),
    )
    return Blank(
        name=f"correct-{row.pk}", test=test, sides=(side,), unit=unit, step=step_of(unit),
        method=one.method or test.methods[0],
        after=str(row.after_id) if row.after_id else "", corrects=str(row.pk),
    )  # fmt: skip
