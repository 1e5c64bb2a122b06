from dataclasses import replace

import pytest

from countermove.examination import findings_of, verdict_of_link
from countermove.record import Link, Measurement, Pain, Side, Treatment, Verdict, Visit


def visit(day, *measurements, treatments=()):
    return Visit(date=day, tester="A", measurements=measurements, treatments=treatments)


def step(side, answer, **more):
    return Measurement(test="step_down", side=side, answer=answer, **more)


def felt(side, answer, **more):
    return Measurement(test="lunge_felt", side=side, answer=answer, **more)


def test_links_come_in_chain_order_each_once(small, day):
    found = findings_of(visit(day), catalogue=small)
    assert [finding.link for finding in found] == list(Link)
    assert found[0].link is Link.ANKLE
    assert all(finding.verdict is Verdict.NOT_MEASURED for finding in found)
    assert all("not measured" in finding.text for finding in found)


def test_landings_come_last_and_only_if_measured(small, day):
    landing = Measurement(test="drop_landing", side=Side.BOTH, answer="loud")
    found = findings_of(visit(day, landing), catalogue=small)
    assert [finding.link for finding in found] == [*Link, None]
    assert found[-1].verdict is Verdict.SHORT
    assert found[-1].text == "Jump and landing: short in “Drop landing”: loud (common practice)."


@pytest.mark.parametrize(
    ("verdicts", "link"),
    [
        (["meets", "short", "too close to call"], "short"),
        (["meets", "too close to call", "not measured"], "too close to call"),
        (["meets", "not measured"], "meets"),
        (["not measured"], "not measured"),
        ([], "not measured"),
    ],
)
def test_the_verdict_on_a_link(verdicts, link):
    assert verdict_of_link(Verdict(word) for word in verdicts) == link


def test_a_short_link_says_side_gap_target_error_and_source(small, day, lunge):
    made = visit(day, lunge(12, 12, 12, side=Side.LEFT), lunge(6.6, 6.6, 6.6))
    ankle = findings_of(made, catalogue=small)[0]
    assert ankle.text.startswith(
        "Ankle: short on the right, by 3.4 cm of the 10 cm asked, well outside the error of 1 cm,"
        " in “Lunge” (asked: common practice; error: Example 2001)."
    )
    assert any("the right is 5.4 cm less than the left" in detail for detail in ankle.details)
    assert ankle.sources == ("common-practice", "paper")


def test_too_close_says_value_target_and_error(small, day, lunge):
    ankle = findings_of(visit(day, lunge(9.5, 9.5, 9.5)), catalogue=small)[0]
    assert "too close to call on the right, 9.5 cm where 10 cm is asked" in ankle.text


def test_what_is_at_most_allowed_is_worded_so(small, day):
    drift = Measurement(test="knee_drift", side=Side.LEFT, trials=(20, 20), unit="deg")
    knee = findings_of(visit(day, drift), catalogue=small)[1]
    assert "by 10 deg over the 10 deg allowed" in knee.text


def test_pain_and_what_could_not_be_done_are_said(small, day, lunge):
    sore = lunge(12, 12, 12, pain=Pain(score=4, where="in front"))
    boot = lunge(side=Side.LEFT, could_not="boot on the foot")
    ankle = findings_of(visit(day, sore, boot), catalogue=small)[0]
    assert ankle.verdict is Verdict.TOO_CLOSE
    assert "“Lunge” on the right hurt 4 of 10 (in front)." in ankle.details
    assert "Could not do “Lunge” on the left: boot on the foot." in ankle.details


def test_what_makes_a_number_less_sure_stands_on_the_page(small, day, lunge):
    few = lunge(6, side=Side.LEFT, tester="B")  # measured by somebody else, one trial of three
    apart = lunge(6, 8, 7, method="stick")  # an error within one session only: 5 % of 7 cm
    details = findings_of(visit(day, few, apart), catalogue=small)[0].details
    assert "“Lunge” on the left: 1 of 3 trials: the error may be larger." in details
    assert "“Lunge” on the right: The trials lie 2 cm apart, more than error: measure again." in (
        details
    )
    assert (
        "“Lunge” on the right: Its error was published for one session only; from day to day it may"
        " be larger."
    ) in details
    assert not any("left: Its error" in detail for detail in details)  # another tester's is known


def test_pain_after_a_treatment_is_said_too(small, day, lunge):
    glide = Treatment(key="glide", drill="glide", side=Side.RIGHT, minutes=2)
    again = lunge(7, 7, 7, after="glide", pain=Pain(score=6))
    ankle = findings_of(visit(day, lunge(6, 6, 6), again, treatments=(glide,)), catalogue=small)[0]
    assert (
        "“Lunge” on the right hurt 6 of 10 after the treatment. Stop this test; find out why first."
    ) in ankle.details


def test_the_pattern_of_the_ankle_is_said_for_its_side_only(small, day, lunge):
    made = visit(
        day,
        lunge(12, 12, 12, side=Side.LEFT),
        lunge(6, 6, 6),
        felt(Side.LEFT, "calf_stretch"),
        felt(Side.RIGHT, "front_pinch"),
    )
    text = " ".join(findings_of(made, catalogue=small)[0].details)
    assert "The right ankle: fits a stiff joint; confirm by hand." in text
    assert "Do not stretch into the pinch; if it stays, or the ankle locks, refer." in text
    assert "left ankle" not in text


def test_measurings_after_a_treatment_are_changes_and_no_findings(small, day, lunge):
    glide = Treatment(key="glide", drill="glide", side=Side.RIGHT, minutes=2)
    made = visit(
        day,
        lunge(6, 6, 6),
        felt(Side.RIGHT, "front_pinch"),
        lunge(12, 12, 12, after="glide"),
        felt(Side.RIGHT, "calf_stretch", after="glide"),
        treatments=(glide,),
    )
    ankle = findings_of(made, catalogue=small)[0]
    assert ankle.verdict is Verdict.SHORT
    assert [change.changed for change in ankle.changes] == [True]
    assert "“in front” before, “in the calf” after" in " ".join(ankle.details)


def test_another_tester_than_the_visits_widens_the_error(small, day, lunge):
    made = lunge(8.9, 8.9, 8.9)
    verdicts = [
        findings_of(visit(day, replace(made, tester=who)), catalogue=small)[0].verdict
        for who in ("", "A", "B")
    ]
    assert verdicts == ["short", "short", "too close to call"]


def test_what_nothing_is_asked_of_is_listed_without_a_grade(small, day):
    angle = Measurement(test="lunge_angle", side=Side.LEFT, trials=(40, 41), unit="deg")
    ankle = findings_of(visit(day, angle), catalogue=small)[0]
    assert ankle.verdict is Verdict.NOT_MEASURED
    assert ankle.grades == ()
    assert ankle.details == ("Measured, nothing asked of it: “Lunge angle”: left 40.5 deg.",)


def test_both_sides_are_named_together(small, day):
    made = visit(day, step(Side.LEFT, "steady"), step(Side.RIGHT, "steady"))
    knee = findings_of(made, catalogue=small)[1]
    assert knee.text == "Knee: meets in “Step-down” on both sides (common practice)."
