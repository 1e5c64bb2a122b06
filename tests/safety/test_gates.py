import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.catalogue import Cited, Gate, Sense
from countermove.errors import UnknownUnit
from countermove.record import Measurement, Pain, Side, Status
from countermove.safety import gate_opens, why_shut

EIGHT_CM = Gate(
    test="lunge_distance",
    value=Cited(value=8, unit="cm", source="our-default", where="row", status=Status.OUR_DEFAULT),
    why="Room.",
)
SOFT = Gate(test="drop_landing", answer="soft", why="Land first.")
SQUAT = Gate(drill="squat", why="Two legs first.")


def lunge(*trials, side=Side.RIGHT, unit="cm", **more):
    return Measurement(test="lunge_distance", side=side, trials=trials, unit=unit, **more)


RIGHT = [
    # measurements, word
    ([lunge(8.0)], "open"),  # the limit itself counts
    ([lunge(7.9)], "shut"),
    ([lunge(7, 8, 9)], "open"),  # the mean of the trials
    ([lunge(80.0, unit="mm")], "open"),
    ([], "not known"),
    ([lunge()], "not known"),
    ([lunge(12, side=Side.LEFT)], "not known"),  # the other side tells nothing
    ([lunge(could_not="sore")], "shut"),
    ([lunge(12, pain=Pain(score=2))], "open"),
    ([lunge(12, pain=Pain(score=3))], "shut"),  # above 2 of 10 (Thomee 1997, from memory)
    ([lunge(12, after="glide")], "not known"),  # what a treatment opened is not the gate's value
    ([lunge(7), lunge(12, after="glide")], "shut"),
    ([lunge(12, method="tape"), lunge(7, method="stick")], "shut"),  # the worse of two methods
]


@pytest.mark.parametrize(("measurements", "word"), RIGHT)
def test_a_gate_in_numbers(small, measurements, word):
    assert gate_opens(EIGHT_CM, measurements, side=Side.RIGHT, catalogue=small) == word


@pytest.mark.parametrize(
    ("left", "right", "word"),
    [
        (9, 9, "open"),
        (9, 7, "shut"),
        (7, 9, "shut"),
        (9, None, "not known"),
        (7, None, "not known"),
    ],
)
def test_a_drill_for_both_sides_needs_both(small, left, right, word):
    sides = ((Side.LEFT, left), (Side.RIGHT, right))
    measured = [lunge(value, side=side) for side, value in sides if value is not None]
    assert gate_opens(EIGHT_CM, measured, side=Side.BOTH, catalogue=small) == word


@pytest.mark.parametrize(
    ("answer", "word"), [("soft", "open"), ("loud", "shut"), ("", "not known")]
)
@pytest.mark.parametrize("side", list(Side))
def test_a_gate_in_words(small, answer, word, side):
    measured = [Measurement(test="drop_landing", side=Side.BOTH, answer=answer)]
    assert gate_opens(SOFT, measured, side=side, catalogue=small) == word


def test_a_gate_of_at_most(small):
    gate = Gate(test="lunge_distance", value=EIGHT_CM.value, sense=Sense.AT_MOST, why="Room.")
    assert gate_opens(gate, [lunge(7.0)], side=Side.RIGHT, catalogue=small) == "open"
    assert gate_opens(gate, [lunge(8.1)], side=Side.RIGHT, catalogue=small) == "shut"


def test_a_drill_that_comes_first(small):
    assert gate_opens(SQUAT, [], side=Side.LEFT, catalogue=small) == "not known"
    assert gate_opens(SQUAT, [], side=Side.LEFT, catalogue=small, done={"squat"}) == "open"


def test_a_unit_of_another_kind_is_refused(small):
    with pytest.raises(UnknownUnit, match="angle"):
        gate_opens(EIGHT_CM, [lunge(30, unit="deg")], side=Side.RIGHT, catalogue=small)


def test_what_keeps_a_gate_shut_is_said(small):
    assert "was not measured" in why_shut(EIGHT_CM, "not known", small)
    assert "at least 8 cm" in why_shut(EIGHT_CM, "shut", small)
    assert "Squat" in why_shut(SQUAT, "not known", small)


@given(left=st.lists(st.floats(0, 25), max_size=3), right=st.lists(st.floats(0, 25), max_size=3))
def test_a_measurement_left_out_never_opens_a_gate(small, left, right):
    measured = [lunge(*left, side=Side.LEFT), lunge(*right, side=Side.RIGHT)]
    for side in Side:
        whole = gate_opens(EIGHT_CM, measured, side=side, catalogue=small)
        for part in (measured[:1], measured[1:], []):
            word = gate_opens(EIGHT_CM, part, side=side, catalogue=small)
            assert whole == "open" or word != "open"
