"""`countermove jump`: what programs read and what people read, good files and bad."""

import json
from importlib import resources

import pytest
from pytest import approx
from typer.testing import CliRunner

from countermove.cli import app

RECORDINGS = resources.files("countermove.club") / "recordings"
TRUTH = json.loads((RECORDINGS / "truth.json").read_text())["recordings"]
# Fields that the command has promised to programs.
PROMISED = {
    "schema",
    "file",
    "sha256",
    "kind",
    "height_impulse_m",
    "height_flight_m",
    "takeoff_velocity_m_s",
    "flight_s",
    "mass_kg",
    "depth_m",
    "onset_s",
    "time_to_takeoff_s",
    "rsi_modified_m_s",
    "peak_power_w",
    "mean_propulsive_power_w",
    "quality",
}
HEIGHT_TOLERANCE_M = 0.005  # what the issue of recordings with known truth asks of 95 in 100


def run(*arguments):
    return CliRunner().invoke(app, ["jump", *map(str, arguments)])


def reports(*arguments):
    result = run(*arguments, "--json")
    return json.loads(result.stdout), result.exit_code


def test_a_single_trial_is_flat():
    (report,), code = reports(RECORDINGS / "kasimir-mooring-cmj.csv")
    (truth,) = TRUTH["kasimir-mooring-cmj"]
    assert code == 0
    assert set(report) >= PROMISED
    assert report["schema"] == 1
    assert report["trials"] is None
    assert report["height_impulse_m"] == approx(truth["height_m"], abs=HEIGHT_TOLERANCE_M)
    assert report["mass_kg"] == approx(truth["mass_kg"], rel=0.002)


def test_several_trials_are_listed_under_flat_nulls():
    (report,), code = reports(RECORDINGS / "juno-breakwater-cmj.csv")
    assert code == 0
    assert report["kind"] == "cmj"
    assert report["height_impulse_m"] is None
    assert [trial["number"] for trial in report["trials"]] == [1, 2, 3]


def test_files_come_in_the_order_given_and_a_bad_one_stops_nobody(tmp_path):
    bad = tmp_path / "letter.csv"
    bad.write_text("Dear sir or madam\n")
    good = RECORDINGS / "kasimir-mooring-cmj.csv"
    (first, second, third), code = reports(bad, good, tmp_path / "gone.csv")
    assert code == 1
    assert first["error"]["code"] == "unreadable"
    assert second["takeoff_velocity_m_s"] > 0
    assert third["error"]["code"] == "unreadable"
    assert "check its name" in third["error"]["text"]


def test_ambiguous_input_leaves_with_2_and_names_the_flag(tmp_path):
    text = (RECORDINGS / "tove-harbourne-cmj.csv").read_text()
    without_rate = tmp_path / "no-rate.csv"
    without_rate.write_text("\n".join(text.splitlines()[2:]))
    (report,), code = reports(without_rate)
    assert code == 2
    assert report["error"]["flag"] == "--rate"
    assert "--rate" in report["error"]["text"]
    (settled,), code = reports(without_rate, "--rate", 1200)
    assert code == 0
    assert len(settled["trials"]) == 3


def test_the_page_names_phases_and_keeps_methods_apart():
    result = run(RECORDINGS / "kasimir-mooring-cmj.csv")
    assert result.exit_code == 0
    for words in ("by methods that are never mixed", "unweighting", "braking", "RSI-modified"):
        assert words in result.stdout


def test_messages_go_to_stderr(tmp_path):
    result = run(tmp_path / "gone.csv")
    assert result.exit_code == 1
    assert result.stdout == ""
    assert "gone.csv: the file cannot be opened" in result.stderr
    assert result.stderr.count("gone.csv") == 1  # named once, by the command


# Flag, what cannot be true, and a word that says how to go on.
WRONG_USE = [
    ("--rate", "0", "samples a second"),
    ("--rate", "nan", "samples a second"),
    ("--unit", "m", "N kN kgf lbf"),
    ("--unit", "n", "N kN kgf lbf"),
    ("--time-unit", "h", "s ms"),
    ("--decimal", ";", ". ,"),
    ("--separator", "|", "tab comma , semicolon ; space"),
    ("--mass", "-5", "kilograms"),
    ("--mass", "nan", "kilograms"),
    ("--weigh", "0,inf", "plain numbers"),
    ("--weigh", "100,200", "better 1 s"),
    ("--kind", "hop", "cmj"),
]


@pytest.mark.parametrize(("flag", "value", "how"), WRONG_USE)
def test_a_flag_that_cannot_be_true_is_wrong_use(flag, value, how):
    result = run(RECORDINGS / "kasimir-mooring-cmj.csv", flag, value)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert how in result.stderr
    assert not result.exception or isinstance(result.exception, SystemExit)


@pytest.mark.parametrize("window", ["a,b", "2,1", "1"])
def test_a_wrong_window_is_wrong_use(window):
    result = run(RECORDINGS / "kasimir-mooring-cmj.csv", "--weigh", window)
    assert result.exit_code == 2
    assert "FROM" in result.stderr


def test_a_window_set_by_hand_is_weighed():
    (report,), _ = reports(RECORDINGS / "kasimir-mooring-cmj.csv", "--weigh", "4.0,5.5")
    assert report["weighing_start_s"] == approx(4.0, abs=0.002)
    assert report["weighing_end_s"] == approx(5.5, abs=0.002)


def test_a_known_mass_that_disagrees_is_said():
    (report,), _ = reports(RECORDINGS / "kasimir-mooring-cmj.csv", "--mass", 80)
    assert report["mass_kg"] == 80
    assert "doubt" in {note["severity"] for note in report["quality"]}


def test_what_reading_turned_over_is_said(tmp_path):
    lines = (RECORDINGS / "kasimir-mooring-cmj.csv").read_text().splitlines()
    rows = [line.split(",") for line in lines[2:]]
    turned = "\n".join(f"{t},{-float(left)},{-float(right)}" for t, left, right in rows)
    downward = tmp_path / "downward.csv"
    downward.write_text(f"{lines[1]}\n{turned}\n")
    (report,), code = reports(downward)
    assert code == 0
    assert "sign-turned" in {note["code"] for note in report["quality"]}
