"""The club's recordings are what the script makes, and what they hold is read back."""

import json

import pytest
from pytest import approx

from countermove.club import athlete_keys, club_athlete
from countermove.club.tape import RECORDINGS, main, record, recording_bytes, stored, takes
from countermove.errors import BadInput
from countermove.jumps import analyse_jumps
from countermove.recordings import parse_force

TRUTH = json.loads((RECORDINGS / "truth.json").read_text())["recordings"]
HEIGHT_TOLERANCE_M = 0.005  # asked of 95 in 100 recordings of known truth
MASS_TOLERANCE = 0.002  # of mass: the sway of quiet standing over three seconds
SAMPLE = (*stored(), *[name for name in takes() if name not in stored()][::6])


def test_the_files_that_ship_are_those_the_script_makes(tmp_path):
    main(tmp_path, stored())
    for name in stored():
        made = (tmp_path / f"{name}.csv").read_bytes()
        assert made == (RECORDINGS / f"{name}.csv").read_bytes(), name
    assert (tmp_path / "truth.json").read_text() == (RECORDINGS / "truth.json").read_text()


@pytest.mark.parametrize("name", SAMPLE)
def test_every_layout_is_read_and_gives_the_true_heights(name):
    take, (_text, simulated) = takes()[name], record(name)
    trials = analyse_jumps(parse_force(recording_bytes(name)), kind=take.kind)
    assert len(trials) == len(take.heights_m)
    for trial, truth in zip(trials, simulated.truths, strict=True):
        assert trial.height_impulse_m == approx(truth.height_m, abs=HEIGHT_TOLERANCE_M)
        assert trial.mass_kg == approx(truth.mass_kg, rel=MASS_TOLERANCE)


def test_the_truth_of_every_stored_recording_lies_beside_it():
    assert set(TRUTH) == set(stored())


def test_every_file_says_that_it_is_invented():
    assert all("invented" in record(name)[0].splitlines()[0] for name in stored())


def test_every_recording_that_an_athlete_names_can_be_had_and_no_other_is_made():
    named = {
        recording.path.rpartition("/")[2].removesuffix(".csv"): recording.kind
        for key in athlete_keys()
        for visit in club_athlete(key).visits
        for recording in visit.recordings
    }
    assert named == {name: take.kind for name, take in takes().items()}
    with pytest.raises(BadInput, match="no recording of the club"):
        recording_bytes("../recordings/nobody.csv")
