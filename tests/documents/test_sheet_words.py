"""What the athlete reads: the work and its limits, or whom to see; plain words."""

import re
from dataclasses import replace
from datetime import date

import pikepdf
import pytest

from countermove.catalogue import Consequence, load_catalogue
from countermove.club import athlete_keys, club_athlete
from countermove.documents.athlete_words import CLOSED, body_part, spoken_dose
from countermove.documents.parts import Practice
from countermove.documents.sheet import sheet_of
from countermove.examination import examine
from countermove.record import Decision, LandingCap, Link, Side, Verdict
from countermove.safety.clearance import DECISIONS
from tests.documents.printed import squeezed, text_of

EVERYBODY = pytest.mark.parametrize("key", athlete_keys())
CATALOGUE = load_catalogue()
REFERRING = [
    key
    for key, caution in CATALOGUE.cautions.items()
    if caution.question and DECISIONS[caution.leads_to] is Decision.REFER
]
AIMS = {
    Consequence.EMERGENCY: "Get help now: call 112",
    Consequence.SAME_DAY: "See a doctor today.",
    Consequence.ELSEWHERE: "See a doctor before you train or are tested here.",
}
# Words of the practitioner's page that are not for the athlete's (design: pattern, not diagnosis).
NOT_FOR_ATHLETES = ("stiff joint", "confirm by hand", "error", "impulse", "MDC", "our default")


def has(pdf_text, said):
    return squeezed(said) in pdf_text


@EVERYBODY
def test_every_task_stands_there_whole(key, examined, catalogue, printed):
    text = text_of(printed(examined[key]))
    for task in examined[key].tasks:
        for said in (task.name, f"“{task.cue}”", task.stop, *catalogue.drills[task.drill].steps):
            assert has(text, said)
        numbers = re.findall(r"\d+", task.dose)
        assert re.search(r"\D+".join(numbers), text[text.index(squeezed(task.name)) :])
        assert text.index(squeezed(task.name)) < text.index(squeezed(task.stop))


@EVERYBODY
def test_cautions_stand_on_every_sheet(key, examined, printed):
    text = text_of(printed(examined[key], emergency="555-EMERGENCY", phone="555 0142"))
    for said in ("Nobody watches this sheet live", "555-EMERGENCY", "Call 555 0142"):
        assert has(text, said)
    if examined[key].tasks:
        for said in (
            "Stop at once at sharp or sudden pain, a pop, giving way, new swelling or numbness",
            "Pain rule. Calf or Achilles tendon: stop the drill at any pain.",
            "The next morning more pain or stiffness than before?",
            "Chest pain, breathlessness at rest, or a collapse: call 555-EMERGENCY now.",
            "Ask before you change it.",
            "checked against every rule listed",
        ):
            assert has(text, said)


@EVERYBODY
def test_nothing_on_it_is_for_the_practitioner_only(key, examined, printed):
    text = text_of(printed(examined[key]))
    assert not [said for said in NOT_FOR_ATHLETES if has(text, said)]
    above_the_work = text.split("Yourwork")[0]
    assert not re.search(r"\d(cm|deg|reps|in)\b", above_the_work)
    for finding in examined[key].findings:
        assert not has(text, finding.text)


def test_the_verdict_leads_without_its_numbers(juno, printed):
    text = text_of(printed(juno))
    assert has(text, "Free the right ankle first. What stands out Right ankle: short of what")
    assert juno.verdict.startswith("Free the right ankle first. It falls 2.")
    assert not has(text, "It falls")


def test_a_drill_for_one_side_is_not_dosed_for_each(juno, printed):
    text = text_of(printed(juno))
    assert juno.tasks[0].side is Side.RIGHT
    assert has(text, "right side")
    assert has(text, "3 sets of 10 on the right, each held 3 seconds.")
    assert not has(text, "each side")


def test_a_dose_is_spoken_in_sentences(juno):
    dose = "2 sets of 5 each side, each held 30 s; slow; 15 s rest. Without mat: A bed."
    both = replace(juno.tasks[0], dose=dose, side=Side.BOTH)
    assert spoken_dose(both) == (
        "2 sets of 5 each side, each held 30 seconds. Slow. 15 seconds rest. Without mat: A bed."
    )


def test_one_of_a_thing_is_spoken_as_one(juno):
    task = replace(juno.tasks[0], dose="1 sets of 11; 1 s rest; 11 landings in all; 1 days a week.")
    assert spoken_dose(task) == "1 set of 11. 1 second rest. 11 landings in all. 1 day a week."


@pytest.mark.parametrize(
    ("link", "sides", "name"),
    [
        (Link.ANKLE, [Side.RIGHT], "right ankle"),
        (Link.KNEE, [Side.LEFT, Side.RIGHT], "both knees"),
        (Link.SHOULDER, [Side.BOTH], "both shoulders"),
        (Link.THORACIC_SPINE, [Side.LEFT], "upper back, turning left"),
        (Link.THORACIC_SPINE, [Side.BOTH], "upper back"),
        (Link.HIP, [], "both hips"),
        (None, [Side.RIGHT], "landing"),
    ],
)
def test_parts_of_the_body_have_plain_names(link, sides, name):
    assert body_part(link, sides) == name


def test_the_spring_is_what_is_left_to_train(examined, printed):
    pim = examined["pim-gullivane"]
    text = text_of(printed(pim))
    assert has(text, "Train the spring of your jump.")
    assert has(text, "For the spring of your jump: the quick dip before it adds little height")


def test_boxes_are_drawn_for_the_days_of_two_weeks(juno, catalogue, printed):
    pdf = printed(juno)
    days = int(catalogue.drills[juno.tasks[0].drill].dose.days_a_week.value)
    text = text_of(pdf)
    for said in ("Week from 25 November", "Week from 2 December", "Wed 25 Nov", "Tue 8 Dec"):
        assert has(text, said)
    twice = replace(juno, tasks=juno.tasks * 2)
    assert squares(printed(twice)) - squares(pdf) == 2 * days
    assert squares(pdf) == 2 * days + 14


def squares(pdf):
    """Count the boxes to tick: outlines of exactly four rounded corners."""
    found, corners = 0, 0
    for page in pdf.pages:
        for _, operator in pikepdf.parse_content_stream(page):
            corners += str(operator) == "c"
            if str(operator) in ("S", "s", "f", "B", "n"):
                found += corners == 4 and str(operator) == "S"
                corners = 0
    return found


@pytest.mark.parametrize("key", REFERRING)
def test_a_referral_says_what_to_do_whom_to_see_and_how_soon(key, answering, catalogue, printed):
    examination = answering(**{key: "yes"})
    caution = catalogue.cautions[key]
    text = text_of(printed(examination))
    assert has(text, AIMS[caution.leads_to])
    assert has(text, f"You answered yes to: “{caution.question}”")
    assert has(text, caution.says)
    assert not has(text, "Your work")
    assert not [drill.name for drill in catalogue.drills.values() if has(text, drill.name)]


def test_the_gravest_of_two_referrals_leads(answering, printed):
    both = answering(known_disease="yes", calf_swollen="yes", chest_pain_or_breathless="unsure")
    text = text_of(printed(both, emergency="911"))
    assert has(text, "Get help now: call 911")
    assert has(text, "You were not sure about: “Do you have chest pain")
    assert text.index(squeezed("chest pain or pressure")) < text.index("swollen,warm")


def test_the_referred_athlete_of_the_club(examined, catalogue, printed):
    pdf_text = text_of(printed(examined["kasimir-mooring"]))
    assert has(pdf_text, "See a doctor today. No drills, jumps or tests until that is settled.")
    assert has(pdf_text, catalogue.cautions["calf_swollen"].says)


def test_a_referral_whose_reasons_are_lost_still_refers(examined, printed):
    kasimir = examined["kasimir-mooring"]
    bare = replace(kasimir, clearance=replace(kasimir.clearance, reasons=()))
    assert has(text_of(printed(bare)), "See a doctor before you train or are tested here.")


def test_open_questions_come_first_and_are_listed(answering, catalogue, printed):
    text = text_of(printed(answering(drop=["calf_swollen"])))
    assert has(text, "First, your health questions.")
    assert has(text, catalogue.cautions["calf_swollen"].question)
    assert not has(text, catalogue.cautions["pop_in_calf"].question)
    assert not has(text, "Your work")


def agreed(examined_as, consents):
    """Examine the athlete with nothing wrong, who agreed to something else."""
    athlete = replace(club_athlete("tove-harbourne"), consents=consents)
    return examine(athlete, read_trials=lambda recording: (), catalogue=examined_as)


def test_who_has_not_agreed_is_asked_and_not_about_health(catalogue, printed):
    text = text_of(printed(agreed(catalogue, ())))
    assert has(text, "First, your consent.")
    assert has(text, "You may take it back at any time.")
    assert not has(text, "health questions with your practitioner")
    assert not has(text, "Your work")


def test_who_took_it_back_is_told_that_we_stopped(catalogue, printed):
    given = club_athlete("tove-harbourne").consents[0]
    back = replace(given, withdrawn_on=date(2026, 11, 19))
    text = text_of(printed(agreed(catalogue, (back,))))
    assert has(text, "You took your consent back, so we stopped.")
    assert has(text, "nobody needs a reason")


def test_open_questions_and_consent_are_asked_together(answering, catalogue, printed):
    found = answering(drop=["calf_swollen"])
    asked = found.clearance.reasons[0]
    consent = replace(asked, text="Consent to testing is not on record. Ask the athlete.")
    both = replace(found, clearance=replace(found.clearance, reasons=(asked, consent)))
    text = text_of(printed(both))
    assert has(text, "First, your health questions.")
    assert has(text, "say that you agree to testing")


def test_the_boxes_are_for_the_days_that_clearance_leaves(catalogue, printed, examined):
    pim = examined["pim-gullivane"]
    landing = [t for t in pim.tasks if catalogue.drills[t.drill].dose.contacts is not None]
    usual = replace(pim, tasks=(landing[0],))
    one_day = replace(usual.clearance, landings=LandingCap(days_a_week=1))
    boxes = [
        sheet_of(found, catalogue, practice=Practice()).drills[0].boxes
        for found in (usual, replace(usual, clearance=one_day))
    ]
    assert boxes == [2, 1]


def test_what_clearance_closes_is_left_out_in_plain_words(answering, printed):
    text = text_of(printed(answering(quinolone="yes")))
    assert has(text, "Leave out for now")
    assert has(text, "Drops from a box or step, drops from a high box, fast or springy calf work")


def test_every_tag_that_a_caution_closes_has_plain_words(catalogue):
    tags = {tag for caution in catalogue.cautions.values() for tag in caution.closes}
    assert tags <= set(CLOSED)


def test_no_work_is_said_kindly(examined, printed):
    text = text_of(printed(examined["tove-harbourne"]))
    assert has(text, "Nothing falls short in what we measured.")
    assert has(text, "no extra work for you this time")
    assert not has(text, "Two weeks on paper")


def test_a_short_link_without_a_drill_is_not_passed_over(juno, printed):
    text = text_of(printed(replace(juno, tasks=())))
    assert has(text, "No drills on this sheet, for now.")
    assert has(text, "work on your right ankle, but none of our drills fits you yet")


def test_too_close_to_call_is_optional(juno, printed):
    ankle = juno.findings[0]
    close = replace(
        ankle,
        verdict=Verdict.TOO_CLOSE,
        grades=tuple(
            replace(g, verdict=Verdict.TOO_CLOSE) if g.verdict is Verdict.SHORT else g
            for g in ankle.grades
        ),
    )
    text = text_of(printed(replace(juno, findings=(close, *juno.findings[1:]))))
    assert has(text, "Nothing falls short.")
    assert has(text, "Right ankle: too close to call. We measure it again.")
    assert has(text, "Optional. For your right ankle, which was too close to call.")
