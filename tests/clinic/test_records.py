"""Rows give the same record as the file, and the same examination as the command."""

from dataclasses import replace
from datetime import date

import pytest

from countermove.catalogue import load_catalogue
from countermove.clinic.people.models import Athlete, Standing
from countermove.clinic.visits.convert import athlete_record
from countermove.clinic.visits.load import keep_athlete
from countermove.clinic.visits.models import Measurement
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.models import Result
from countermove.club import athlete_keys, club_athlete
from countermove.codec import write_athlete
from tests.clinic.conftest import read_recording

pytestmark = pytest.mark.django_db


def without_names(whole):
    """Leave out what rows name in their own way: keys, and who held the visit."""
    visits = []
    for visit in whole.visits:
        number = {one.key: str(i) for i, one in enumerate(visit.treatments)} | {"": ""}
        visits.append(
            replace(
                visit,
                tester="",
                measurements=tuple(replace(m, after=number[m.after]) for m in visit.measurements),
                treatments=tuple(replace(t, key=number[t.key]) for t in visit.treatments),
                recordings=tuple(replace(r, path="") for r in visit.recordings),
            )
        )
    overrides = tuple(replace(one, by="") for one in whole.clearance.overrides)
    clearance = replace(whole.clearance, reviewed_by="", overrides=overrides)
    consents = tuple(replace(one, by="") for one in whole.consents)
    return replace(whole, key="x", visits=tuple(visits), clearance=clearance, consents=consents)


@pytest.mark.parametrize("key", athlete_keys())
def test_file_to_rows_to_record_changes_nothing(key, site, ada):
    whole = club_athlete(key)
    back = athlete_record(keep_athlete(whole, site, ada, read_recording))
    assert write_athlete(without_names(back)) == write_athlete(without_names(whole))


def test_the_record_is_read_in_a_fixed_number_of_queries(juno, django_assert_num_queries):
    # The clearance, overrides and consents; the visits with what was changed on their work lists.
    with django_assert_num_queries(8):
        athlete_record(juno)


def test_a_correction_stands_in_place_of_what_it_corrects(juno, ada):
    old = Measurement.objects.filter(test="knee_flexion", side="left").get()
    Measurement.objects.create(
        visit=old.visit, test=old.test, side=old.side, trials=[150.0], unit="deg",
        method=old.method, corrects=old, reason="read off the wrong scale", made_by=ada,
    )  # fmt: skip
    knees = [m for m in athlete_record(juno).visits[-1].measurements if m.test == "knee_flexion"]
    assert sorted(m.trials for m in knees) == [(139.0, 141.0), (150.0,)]
    assert Measurement.objects.filter(pk=old.pk).exists()


def test_the_examination_is_the_commands_and_is_kept_once(juno):
    found = examine_athlete(juno, load_catalogue())
    assert found.verdict.startswith("Free the right ankle first. It falls 2.8 cm short")
    assert [jump.kind for jump in found.jumps] == ["cmj", "sj"]
    again = examine_athlete(juno, load_catalogue())
    assert again == found
    assert Result.objects.filter(athlete=juno).count() == 1


def test_one_row_says_where_an_athlete_stands(juno):
    examine_athlete(juno, load_catalogue())
    row = Standing.objects.get(athlete=juno)
    assert row.chain == ["short", "meets", "meets", "meets", "meets"]
    assert row.decision == "go on"
    assert row.urgency == 0


def test_a_new_result_points_to_the_one_before(juno, ada):
    examine_athlete(juno, load_catalogue())
    juno.mass_kg = 71.0
    juno.save()
    examine_athlete(juno, load_catalogue())
    new, old = Result.objects.filter(athlete=juno).order_by("-pk")
    assert new.supersedes == old
    assert juno.history.count() == 2


def told(athlete):
    return [
        (one.purpose, one.recipient, one.given_on.day, one.withdrawn_on and one.withdrawn_on.day)
        for one in athlete_record(athlete).consents
    ]


# Rows as a practice writes them: purpose, recipient, given or taken back, day of November.
CONSENTS = [
    ([("testing", "", True, 3)], [("testing", "", 3, None)]),
    ([("testing", "", True, 3), ("testing", "", False, 9)], [("testing", "", 3, 9)]),
    ([("testing", "", False, 3)], []),  # refused: never given
    (
        [("testing", "", True, 3), ("testing", "", False, 9), ("testing", "", True, 12)],
        [("testing", "", 3, 9), ("testing", "", 12, None)],
    ),
    (  # given twice, taken back once: nothing is left standing
        [("testing", "", True, 3), ("testing", "", True, 5), ("testing", "", False, 9)],
        [("testing", "", 3, 9), ("testing", "", 5, 9)],
    ),
    (
        [("recipient", "Dr Quay", True, 3), ("recipient", "coach", True, 3),
         ("recipient", "coach", False, 4), ("video", "", True, 5)],
        [("recipient", "Dr Quay", 3, None), ("recipient", "coach", 3, 4), ("video", "", 5, None)],
    ),
]  # fmt: skip


@pytest.mark.parametrize(("rows", "expected"), CONSENTS)
def test_rows_of_consent_become_the_records(rows, expected, site, ada):
    athlete = Athlete.objects.create(
        site=site, name="Mira Jetty", sex="female", born=date(1998, 5, 4), height_m=1.8, mass_kg=70
    )
    for purpose, recipient, given, day in rows:
        athlete.consents.create(
            purpose=purpose, recipient=recipient, given=given, on=date(2026, 11, day), made_by=ada
        )
    assert told(athlete) == expected


def test_a_consent_given_or_taken_back_after_the_latest_visit_counts_for_it(juno, ada):
    def judged():
        return examine_athlete(juno, load_catalogue()).clearance.decision

    testing = {"purpose": "testing", "made_by": ada}
    assert judged() == "go on"
    juno.consents.create(given=False, on=date(2027, 1, 5), **testing)
    assert judged() == "ask first"
    juno.consents.create(given=True, on=date(2027, 2, 5), **testing)
    assert judged() == "go on"
