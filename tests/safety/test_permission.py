import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.record import Level, Measurement, Pain, Side
from countermove.safety import clear, may_do, may_test


@pytest.fixture
def cleared(small, day, person, paper):
    def build(answers=None, **more):
        return clear(person(clearance=paper(answers, **more)), on=day, catalogue=small)

    return build


def lunge(*trials, side=Side.RIGHT, pain=None):
    pain = None if pain is None else Pain(score=pain)
    return Measurement(test="lunge_distance", side=side, trials=trials, unit="cm", pain=pain)


def reasons(small, cleared, person, drill, *, side=Side.RIGHT, measured=(), **more):
    return may_do(
        small.drills[drill],
        cleared,
        athlete=more.pop("athlete", None) or person(),
        side=side,
        catalogue=small,
        measurements=measured,
        **more,
    )


@pytest.mark.parametrize(
    ("answers", "closed", "open_"),
    [
        ({}, [], ["lunge_distance", "drop_landing", "cmj", "hop"]),
        ({"torn": "yes"}, ["drop_landing"], ["lunge_distance", "cmj", "hop"]),
        ({"surgery": "yes"}, ["drop_landing", "cmj", "hop"], ["lunge_distance", "step_down"]),
        ({"chest": "yes"}, ["drop_landing", "cmj", "hop"], ["lunge_distance"]),
    ],
)
def test_tags_close_tests(small, cleared, answers, closed, open_):
    result = cleared(answers)
    assert all(may_test(small.tests[test], result) for test in closed)
    assert not any(may_test(small.tests[test], result) for test in open_)


def test_without_clearance_no_jump_hop_or_strength_test_is_open(small, cleared):
    unasked = cleared(leave_out=["calf"])
    (jump, hop, strength, raises) = may_test(small.tests["hop"], unasked)
    assert all("closed" in reason for reason in (jump, hop, strength, raises))
    assert may_test(small.tests["lunge_distance"], unasked) == ()


@pytest.mark.parametrize("answers", [{"chest": "yes"}, {"calf": "unsure"}, {"surgery": "yes"}])
def test_referred_means_no_drill_at_all(small, cleared, person, answers):
    for drill in small.drills:
        assert reasons(small, cleared(answers), person, drill)


def test_a_plain_drill_is_open(small, cleared, person):
    assert reasons(small, cleared(), person, "squat", side=Side.BOTH) == ()


def test_a_narrowing_closes_by_tag_and_names_the_caution(small, cleared, person):
    measured = (lunge(12), lunge(12, side=Side.LEFT))
    (reason,) = reasons(
        small, cleared({"torn": "yes"}), person, "stick", side=Side.BOTH, measured=measured
    )
    assert reason == "“drop” is closed by torn (narrower)"


def test_equipment_is_needed_unless_something_stands_in(small, cleared, person):
    assert "machine" in reasons(small, cleared(), person, "machine")[0]
    assert reasons(small, cleared(), person, "glide") == ()
    owner = person(equipment=("machine",))
    assert reasons(small, cleared(), person, "machine", athlete=owner) == ()


def test_training_history_is_asked_for(small, cleared, person):
    assert "advanced" in reasons(small, cleared(), person, "far_bounce", side=Side.BOTH)[0]
    jumper = person(level=Level.ADVANCED)
    assert reasons(small, cleared(), person, "far_bounce", side=Side.BOTH, athlete=jumper) == ()


def test_a_gate_nobody_measured_stays_shut(small, cleared, person):
    (reason,) = reasons(small, cleared(), person, "stick", side=Side.BOTH)
    assert "was not measured" in reason


# Our default, from the zones of Thomee 1997 (from memory): above 5 nothing for that link, above 2
# no loading of it and no landing at all, up to 2 nothing is closed.
PAIN = [
    # ankle pain on the right, drill, side, open?
    (2, "glide", Side.RIGHT, True),
    (3, "glide", Side.RIGHT, True),  # mobility stays open
    (6, "glide", Side.RIGHT, False),
    (6, "glide", Side.LEFT, True),  # the other side
    (3, "squat", Side.BOTH, True),  # another link, slow
    (2, "stick", Side.BOTH, True),
    (3, "stick", Side.BOTH, False),  # no landing on a painful ankle
    (3, "far_bounce", Side.BOTH, False),
]


@pytest.mark.parametrize(("score", "drill", "side", "is_open"), PAIN)
def test_pain_in_a_test_closes_drills(small, cleared, person, score, drill, side, is_open):
    measured = (lunge(12, pain=score), lunge(12, side=Side.LEFT))
    found = reasons(
        small,
        cleared(),
        person,
        drill,
        side=side,
        measured=measured,
        athlete=person(level=Level.ADVANCED),
    )
    hurts = [reason for reason in found if "hurt" in reason]
    assert bool(hurts) is not is_open


def test_pain_in_a_jump_closes_landings(small, cleared, person):
    hurt = Measurement(test="cmj", side=Side.BOTH, pain=Pain(score=4))
    measured = (lunge(12), lunge(12, side=Side.LEFT), hurt)
    (reason,) = reasons(small, cleared(), person, "stick", side=Side.BOTH, measured=measured)
    assert "the jump hurt 4 of 10" in reason


@given(
    pains=st.lists(st.one_of(st.none(), st.floats(0, 10)), min_size=2, max_size=2),
    drill=st.sampled_from(["glide", "calf", "squat", "stick", "bounce", "one_leg_squat"]),
    side=st.sampled_from(list(Side)),
)
def test_pain_never_opens_a_drill(small, day, person, pains, drill, side):
    result = clear(person(), on=day, catalogue=small)
    calm = (lunge(12), lunge(12, side=Side.LEFT))
    sore = (lunge(12, pain=pains[0]), lunge(12, side=Side.LEFT, pain=pains[1]))
    closed_without = reasons(small, result, person, drill, side=side, measured=calm)
    closed_with = reasons(small, result, person, drill, side=side, measured=sore)
    assert closed_with or not closed_without
