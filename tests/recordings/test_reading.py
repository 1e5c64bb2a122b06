import hashlib
import subprocess
import sys

import numpy as np
import pytest

from countermove.errors import (
    AmbiguousRecording,
    BadInput,
    RecordingError,
    RecordingTooLarge,
    UnreadableRecording,
)
from countermove.recordings import ForceOptions, parse_force, read_force
from countermove.recordings.values import read_columns
from tests.builders.good_recording import GOOD_TEXT, GRAVITY, KILOGRAM_N, POUND_N

N_EACH = {"N": 1.0, "kN": 1000.0, "kgf": KILOGRAM_N, "lbf": POUND_N}


def test_bytes_and_file_read_alike(tmp_path):
    path = tmp_path / "jump.csv"
    path.write_text(GOOD_TEXT, encoding="utf-8", newline="")
    read, parsed = read_force(path), parse_force(GOOD_TEXT.encode())
    assert read.name == "jump.csv"
    assert read.sha256 == parsed.sha256 == hashlib.sha256(GOOD_TEXT.encode()).hexdigest()
    assert (read.force_n == parsed.force_n).all()


def test_a_large_file_is_refused_before_it_is_opened(tmp_path, monkeypatch):
    path = tmp_path / "large.csv"
    path.write_text(GOOD_TEXT, encoding="utf-8")
    monkeypatch.setattr("pathlib.Path.read_bytes", lambda _: pytest.fail("it was opened"))
    with pytest.raises(RecordingTooLarge, match=r"the limit is 0\.0"):
        read_force(path, ForceOptions(max_bytes=50_000))


def test_more_lines_than_a_recording_has_are_refused():
    with pytest.raises(RecordingTooLarge, match="lines"):
        parse_force(b"1\n" * 10_000_001)


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("nothing.csv", "cannot be opened .*check its name"),
        ("nul\0in-its-name.csv", "cannot be opened .*check its name"),
        (".", "not a file but a folder"),
    ],
)
def test_what_is_no_file_is_refused_in_words(name, said, tmp_path):
    with pytest.raises(UnreadableRecording, match=said):
        read_force(tmp_path / name)


def standing_at(level: float, unit: str = "") -> bytes:
    force = level * np.ones(3000)
    force[1000:1300] = 0.0
    force += 0.001 * level * np.sin(np.arange(3000))
    head = f"time (s),Fz {unit and f'({unit})'}"
    rows = [f"{i / 1000:.3f},{f:.7g}" for i, f in enumerate(force)]
    return "\n".join([head, *rows, ""]).encode()


@pytest.mark.parametrize(
    ("level", "unit"),
    [(700, "N"), (1500, "N"), (0.45, "kN"), (1.6, "kN"), (30, "kgf"), (240, "lbf")],
)
def test_the_size_decides_where_one_unit_alone_makes_a_human(level, unit):
    trace = parse_force(standing_at(level))
    newtons = level * N_EACH[unit]
    assert 25 <= newtons / GRAVITY <= 200  # kg, the range of standing athletes (our default)
    assert np.median(trace.total_n) == pytest.approx(newtons, rel=0.002)  # the sine's reach, twice
    assert [note.code for note in trace.notes] == ["unit-found"]
    assert f"stands at {level:g}, which" in trace.notes[0].text  # 1500, not 1.5e+03


@pytest.mark.parametrize("level", [1.0, 0.9, 75, 160, 300, 4000, 0.01, 10])
def test_a_size_that_leaves_a_doubt_is_asked_for(level):
    with pytest.raises(AmbiguousRecording) as caught:
        parse_force(standing_at(level))
    assert caught.value.flag == "--unit"
    told = parse_force(standing_at(level), options=ForceOptions(unit="kN"))
    assert np.median(told.total_n) == pytest.approx(1000 * level, rel=0.002)


@pytest.mark.parametrize(("unit", "text"), [("BW", "body weight"), ("mV", "calibrated")])
def test_what_is_no_force_yet_is_refused(unit, text):
    with pytest.raises(UnreadableRecording, match=text):
        parse_force(standing_at(1.0, unit))


def test_one_plate_may_count_downward():
    lines = GOOD_TEXT.splitlines()
    turned = [lines[0]]
    for line in lines[1:]:
        t, left, right = line.split(",")
        turned.append(f"{t},{left},{-float(right):.3f}")
    trace = parse_force(("\n".join(turned) + "\n").encode())
    assert (trace.force_n == parse_force(GOOD_TEXT.encode()).force_n).all()
    assert [note.code for note in trace.notes] == ["sign-turned"]


def test_an_empty_second_plate_is_asked_about():
    rows = GOOD_TEXT.replace("left_n,right_n", "left_n,right_n,").splitlines()
    blank = [rows[0].rstrip(","), *(row.rpartition(",")[0] + "," for row in rows[1:])]
    with pytest.raises(AmbiguousRecording, match="--columns"):
        parse_force("\n".join(blank).encode())


@pytest.mark.parametrize("end", ["\n\n\nSamples: 5086\nEnd of file\n", "\r\n\r\n", "\n,,\n,,\n"])
def test_what_follows_the_table_is_left_out(end):
    trace = parse_force((GOOD_TEXT.rstrip("\n") + end).encode())
    good = parse_force(GOOD_TEXT.encode())
    assert trace.force_n.shape == good.force_n.shape
    assert (trace.force_n == good.force_n).all()
    assert not trace.missing.any()
    assert [note.code for note in trace.notes] == (["line-dropped"] if "End" in end else [])


def test_rows_cut_short_are_kept_in_their_place():
    lines = GOOD_TEXT.replace("time_s,", "", 1).splitlines()
    rows = ["rate 1000 Hz", lines[0], *(line.partition(",")[2] for line in lines[1:])]
    rows[702] = "350.1"
    rows[902] = "350.1,330.2,1,2"
    trace = parse_force(("\n".join(rows) + "\n").encode())
    assert np.flatnonzero(trace.missing).tolist() == [700, 900]
    assert [note.code for note in trace.notes] == ["line-dropped", "dropped-samples"]


def test_several_tables_in_one_file_are_refused():
    second = "\n".join(f"{i},{i},{i},{i},{i}" for i in range(1500))
    with pytest.raises(UnreadableRecording, match="several tables"):
        parse_force((GOOD_TEXT + second + "\n").encode())


def test_marks_between_thousands_are_refused():
    rows = "\n".join(f"{i};1.024,{i % 10}" for i in range(900))
    with pytest.raises(UnreadableRecording, match="thousands"):
        parse_force(("time;Fz\n" + rows + "\n").encode(), options=ForceOptions(separator="tab"))


@pytest.mark.parametrize(
    "wrong",
    [
        {"rate_hz": 0.0},
        {"rate_hz": float("nan")},
        {"unit": "kg"},
        {"unit": "stone"},
        {"time_unit": "h"},
        {"decimal": ";"},
        {"separator": "|"},
    ],
)
def test_an_answer_that_cannot_be_true_is_refused(wrong):
    with pytest.raises(BadInput):
        ForceOptions(**wrong)


def test_importing_the_room_loads_no_reader():
    readers = "{'pyarrow', 'scipy', 'pandas'}"
    probe = f"import sys, countermove.recordings; print(*{readers} & set(sys.modules))"
    run = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == ""
    assert read_columns.__module__ == "countermove.recordings.values"


@pytest.mark.parametrize(
    "content",
    [
        b"9" * 5000 + b",1\n" + b"9" * 5000 + b",1\n",
        b"time [s],force " + b"x" * 5000 + b",force b,force c\n0.000,1,2,3\n0.001,4,9,1\n",
    ],
)
def test_a_message_shows_no_more_than_the_start_of_what_was_met(content):
    with pytest.raises(RecordingError) as met:
        parse_force(content)
    assert len(str(met.value)) < 500
