"""Measure, treat, measure again: what was tried, and whether it changed today."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import uuid4

from django.utils.translation import gettext as _

from countermove import record
from countermove.catalogue import Drill, current
from countermove.clinic.visits.blanks import Blank, blank_for, correction_of
from countermove.clinic.visits.models import Measurement, Treatment
from countermove.clinic.visits.scene import Scene
from countermove.clinic.visits.told import Told, told, value_said
from countermove.errors import BadInput
from countermove.examination import change
from countermove.examination.changes import before_of
from countermove.record import Side
from countermove.safety import may_do

KEEP, DROP = "keep", "drop"


@dataclass(frozen=True, kw_only=True)
class Option:
    """A drill that fits and that no listed rule closes."""

    key: str
    name: str
    minutes: float
    cue: str
    stop: str
    side: Side


@dataclass(frozen=True, kw_only=True)
class Round:
    """One treatment and what was measured after it."""

    treatment: Treatment
    drill: str
    before: str
    again: Measurement | None
    told: Told | None
    changed: bool
    sentence: str
    word: str
    blank: Blank | None
    correct: Blank | None
    corrected: list[str]
    sent_as: str


def fitting(row: Measurement, scene: Scene) -> list[tuple[str, Drill]]:
    """Give the drills that answer a shortfall of a row's test."""
    drills = current(scene.catalogue.drills)
    return [(key, drill) for key, drill in drills.items() if row.test in drill.helps]


def treated_side(drill: Drill, row: Measurement) -> Side:
    """Give the side a drill is done on, for what was measured on a side."""
    return Side.BOTH if drill.side == "both" else Side(row.side)


def reasons_against(drill: Drill, row: Measurement, scene: Scene) -> tuple[str, ...]:
    """Give what closes a drill now; empty if none of the listed rules does."""
    return may_do(
        drill,
        scene.clearance,
        athlete=scene.whole,
        side=treated_side(drill, row),
        catalogue=scene.catalogue,
        measurements=scene.now.measurements,
    )


def options_for(row: Measurement, scene: Scene) -> list[Option]:
    """Give the drills to choose from after a row."""
    return [
        Option(
            key=key, name=drill.name, minutes=drill.minutes.value, cue=drill.cue, stop=drill.stop,
            side=treated_side(drill, row),
        )
        for key, drill in fitting(row, scene)
        if not reasons_against(drill, row, scene)
    ]  # fmt: skip


def closed_drills(row: Measurement, scene: Scene) -> list[str]:
    """Name the drills that would fit but are closed, each with the first reason."""
    closed = ((drill, reasons_against(drill, row, scene)) for _key, drill in fitting(row, scene))
    return [f"{drill.name}: {reasons[0]}" for drill, reasons in closed if reasons]


def rounds_of(row: Measurement, scene: Scene, typed: Blank | None) -> list[Round]:
    """Give the treatments that belong to a measured row, in order."""
    helps = {key for key, _drill in fitting(row, scene)}
    rounds: list[Round] = []
    before = row
    for treatment in scene.treatments:
        if treatment.drill in helps and treatment.side in (row.side, Side.BOTH):
            rounds.append(_round(before, treatment, scene, typed))
            before = rounds[-1].again or before
    return rounds


def _round(row: Measurement, treatment: Treatment, scene: Scene, typed: Blank | None) -> Round:
    again = next(
        (
            one
            for one in scene.standing(row.test)
            if one.side == row.side and one.after_id == treatment.pk
        ),
        None,
    )
    sentence, changed = told_change(again, scene) if again else ("", False)
    one = scene.record_of(again) if again else None
    return Round(
        treatment=treatment,
        drill=scene.catalogue.drills[treatment.drill].name,
        before=value_said(scene.record_of(row), scene.catalogue),
        again=again,
        told=told(one, scene.catalogue) if one else None,
        changed=changed,
        sentence=sentence,
        word=again.note if again else "",
        correct=correction_of(again, scene, typed) if again else None,
        corrected=corrected_from(again, scene) if again else [],
        blank=None if again or not scene.adds else _again(row, treatment, scene, typed),
        sent_as=str(uuid4()),
    )


def _again(row: Measurement, treatment: Treatment, scene: Scene, typed: Blank | None) -> Blank:
    name = f"again-{treatment.pk}-{row.side}"
    if typed is not None and typed.name == name:
        return typed
    return blank_for(
        row.test, [Side(row.side)], scene, name=name, method=row.method, after=str(treatment.pk)
    )


def told_change(again: Measurement, scene: Scene) -> tuple[str, bool]:
    """Say whether a row after a treatment differs from the one before, and by how much it must."""
    after = scene.record_of(again)
    earlier = before_of(after, scene.now)
    if earlier is None:
        return _("Nothing stands to compare it with."), False
    rows = [m for m in scene.standing(again.test) if m.side == again.side]
    before = next(
        (scene.record_of(m) for m in rows if str(m.after_id or "") == earlier.after), earlier
    )
    if not before.trials or not after.trials:
        return _in_words(before, after, scene), False
    same = before.tester == after.tester
    try:
        found = change(
            before, after, catalogue=scene.catalogue, tester="same" if same else "different"
        )
    except BadInput as error:
        return str(error), False
    return found.text, found.changed


def _in_words(before: record.Measurement, after: record.Measurement, scene: Scene) -> str:
    pair = {
        "before": value_said(before, scene.catalogue),
        "after": value_said(after, scene.catalogue),
    }
    return (
        _("Before: %(before)s. After: %(after)s. Words carry no published error: not told.") % pair
    )


def corrected_from(row: Measurement, scene: Scene) -> list[str]:
    """Tell what stood before a row, and why it was corrected; latest first."""
    said = []
    while row.corrects_id and row.corrects_id in scene.rows:
        old = scene.rows[row.corrects_id]
        said.append(f"{scene.said(old)} ({row.made_by}: {row.reason})")
        row = old
    return said
