import pytest
from hypothesis import given
from hypothesis import strategies as st

from countermove.catalogue import load_catalogue
from countermove.club import club_athlete
from countermove.examination import Bench, Gain, findings_of, work_list
from countermove.examination.work_lists import dose_text, place_and_verdict, way_in
from countermove.record import Finding, Level, Link, Measurement, Pain, Side, Verdict, Visit
from countermove.safety import clear, may_do

LITTLE = Gain(0.004, -0.002, 0.010)
FULL = {"left": 12, "right": 12}


def lunge(side, value, **more):
    return Measurement(
        test="lunge_distance",
        side=Side(side),
        trials=(value,) * 3,
        unit="cm",
        method="tape",
        **more,
    )


def felt(side, answer):
    return Measurement(test="lunge_felt", side=Side(side), answer=answer)


def step(side, answer):
    return Measurement(test="step_down", side=Side(side), answer=answer)


def landing(answer):
    return Measurement(test="drop_landing", side=Side.BOTH, answer=answer)


@pytest.fixture
def work(small, day, athlete):
    """Give the work list of some measurements as drill keys and notes."""

    def build(*measurements, gain=None, done=(), **more):
        person = athlete(*measurements, **more)
        bench = Bench(
            athlete=person,
            clearance=clear(person, on=day, catalogue=small),
            catalogue=small,
            measurements=measurements,
            done=frozenset(done),
        )
        found = findings_of(Visit(date=day, tester="A", measurements=measurements), catalogue=small)
        return work_list(found, bench, gain=gain)

    return build


def keys(tasks):
    return [task.drill for task in tasks]


def test_a_drill_fits_the_pattern_of_the_ankle(work):
    tasks, _ = work(lunge("right", 6), felt("right", "front_pinch"))
    assert [(task.drill, task.side) for task in tasks] == [("glide", "right")]
    assert tasks[0].why == "Right ankle short in “Lunge”; fits a stiff joint, confirm by hand."
    tasks, _ = work(lunge("right", 6), felt("right", "calf_stretch"))
    assert keys(tasks) == ["calf"]


def test_without_a_pattern_no_patterned_drill_is_given_and_the_reason_is_said(work):
    tasks, notes = work(lunge("right", 6))
    assert tasks == ()
    assert notes == ("Ankle: no drill of the catalogue fits what was found; decide by hand.",)


def test_each_side_follows_its_own_pattern(work):
    tasks, _ = work(
        lunge("left", 6),
        lunge("right", 6),
        felt("left", "calf_stretch"),
        felt("right", "front_pinch"),
    )
    assert [(task.drill, task.side) for task in tasks] == [("glide", "right"), ("calf", "left")]


def test_both_sides_short_make_one_task_for_each_side(work):
    made = [lunge(side, 6) for side in FULL] + [felt(side, "front_pinch") for side in FULL]
    tasks, _ = work(*made)
    assert [(task.drill, task.side) for task in tasks] == [("glide", "both")]
    assert "each side" in tasks[0].dose


def test_the_task_carries_dose_cue_stop_rule_and_sources(work):
    (task,), _ = work(lunge("right", 6), felt("right", "front_pinch"))
    assert task.dose == (
        "3 sets of 10 on the right; 30 s rest between sets; 4 days a week. Without strap: A towel."
    )
    assert (task.cue, task.stop, task.sources) == ("Well.", "Stop at pain.", ("common-practice",))


def test_a_drill_for_both_sides_names_every_shortfall_once(work):
    """The squat answers both knees itself, and is the way in to the one-leg squat for both."""
    (task,), _ = work(step("left", "drifts"), step("right", "drifts"))
    assert (task.drill, task.side) == ("squat", "both")
    assert task.why == "Left knee short in “Step-down”. Right knee short in “Step-down”."


@pytest.mark.parametrize(
    ("link", "said"),
    [
        (Link.HIP, "left hip short"),
        (Link.THORACIC_SPINE, "thoracic spine short to the left"),
        (None, "left landing short"),
    ],
)
def test_a_spine_has_no_left_half(link, said):
    finding = Finding(link=link, verdict=Verdict.SHORT, text="")
    assert place_and_verdict(finding, Side.LEFT) == said


def test_two_legs_before_one_and_a_gated_drill_gives_its_way_in(work):
    tasks, _ = work(step("left", "drifts"), step("right", "steady"))
    assert keys(tasks) == ["squat"]
    assert tasks[0].side is Side.BOTH


@pytest.mark.parametrize(
    ("drill", "done", "given"),
    [
        ("squat", (), "squat"),
        ("one_leg_squat", (), "squat"),  # the earlier drill is the way in
        ("one_leg_squat", ("squat",), "one_leg_squat"),
        ("machine", (), None),  # no equipment, and nothing leads around it
        ("stick", (), None),  # a gate in a test that nobody measured
    ],
)
def test_the_way_in(small, day, athlete, drill, done, given):
    bench = Bench(
        athlete=athlete(),
        clearance=clear(athlete(), on=day, catalogue=small),
        catalogue=small,
        measurements=(),
        done=frozenset(done),
    )
    assert way_in(drill, Side.LEFT, bench) == given


def test_links_come_in_chain_order(work):
    tasks, _ = work(
        step("left", "drifts"),
        landing("loud"),
        *(lunge(s, 9.5) for s in FULL),
        felt("left", "calf_stretch"),
    )
    assert keys(tasks) == ["squat", "stick"]


def test_a_link_too_close_to_call_gets_one_optional_drill(work):
    drift = Measurement(test="knee_drift", side=Side.LEFT, trials=(11, 11), unit="deg")
    tasks, notes = work(drift)
    assert len(tasks) == 1
    assert tasks[0].why.startswith("Optional: ")
    assert notes == ()


def test_nothing_short_means_nothing_to_do(work):
    assert work(*(lunge(side, 12) for side in FULL), landing("soft")) == ((), ())


@pytest.mark.parametrize("answers", [{"chest": "yes"}, {"calf": "unsure"}, {"surgery": "yes"}])
def test_referred_means_an_empty_work_list(work, answers):
    assert work(lunge("right", 6), felt("right", "front_pinch"), answers=answers) == ((), ())


def test_no_clearance_means_an_empty_work_list(work):
    made = (lunge("right", 6), felt("right", "front_pinch"))
    assert work(*made, clearance=None) == ((), ())


def test_pain_above_five_leaves_no_drill_and_says_so(work):
    tasks, notes = work(lunge("right", 6, pain=Pain(score=6)), felt("right", "front_pinch"))
    assert tasks == ()
    assert "hurt 6 of 10" in notes[0]


def test_little_gain_asks_for_stretch_shortening_work(work):
    soft = (*(lunge(side, 12) for side in FULL), landing("soft"))
    tasks, notes = work(*soft, gain=LITTLE)
    assert keys(tasks) == ["bounce"]  # the other asks for more training history
    assert "adds 0.4 cm" in tasks[0].why
    assert notes == ()
    tasks, _ = work(*soft, gain=LITTLE, level=Level.ADVANCED)
    assert keys(tasks) == ["bounce", "far_bounce"]


def test_stretch_shortening_work_waits_for_the_leg(work):
    tasks, notes = work(
        lunge("right", 6), felt("right", "front_pinch"), landing("soft"), gain=LITTLE
    )
    assert keys(tasks) == ["glide"]
    assert notes == ("Stretch-shortening work waits until the ankle is no longer short.",)


def test_a_gate_in_a_test_is_not_walked_around(work):
    tasks, notes = work(*(lunge(side, 12) for side in FULL), gain=LITTLE)
    assert tasks == ()  # nobody watched the landing
    assert notes == ("No stretch-shortening drill is open to this athlete yet.",)


values = st.sampled_from([5.0, 9.5, 12.0])
pains = st.one_of(st.none(), st.sampled_from([0, 2, 4, 8]))
told = st.sampled_from(["front_pinch", "calf_stretch"])


cases = st.fixed_dictionaries(
    {
        "lunge": st.tuples(values, values),
        "pain": st.tuples(pains, pains),
        "felt": st.tuples(told, told),
        "knee": st.sampled_from(["steady", "drifts", "unclear"]),
        "landing": st.sampled_from(["soft", "loud"]),
    }
)
SIDES = (Side.LEFT, Side.RIGHT)


def measured_as(case):
    made = [
        lunge(side, value, pain=None if score is None else Pain(score=score))
        for side, value, score in zip(SIDES, case["lunge"], case["pain"], strict=True)
    ]
    made += [felt(side, word) for side, word in zip(SIDES, case["felt"], strict=True)]
    return [*made, step("left", case["knee"]), landing(case["landing"])]


@given(case=cases, torn=st.sampled_from(["yes", "no"]), level=st.sampled_from(list(Level)))
def test_every_task_passes_every_rule_again(small, day, athlete, case, torn, level):
    """The list is checked by calling the rules once more, drill by drill, side by side."""
    measured = measured_as(case)
    person = athlete(*measured, answers={"torn": torn}, level=level)
    clearance = clear(person, on=day, catalogue=small)
    bench = Bench(
        athlete=person, clearance=clearance, catalogue=small, measurements=tuple(measured)
    )
    visit = Visit(date=day, tester="A", measurements=tuple(measured))
    found = findings_of(visit, catalogue=small)
    tasks, _ = work_list(found, bench, gain=LITTLE)
    assert len({task.drill for task in tasks}) == len(tasks)
    for task in tasks:
        drill = small.drills[task.drill]
        one_side = drill.side == "each" and task.side is Side.BOTH
        for side in SIDES if one_side else (task.side,):
            assert not may_do(
                drill,
                clearance,
                athlete=person,
                side=side,
                catalogue=small,
                measurements=measured,
            )
    order = [*Link, None]
    places = [order.index(small.tests[small.drills[t.drill].helps[0]].link) for t in tasks]
    assert places == sorted(places)


def test_a_count_of_one_is_singular():
    # Low drop jump and its kind are given once a week.
    catalogue = load_catalogue()
    weekly = [d for d in catalogue.drills.values() if d.dose.days_a_week.value == 1]
    for drill in weekly:
        text = dose_text(drill, club_athlete("tove-harbourne"), Side.BOTH)
        assert "1 day a week" in text
    assert weekly
