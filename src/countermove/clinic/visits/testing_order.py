"""
The order of testing: one test must not spoil the next.

Questions and range up the chain come first, then, after the warm-up, jumps and landings, then
strength, and heel raises to fatigue last of all. (Findings are told in another order: ankle first.)
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from enum import IntEnum
from typing import TypeVar

from django.utils.translation import gettext as _

from countermove.catalogue import Catalogue, Test, current
from countermove.record import Link

T = TypeVar("T")
JUMPED = ("jump", "hop", "single-leg hop", "drop", "high drop")


class Stage(IntEnum):
    """A stretch of a visit within which the chain is worked up from the floor."""

    RANGE = 0
    JUMPS = 1
    STRENGTH = 2
    FATIGUE = 3


def stage_of(test: Test) -> Stage:
    """Give the stage a test belongs to."""
    if "heel raise to fatigue" in test.tags:
        return Stage.FATIGUE
    if "maximal strength" in test.tags:
        return Stage.STRENGTH
    return Stage.JUMPS if any(tag in JUMPED for tag in test.tags) else Stage.RANGE


def stage_said(stage: Stage) -> str:
    """Head a stage on the page."""
    return {
        Stage.RANGE: _("Range and alignment, up the chain"),
        Stage.JUMPS: _("Warm up, then landings and jumps"),
        Stage.STRENGTH: _("Strength"),
        Stage.FATIGUE: _("Last of all, to fatigue"),
    }[stage]


def stage_asks(stage: Stage) -> str:
    """Say what comes before a stage; empty where nothing does."""
    if stage is not Stage.JUMPS:
        return ""
    return _(
        "Standard warm-up, the same at every visit: five minutes of easy movement, then squats and"
        " small jumps that grow. No long stretching before a jump (our default)."
    )


def in_testing_order(catalogue: Catalogue) -> list[str]:
    """Give the keys of all tests in force, in the order of testing."""
    tests, links = current(catalogue.tests), list(Link)

    def place(key: str) -> tuple[int, int]:
        link = tests[key].link
        return stage_of(tests[key]), links.index(link) if link else len(links)

    return sorted(tests, key=place)


def by_stage(things: Iterable[T], tests: Iterable[Test]) -> Iterator[tuple[Stage, list[T]]]:
    """Part things that are in the order of testing, each with its test, by stage."""
    held: dict[Stage, list[T]] = {}
    for thing, test in zip(things, tests, strict=True):
        held.setdefault(stage_of(test), []).append(thing)
    yield from held.items()
