"""Every athlete of the invented club is found to be what their story was written to give."""

from collections import Counter
from dataclasses import replace
from importlib import resources

import pytest

from countermove.catalogue import load_catalogue
from countermove.club import athlete_file, athlete_keys, club_athlete
from countermove.codec import read_athlete, write_athlete
from countermove.errors import BadInput
from countermove.examination import examine, gain_of, gains_little
from countermove.jumps import analyse_jumps
from countermove.record import Link, Side
from countermove.recordings import read_force

CATALOGUE = load_catalogue()
FOLDER = resources.files("countermove.club")


def read(recording):
    path = FOLDER / "recordings" / recording.path.rpartition("/")[2]
    with resources.as_file(path) as file:
        return analyse_jumps(read_force(file), kind=recording.kind)


def never(recording):
    raise AssertionError(f"{recording.path} was opened")


def examined(key, read_trials=read):
    return examine(club_athlete(key), read_trials=read_trials, catalogue=CATALOGUE)


def verdicts(found):
    return {finding.link: finding.verdict.value for finding in found.findings}


def test_the_stiff_right_ankle():
    found = examined("juno-breakwater")
    assert found.clearance.decision == "go on"
    others = {link: "meets" for link in (*Link, None) if link is not Link.ANKLE}
    assert verdicts(found) == {Link.ANKLE: "short"} | others
    short = {(g.side, g.test) for g in found.findings[0].grades if g.verdict == "short"}
    assert {side for side, _ in short} == {Side.RIGHT}
    assert ("right", "lunge_distance") in short
    assert "The right ankle: fits a stiff joint; confirm by hand." in " ".join(
        found.findings[0].details
    )
    assert found.verdict.startswith(
        "Free the right ankle first. It falls 2.8 cm short of the 10 cm"
    )
    assert [(task.drill, task.side) for task in found.tasks] == [
        ("ankle_mobilisation_strap", Side.RIGHT)
    ]
    assert [change.changed for change in found.findings[0].changes] == [True]


def test_the_inelastic_one():
    found = examined("pim-gullivane")
    assert set(verdicts(found).values()) == {"meets"}
    assert gains_little(gain_of(found.jumps))
    assert "little" in found.verdict
    drills = [CATALOGUE.drills[task.drill] for task in found.tasks]
    assert drills
    assert {drill.quality for drill in drills} == {"stretch-shortening"}
    assert [change.changed for f in found.findings for change in f.changes] == [False]


def test_all_well():
    found = examined("tove-harbourne")
    assert set(verdicts(found).values()) == {"meets"}
    assert found.verdict == "Nothing falls short beyond the error."
    assert found.tasks == ()
    assert found.notes == ()
    assert not gains_little(gain_of(found.jumps))


def test_the_one_who_is_referred_gets_no_jump_test():
    found = examined("kasimir-mooring", never)
    assert found.clearance.decision == "refer"
    assert found.clearance.reasons[0].caution == "calf_swollen"
    assert found.verdict.startswith("Stop here. To a doctor today")
    assert (found.jumps, found.tasks) == ((), ())
    assert any("kasimir-mooring-cmj.csv was not opened" in note for note in found.notes)
    assert verdicts(found)[Link.ANKLE] == "not measured"


@pytest.mark.parametrize("key", athlete_keys())
def test_every_file_says_that_it_is_invented(key):
    person = club_athlete(key)
    assert person.key == key
    assert "Invented" in person.note
    assert "invented" in athlete_file(key).read_text(encoding="utf-8").partition("document")[0]


@pytest.mark.parametrize("key", athlete_keys())
def test_every_file_walks_the_whole_chain(key):
    """A test of every link, both sides, several trials, a pair around a treatment, a recording."""
    visit = max(club_athlete(key).visits, key=lambda visit: visit.date)
    tests = {m.test for m in visit.measurements}
    assert {CATALOGUE.tests[test].link for test in tests} >= set(Link)
    sides = Counter((m.test, m.side) for m in visit.measurements if not m.after)
    for test in tests:
        each = CATALOGUE.tests[test].sides == "each"
        assert {s for t, s in sides if t == test} == (
            {Side.LEFT, Side.RIGHT} if each else {Side.BOTH}
        )
    assert max(len(m.trials) for m in visit.measurements) >= 3
    assert {m.after for m in visit.measurements} >= {t.key for t in visit.treatments} != set()
    assert visit.recordings


@pytest.mark.parametrize("key", athlete_keys())
def test_the_file_is_the_record(key):
    person = club_athlete(key)
    assert read_athlete(write_athlete(person)) == person


def test_there_are_four_and_no_others():
    assert athlete_keys() == (
        "juno-breakwater",
        "kasimir-mooring",
        "pim-gullivane",
        "tove-harbourne",
    )
    with pytest.raises(BadInput, match="not in the club"):
        athlete_file("nobody")


def test_who_needs_somebody_elses_word_is_told_not_yet():
    person = club_athlete("tove-harbourne")
    answers = dict(person.clearance.answers) | {"operation_or_fracture": "yes"}
    waiting = replace(person, clearance=replace(person.clearance, answers=answers))
    found = examine(waiting, read_trials=lambda recording: (), catalogue=load_catalogue())
    assert found.verdict.startswith("Not yet. Clearance from elsewhere first.")
    assert (found.clearance.decision, found.jumps, found.tasks) == ("refer", (), ())
