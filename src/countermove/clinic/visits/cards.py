"""A card: one test with what is kept of it, what may still be entered, and what closes it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from uuid import uuid4

from django.utils.translation import gettext as _

from countermove.catalogue import Catalogue, Test
from countermove.clinic.visits.blanks import Blank, blank_for, correction_of
from countermove.clinic.visits.entries import side_said, sides_of
from countermove.clinic.visits.loops import (
    Option,
    Round,
    closed_drills,
    corrected_from,
    options_for,
    rounds_of,
)
from countermove.clinic.visits.models import Measurement
from countermove.clinic.visits.pictures import has_picture
from countermove.clinic.visits.scene import Scene
from countermove.clinic.visits.told import Mark, Told, earlier_said, mark_of, told
from countermove.examination.sentences import source_name
from countermove.record import Status


@dataclass(frozen=True, kw_only=True)
class Kept:
    """One side that is kept, with everything a hand may do next."""

    row: Measurement
    told: Told
    mark: Mark | None
    earlier: list[str]
    before: list[str]
    correct: Blank
    rounds: list[Round]
    options: list[Option]
    closed: list[str]
    sent_as: str

    @property
    def label(self) -> str:
        """Name the column."""
        return side_said(self.row.side)


@dataclass(frozen=True, kw_only=True)
class Card:
    """One test on the page."""

    key: str
    test: Test
    has_picture: bool
    kept: list[Kept]
    blank: Blank | None
    closed: tuple[str, ...]
    withdrawn: list[str]
    known: list[str]
    is_open: bool = False

    @property
    def is_done(self) -> bool:
        """Tell whether every side is kept."""
        return bool(self.kept) and self.blank is None

    def opened(self) -> Card:
        """Give the same card, standing open."""
        return replace(self, is_open=True)

    @property
    def error(self) -> str:
        """Give what was refused; empty if nothing was."""
        return self.blank.error if self.blank else ""


def card_of(key: str, scene: Scene, *, typed: Blank | None = None, is_open: bool = False) -> Card:
    """
    Build one card.

    Parameters
    ----------
    key : str
        The test.
    scene : Scene
        The visit.
    typed : Blank, optional
        A form that was refused; it takes the place of the blank one of its name.
    is_open : bool, optional
        Whether its card stands open.
    """
    test = scene.catalogue.tests[key]
    rows = [row for row in scene.standing(key) if not row.after_id]
    closed = scene.closed(key)
    return Card(
        key=key,
        test=test,
        has_picture=has_picture(key),
        kept=[_kept(row, scene, typed) for row in sorted(rows, key=lambda row: row.side)],
        blank=None if closed or not scene.writes else _blank(key, rows, scene, typed),
        closed=closed,
        withdrawn=_withdrawn(key, scene),
        known=_known(test, scene.catalogue),
        is_open=is_open,
    )


def _known(test: Test, catalogue: Catalogue) -> list[str]:
    """Give what studies found, each with whom we know it from, then what nobody has published."""
    how = {Status.QUOTED: _("quoted elsewhere"), Status.FROM_MEMORY: _("recalled, not read")}
    lines = []
    for one in test.background:
        said = [source_name(one.source, catalogue), how.get(one.status, "")]
        lines.append(f"{one.text} ({', '.join(part for part in said if part)})")
    return [*lines, *test.unknown]


def _blank(
    key: str, rows: Iterable[Measurement], scene: Scene, typed: Blank | None
) -> Blank | None:
    if typed is not None and typed.name == "new":
        return typed
    done = {row.side for row in rows}
    sides = [side for side in sides_of(scene.catalogue.tests[key]) if side not in done]
    return blank_for(key, sides, scene) if sides else None


def _kept(row: Measurement, scene: Scene, typed: Blank | None) -> Kept:
    one, catalogue = scene.record_of(row), scene.catalogue
    return Kept(
        row=row,
        told=told(one, catalogue, same_tester=not row.tester),
        mark=mark_of(one, catalogue),
        earlier=earlier_said(one, scene.earlier, catalogue),
        before=corrected_from(row, scene),
        correct=correction_of(row, scene, typed),
        rounds=rounds_of(row, scene, typed),
        options=options_for(row, scene) if scene.adds else [],
        closed=closed_drills(row, scene) if scene.adds else [],
        sent_as=str(uuid4()),
    )


def _withdrawn(key: str, scene: Scene) -> list[str]:
    rows = [row for row in scene.rows.values() if row.test == key and row.withdrawn]
    return [f"{row.side}: {scene.said(row)} ({row.made_by}: {row.reason})" for row in rows]
