"""What the examination needs of the built-in catalogue, and what must never stand in it."""

import pytest

from countermove.catalogue import current, load_catalogue
from countermove.examination import target_of
from countermove.examination.ankle import (
    BENT_KNEE,
    FELT,
    NOT_CALF,
    PATTERNS,
    PINCH,
    STRAIGHT_KNEE,
    STRETCH,
)
from countermove.record import JumpKind, Link

CATALOGUE = load_catalogue()
TESTS = current(CATALOGUE.tests)


def test_the_ankle_pattern_finds_its_tests_and_answers():
    assert {*BENT_KNEE, STRAIGHT_KNEE, FELT} <= set(TESTS)
    answers = {choice.key for choice in TESTS[FELT].choices}
    assert {PINCH, STRETCH, *NOT_CALF} <= answers


@pytest.mark.parametrize("kind", list(JumpKind))
def test_every_kind_of_jump_has_a_test_by_impulse(kind):
    assert TESTS[kind.value].methods[0] == "force plate, impulse"
    assert any(error.method == TESTS[kind.value].methods[0] for error in TESTS[kind.value].errors)


def test_drills_speak_of_patterns_that_can_be_found():
    named = {pattern for drill in CATALOGUE.drills.values() for pattern in drill.patterns}
    assert named <= set(PATTERNS)


@pytest.mark.parametrize("test", TESTS)
def test_one_target_a_test_at_most(test):
    target = target_of(test, CATALOGUE)
    assert target is None or target.test == test


@pytest.mark.parametrize("key", current(CATALOGUE.targets))
def test_no_target_is_a_population_mean(key):
    """Neither the number nor the place in the source of a mean may serve as what jumping asks."""
    target = CATALOGUE.targets[key]
    centres = [
        centre
        for norm in CATALOGUE.norms_of(target.test)
        for centre in (norm.mean, norm.median)
        if centre is not None
    ]
    assert target.value.si not in [centre.si for centre in centres]
    assert (target.value.source, target.value.where) not in [(c.source, c.where) for c in centres]


def test_the_lunge_asks_ten_centimetres_as_common_practice():
    target = target_of("lunge_distance", CATALOGUE)
    assert (target.value.value, target.value.unit) == (10, "cm")
    assert target.value.status == "common-practice"


@pytest.mark.parametrize("link", list(Link))
def test_every_link_has_a_test_that_can_be_graded(link):
    graded = [
        key
        for key, test in TESTS.items()
        if test.link is link
        and (target_of(key, CATALOGUE) or any(c.good is not None for c in test.choices))
    ]
    assert graded
