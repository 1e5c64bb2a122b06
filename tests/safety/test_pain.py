import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.errors import BadInput
from countermove.record import Measurement, Pain, Side
from countermove.safety import pain_action, worst_pain

# Zones 0-2, 2-5, 5-10 (Thomee 1997, from memory); zones that begin at 3 (as circulated for the
# Achilles tendon). A missing entry never leads to more load (design, invariant 6).
ZONES = [
    (0, "go on"),
    (2, "go on"),
    (2.5, "hold"),
    (3, "hold"),
    (5, "hold"),
    (5.5, "stop"),
    (10, "stop"),
    (None, "hold"),
]


@pytest.mark.parametrize(("score", "action"), ZONES)
def test_zones(score, action):
    assert pain_action(score) == action


def test_the_other_zone_set_can_be_chosen():
    assert pain_action(3, calm_up_to=3) == "go on"


@pytest.mark.parametrize("score", [-0.1, 10.1, float("nan")])
def test_a_score_off_the_scale_is_refused(score):
    with pytest.raises(BadInput, match="0 to 10"):
        pain_action(score)


@given(st.floats(0, 10), st.floats(0, 10))
def test_more_pain_never_allows_more(one, other):
    order = ["go on", "hold", "stop"]
    less, more = sorted((one, other))
    assert order.index(pain_action(less)) <= order.index(pain_action(more))


def test_the_worst_pain_of_some_tests_counts():
    tests = [
        Measurement(test="a", side=Side.LEFT, pain=Pain(score=1)),
        Measurement(test="b", side=Side.LEFT, pain=Pain(score=6)),
        Measurement(test="c", side=Side.LEFT),
    ]
    assert worst_pain(tests) == 6
    assert worst_pain([]) == 0
