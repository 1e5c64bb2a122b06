"""
The order of testing: one test must not spoil the next.

Questions and range up the chain come first, then jumps and landings, then strength, and heel raises
to fatigue last of all. (Findings are told in another order: ankle first.)
"""

from __future__ import annotations

from countermove.catalogue import Catalogue, Test, current
from countermove.record import Link

# One look along the whole chain and one jump; the rest is one tap away (our default).
FIRST_LOOK = (
    "lunge_distance",
    "lunge_felt",
    "step_down_seen",
    "hip_internal_rotation_seated",
    "thoracic_rotation_lumbar_locked",
    "overhead_wall",
    "cmj",
    "heel_raise",
)
JUMPED = ("jump", "hop", "single-leg hop", "drop", "high drop")


def stage_of(test: Test) -> int:
    """Give 0 for questions and range, 1 for jumps and landings, 2 for strength, 3 for fatigue."""
    if "heel raise to fatigue" in test.tags:
        return 3
    if "maximal strength" in test.tags:
        return 2
    return 1 if any(tag in JUMPED for tag in test.tags) else 0


def in_testing_order(catalogue: Catalogue) -> list[str]:
    """Give the keys of all tests in force, in the order of testing."""
    tests, links = current(catalogue.tests), list(Link)

    def place(key: str) -> tuple[int, int]:
        link = tests[key].link
        return stage_of(tests[key]), links.index(link) if link else len(links)

    return sorted(tests, key=place)
