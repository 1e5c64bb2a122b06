"""With a catalogue of every drill the work list stays a list that a practitioner can hand over."""

from dataclasses import replace

import pytest

from countermove.catalogue import Quality, current, load_catalogue
from countermove.club import club_athlete
from countermove.examination import Bench, Gain, work_list
from countermove.examination.work_lists import MOST_A_LINK, MOST_FOR_THE_JUMP, MOST_REASONS
from countermove.record import Finding, Grade, Link, Measurement, Pain, Side, Verdict
from countermove.safety import clear

CATALOGUE = load_catalogue()
DRILLS = CATALOGUE.drills
GRADED = {
    key: test
    for key, test in current(CATALOGUE.tests).items()
    if CATALOGUE.targets_of(key) or any(choice.good is not None for choice in test.choices)
}
EVERYTHING = ("wall", "mat", "box", "step", "strap", "band", "stick", "weight", "bench", "chair")
PIM = replace(club_athlete("pim-gullivane"), equipment=EVERYTHING)
DAY = PIM.visits[-1].date


def bench(athlete=PIM, measurements=()):
    clearance = clear(athlete, on=DAY, catalogue=CATALOGUE)
    return Bench(
        athlete=athlete, clearance=clearance, catalogue=CATALOGUE, measurements=tuple(measurements)
    )


def felt(answer):
    return tuple(
        Measurement(test="lunge_felt", side=side, answer=answer) for side in (Side.LEFT, Side.RIGHT)
    )


def short(keys, link):
    grades = tuple(
        Grade(test=key, link=link, side=side, verdict=Verdict.SHORT, text="")
        for key in keys
        for side in (
            (Side.LEFT, Side.RIGHT) if CATALOGUE.tests[key].sides == "each" else (Side.BOTH,)
        )
    )
    return Finding(link=link, verdict=Verdict.SHORT, text=f"{link}: short.", grades=grades)


def all_short():
    return [short([k for k, t in GRADED.items() if t.link is link], link) for link in (*Link, None)]


def test_everything_short_on_both_sides_still_gives_few_drills_a_link():
    tasks, _ = work_list(all_short(), bench(measurements=felt("calf_stretch")))
    links = [
        short([k for k, t in GRADED.items() if t.link is link], link) for link in (*Link, None)
    ]
    for finding in links:
        mine, _ = work_list([finding], bench(measurements=felt("calf_stretch")))
        assert 1 <= len(mine) <= MOST_A_LINK
    assert len(tasks) <= MOST_A_LINK * len(links)
    assert len({task.drill for task in tasks}) == len(tasks)


@pytest.mark.parametrize("link", Link)
def test_the_first_drills_of_a_link_open_at_once_and_work_on_it(link):
    keys = [k for k, t in GRADED.items() if t.link is link]
    tasks, _ = work_list([short(keys, link)], bench(measurements=felt("calf_stretch")))
    order = [list(Quality).index(DRILLS[task.drill].quality) for task in tasks]
    assert order == sorted(order)
    for task in tasks:
        assert not [gate for gate in DRILLS[task.drill].gates if gate.drill]
        assert link in DRILLS[task.drill].links


@pytest.mark.parametrize(("kit", "given"), [(("strap",), "strap"), (("box",), "hand")])
def test_of_two_that_fit_the_one_whose_equipment_is_at_hand_is_given(kit, given):
    athlete = replace(PIM, equipment=kit)
    finding = short(["lunge_distance"], Link.ANKLE)
    tasks, _ = work_list([finding], bench(athlete, felt("front_pinch")))
    assert [task.drill for task in tasks] == [f"ankle_mobilisation_{given}"]
    assert "Without" not in tasks[0].dose


def test_the_jump_gets_few_drills_and_each_is_open():
    gain = Gain(0.004, -0.002, 0.010)
    at = bench()
    tasks, _ = work_list([], at, gain=gain)
    assert 1 <= len(tasks) <= MOST_FOR_THE_JUMP
    assert all(not at.against(task.drill, task.side) for task in tasks)


def test_where_nothing_is_open_few_reasons_are_said_and_the_rest_counted():
    """Knee pain of 8 shuts what works the knee; the sentence does not list the catalogue."""
    hurt = replace(PIM, equipment=())
    pain = [
        Measurement(test="step_down_seen", side=side, answer="drifts", pain=Pain(score=8))
        for side in (Side.LEFT, Side.RIGHT)
    ]
    finding = short(["step_down_seen"], Link.KNEE)
    tasks, notes = work_list([finding], bench(hurt, pain))
    assert tasks == ()
    (note,) = notes
    fitting = [k for k, d in current(DRILLS).items() if "step_down_seen" in d.helps]
    assert note.count("“") <= 2 * MOST_REASONS
    assert f"{len(fitting) - MOST_REASONS} more drills would fit, none of them open." in note
