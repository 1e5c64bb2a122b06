"""The club's recordings are what the script makes, and what they hold is read back."""

import json
from importlib import resources

import pytest
from pytest import approx

from countermove.club.tape import TAKES, main, record
from countermove.jumps import analyse_jumps
from countermove.recordings import parse_force

FOLDER = resources.files("countermove.club") / "recordings"
TRUTH = json.loads((FOLDER / "truth.json").read_text())["recordings"]
HEIGHT_TOLERANCE_M = 0.005  # asked of 95 in 100 recordings of known truth
MASS_TOLERANCE = 0.002  # of mass: the sway of quiet standing over three seconds


def test_the_files_that_ship_are_those_the_script_makes(tmp_path):
    main(tmp_path)
    for take in TAKES:
        made = (tmp_path / f"{take.name}.csv").read_bytes()
        assert made == (FOLDER / f"{take.name}.csv").read_bytes(), take.name
    assert (tmp_path / "truth.json").read_text() == (FOLDER / "truth.json").read_text()


@pytest.mark.parametrize("take", TAKES, ids=lambda take: take.name)
def test_every_layout_is_read_and_gives_the_true_heights(take):
    trace = parse_force((FOLDER / f"{take.name}.csv").read_bytes())
    trials = analyse_jumps(trace, kind=take.kind)
    assert len(trials) == len(take.heights_m)
    for trial, truth in zip(trials, TRUTH[take.name], strict=True):
        assert trial.height_impulse_m == approx(truth["height_m"], abs=HEIGHT_TOLERANCE_M)
        assert trial.mass_kg == approx(truth["mass_kg"], rel=MASS_TOLERANCE)


def test_every_file_says_that_it_is_invented():
    assert all("invented" in record(take)[0].splitlines()[0] for take in TAKES)
