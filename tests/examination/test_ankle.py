from itertools import product

import pytest

from countermove.examination import ankle_pattern, bent_knee_verdict
from countermove.examination.ankle import PATTERNS, pattern_sentence
from countermove.record import Side, Verdict

FELT = ("front_pinch", "calf_stretch", "both", "nothing_or_even", "")
VERDICTS = tuple(verdict.value for verdict in Verdict)

# Every row that fits a pattern (our default: bent normal and straight low;
# both low with stretch behind; both low with pinch in front). Rows 1.28 and 1.29 there: with the
# bent knee short, the pinch or stretch speaks even where the straight knee was not settled.
FITS = {
    ("short", "short", "front_pinch"): "joint",
    ("short", "too close to call", "front_pinch"): "joint",
    ("short", "not measured", "front_pinch"): "joint",
    ("short", "short", "calf_stretch"): "soleus or whole calf",
    ("short", "too close to call", "calf_stretch"): "soleus or whole calf",
    ("short", "not measured", "calf_stretch"): "soleus or whole calf",
    ("meets", "short", "calf_stretch"): "gastrocnemius",
    ("meets", "short", "nothing_or_even"): "gastrocnemius",
    ("meets", "short", ""): "gastrocnemius",
}


@pytest.mark.parametrize("row", [*product(VERDICTS, VERDICTS, FELT)])
def test_the_whole_decision_table(row):
    assert ankle_pattern(*row) == FITS.get(row, "no pattern fits")


def test_the_gap_between_straight_and_bent_decides_nothing():
    """Healthy ankles have 13 to 14 deg of it (Baumbach 2014): both meet, no pattern."""
    assert ankle_pattern("meets", "meets", "calf_stretch") == "no pattern fits"


@pytest.mark.parametrize("wrong", [("stiff", "short"), ("short", "tight")])
def test_other_words_are_refused(wrong):
    with pytest.raises(ValueError, match="not a valid Verdict"):
        ankle_pattern(*wrong, "front_pinch")


@pytest.mark.parametrize(
    ("verdicts", "together"),
    [
        ([], "not measured"),
        (["not measured"], "not measured"),
        (["short", "too close to call"], "short"),
        (["meets", "too close to call"], "too close to call"),
        (["meets", "not measured"], "meets"),
        (["meets", "short"], "too close to call"),  # distance and angle disagree: measure again
    ],
)
def test_distance_and_angle_are_never_averaged(verdicts, together):
    assert bent_knee_verdict(Verdict(word) for word in verdicts) == together


@pytest.mark.parametrize("pattern", PATTERNS)
def test_a_pattern_is_confirmed_by_hand_and_never_a_diagnosis(pattern):
    sentence = pattern_sentence(pattern, Side.LEFT)
    nothing = pattern == "no pattern fits"  # nothing to confirm, but still to be looked at
    assert ("examine it by hand" if nothing else "confirm by hand") in sentence
    assert "diagnos" not in sentence
