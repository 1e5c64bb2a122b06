"""The two pages of a visit: cards in the order of testing, and the one page of a follow-up."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from countermove.catalogue import current
from countermove.clinic.accounts.requests import SignedInRequest
from countermove.clinic.practice.access import may
from countermove.clinic.practice.catalogues import catalogue_of
from countermove.clinic.practice.roles import Action
from countermove.clinic.visits.blanks import Blank
from countermove.clinic.visits.cards import Card, card_of
from countermove.clinic.visits.models import Visit
from countermove.clinic.visits.scene import Scene, scene_of
from countermove.clinic.visits.templates import begins_with
from countermove.clinic.visits.testing_order import (
    Stage,
    by_stage,
    in_testing_order,
    stage_asks,
    stage_said,
)
from countermove.clinic.work.follow_ups import FollowUp, follow_up_of
from countermove.record import Link


@dataclass(frozen=True, kw_only=True)
class Stretch:
    """The cards of one stage, under its words."""

    stage: Stage
    cards: list[Card]

    @property
    def said(self) -> str:
        """Head it."""
        return stage_said(self.stage)

    @property
    def asks(self) -> str:
        """Say what comes before it."""
        return stage_asks(self.stage)


@dataclass(frozen=True, kw_only=True)
class Shelf:
    """The tests of one link that are not on the page yet, by key and name."""

    name: str
    tests: list[tuple[str, str]]


def fetched(request: SignedInRequest, visit: Visit) -> Scene:
    """Fetch what the visit's page needs, for this user."""
    user = request.user
    writes = may(user, visit.athlete.site, Action.MEASURE)
    catalogue = catalogue_of(visit.athlete.site_id)
    return scene_of(visit, user, today=localdate(), catalogue=catalogue, writes=writes)


def show(
    request: SignedInRequest, visit: Visit, *, test: str = "", typed: Blank | None = None,
    error: str = "", status: int = 200,
) -> HttpResponse:  # fmt: skip
    """Show the whole page, with a card opened, or with a refused form in its place."""
    scene = fetched(request, visit)
    follow_up = follow_up_of(scene) if visit.follows_id else None
    keys = on_page(scene, follow_up, test)
    cards = cards_of(keys, scene, test=test, typed=typed, opens=follow_up is not None)
    tests = scene.catalogue.tests
    context: dict[str, Any] = {
        "visit": visit,
        "athlete": visit.athlete,
        "scene": scene,
        "error": error,
        "follow_up": follow_up,
        "cards": cards,
        "stretches": [
            Stretch(stage=stage, cards=part)
            for stage, part in by_stage(cards, (tests[card.key] for card in cards))
        ],
        "shelves": shelves_of(scene, keys),
        "may_edit": may(request.user, visit.athlete.site, Action.EDIT),
        "may_export": may(request.user, visit.athlete.site, Action.EXPORT),
    }
    page = "visits/follow_up.html" if follow_up else "visits/visit.html"
    return render(request, page, context, status=status)


def on_page(scene: Scene, follow_up: FollowUp | None, test: str = "") -> list[str]:
    """Give the tests whose cards stand on the page, in the order of testing."""
    begun = {row.test for row in scene.rows.values()}
    begins = [follow_up.recheck] if follow_up else begins_with(scene.visit, scene.catalogue)
    if follow_up and begun:
        begins = []
    wanted = {*begins, *begun, test}
    order = in_testing_order(scene.catalogue)
    return [key for key in order if key in wanted]


def cards_of(
    keys: Iterable[str], scene: Scene, *, test: str = "", typed: Blank | None = None,
    opens: bool = False,
) -> list[Card]:  # fmt: skip
    """Give the cards of some tests; the one asked for, or the first to do, stands open."""
    cards = [card_of(key, scene, typed=typed if key == test else None) for key in keys]
    to_do = next((card.key for card in cards if card.blank is not None), "")
    if opens and not to_do:
        to_do = cards[0].key if cards else ""
    chosen = test or (to_do if scene.writes else "")
    return [card.opened() if card.key == chosen else card for card in cards]


def shelves_of(scene: Scene, keys: Iterable[str]) -> list[Shelf]:
    """Give the tests that are one tap away, by link from the floor up; none to who only reads."""
    if not scene.writes:
        return []
    shown, tests = set(keys), current(scene.catalogue.tests)
    shelves = []
    for link in (*Link, None):
        name = str(link) if link else _("landing, jump and balance")
        own = [(k, t.name) for k, t in tests.items() if t.link is link and k not in shown]
        shelves += [Shelf(name=name, tests=own)] if own else []
    return shelves
