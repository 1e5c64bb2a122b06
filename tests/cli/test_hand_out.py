"""`countermove examine --pdf`: the hand-out on disk, whole or not at all."""

import json
import os
from importlib import resources

import pikepdf
import pytest
from typer.testing import CliRunner

from countermove.cli import app
from countermove.club import athlete_keys
from tests.documents.printed import squeezed, text_of

ATHLETES = resources.files("countermove.club") / "athletes"
JUNO = ATHLETES / "juno-breakwater.toml"


def run(*arguments):
    return CliRunner().invoke(app, ["examine", *map(str, arguments)])


@pytest.mark.parametrize("key", athlete_keys())
def test_the_hand_out_is_written_beside_the_page(key, tmp_path):
    pdf = tmp_path / "sheet.pdf"
    result = run(ATHLETES / f"{key}.toml", "--pdf", pdf)
    assert result.exit_code == 0
    assert "From the floor up" in result.stdout
    assert f"{pdf}: hand-out for" in result.stderr
    assert "a4 paper" in result.stderr
    with pikepdf.open(pdf) as printed:
        assert "Nobodywatchesthissheetlive" in text_of(printed)


def test_json_stays_clean_and_paper_and_number_are_taken(tmp_path):
    pdf = tmp_path / "sheet.pdf"
    letter = ("--paper", "us-letter", "--emergency", "911")
    result = run(JUNO, "--json", "--pdf", pdf, *letter)
    assert json.loads(result.stdout)["document"] == "examination"
    with pikepdf.open(pdf) as printed:
        assert [float(x) for x in printed.pages[0].MediaBox[2:]] == [8.5 * 72, 11 * 72]
        assert squeezed("call 911 now") in text_of(printed)


def test_without_the_flag_nothing_is_written_or_said(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert run(JUNO).stderr == ""
    assert not list(tmp_path.iterdir())


def test_an_old_hand_out_is_replaced_and_only_its_owner_may_read_it(tmp_path):
    pdf = tmp_path / "sheet.pdf"
    pdf.write_bytes(b"old")
    assert run(JUNO, "--pdf", pdf).exit_code == 0
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert list(tmp_path.iterdir()) == [pdf]
    if os.name == "posix":
        assert pdf.stat().st_mode & 0o077 == 0


def test_a_write_that_fails_leaves_the_old_file_and_no_half(tmp_path, monkeypatch):
    pdf = tmp_path / "sheet.pdf"
    pdf.write_bytes(b"old")

    def full_disk(handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full_disk)
    result = run(JUNO, "--pdf", pdf)
    assert result.exit_code == 1
    assert "could not be written: No space left on device" in result.stderr
    assert pdf.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [pdf]


def test_a_missing_folder_is_said_and_the_page_still_printed(tmp_path):
    result = run(JUNO, "--pdf", tmp_path / "nowhere" / "sheet.pdf")
    assert result.exit_code == 1
    assert "could not be written" in result.stderr
    assert "From the floor up" in result.stdout


@pytest.mark.parametrize(
    "wrong",
    [
        ("--pdf", JUNO),  # the athlete's own file is not to be written over
        ("--pdf", "sheet"),
        ("--pdf", "sheet.pdf", "--paper", "a5"),
    ],
)
def test_wrong_use_ends_with_2_and_writes_nothing(wrong, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    before = JUNO.read_bytes()
    assert run(JUNO, *wrong).exit_code == 2
    assert JUNO.read_bytes() == before
    assert not list(tmp_path.iterdir())


def test_an_empty_emergency_number_is_refused(tmp_path):
    result = run(JUNO, "--pdf", tmp_path / "sheet.pdf", "--emergency", " ")
    assert result.exit_code == 1
    assert "pass the local one" in result.stderr
    assert not list(tmp_path.iterdir())


def test_a_file_that_cannot_be_examined_leaves_no_hand_out(tmp_path):
    result = run(tmp_path / "nobody.toml", "--pdf", tmp_path / "sheet.pdf")
    assert result.exit_code == 1
    assert not list(tmp_path.iterdir())
