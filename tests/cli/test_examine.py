"""`countermove examine` and `demo`: the main job from one file, and the pages people read."""

import json
from importlib import resources

import pytest
from typer.testing import CliRunner

from countermove.cli import app
from countermove.club import athlete_keys
from countermove.codec import EXAMINATION

CLUB = resources.files("countermove.club")


def run(*arguments):
    return CliRunner().invoke(app, list(map(str, arguments)))


@pytest.mark.parametrize("key", athlete_keys())
def test_json_is_a_whole_document_and_reads_back(key):
    result = run("examine", CLUB / "athletes" / f"{key}.toml", "--json")
    assert result.exit_code == 0
    table = json.loads(result.stdout)
    assert (table["document"], table["schema"]) == ("examination", 1)
    assert EXAMINATION.from_table(table).athlete == key


@pytest.mark.parametrize("key", athlete_keys())
def test_the_page_goes_from_clearance_to_cautions(key):
    page = run("examine", CLUB / "athletes" / f"{key}.toml").stdout
    headings = ["Clearance: ", "From the floor up", "Cautions"]
    places = [page.index(heading) for heading in headings]
    assert places == sorted(places)
    links = ["Ankle:", "Knee:", "Hip:", "Thoracic spine:", "Shoulder:"]
    chain = [page.index(f"\n  {link}") for link in links]
    assert chain == sorted(chain)
    assert max(map(len, page.splitlines())) <= 90


def test_who_is_referred_gets_no_jump_and_no_work():
    page = run("examine", CLUB / "athletes" / "kasimir-mooring.toml").stdout
    assert "Clearance: refer" in page
    assert "by impulse" not in page
    assert "Work list" not in page


def test_the_demo_shows_everybody_and_says_they_are_invented():
    result = run("demo", "--text")
    assert result.exit_code == 0
    assert "invented" in result.stdout.splitlines()[0]
    for name in ("Juno Breakwater", "Kasimir Mooring", "Pim Gullivane", "Tove Harbourne"):
        assert name in result.stdout


def test_a_visit_of_another_day():
    file = CLUB / "athletes" / "juno-breakwater.toml"
    assert "Visit of 14 October 2026" in run("examine", file, "--on", "2026-10-14").stdout
    wrong = run("examine", file, "--on", "2026-10-15")
    assert wrong.exit_code == 2
    assert "2026-10-14" in wrong.stderr


def test_a_file_that_does_not_fit_says_where(tmp_path):
    text = (CLUB / "athletes" / "juno-breakwater.toml").read_text(encoding="utf-8")
    broken = tmp_path / "juno.toml"
    broken.write_text(text.replace('side = "left"', 'side = "lft"', 1), encoding="utf-8")
    result = run("examine", broken)
    assert result.exit_code == 1
    assert result.stdout == ""
    assert "$.visits[0].measurements[0].side" in result.stderr
    assert "use one of left, right, both" in result.stderr


NO_ATHLETE = [
    (b"\xff\xfe\x00", "save it again as UTF-8"),
    (b"\x89PNG\r\n", "save it again as UTF-8"),
    (b"", "$.document: nothing was met"),
    (b'document = "athlete"', "$.schema: nothing was met"),
    (b"# " + b"x" * 2**23, "more than 8 MB"),
    (b"a = " + b"[" * 100_000, "nest too deep"),
    (b'{"a": ' + b"[" * 100_000, "nest too deep"),
    (b"a = " + b"1" * 5000, "thousands of digits"),
]


@pytest.mark.parametrize(("content", "said"), NO_ATHLETE)
def test_a_file_that_is_no_athlete_says_why(tmp_path, content, said):
    broken = tmp_path / "athlete.toml"
    broken.write_bytes(content)
    result = run("examine", broken)
    assert result.exit_code == 1
    assert result.stderr.startswith(f"{broken}: ")
    assert said in result.stderr


def test_evidence_lists_the_worst_first():
    result = run("evidence")
    assert result.exit_code == 0
    assert "Worst first" in result.stdout
    checks = json.loads(run("evidence", "--json").stdout)
    offs = [check["off"] for check in checks]
    assert offs == sorted(offs, reverse=True)


def test_evidence_stands_in_columns():
    heading, *lines = run("evidence").stdout.split("Worst first.\n\n")[1].splitlines()
    checks = [line for line in lines if line and "misses: " not in line]
    place = heading.index("check")
    assert {line[place - 1] for line in checks} == {" "}
    assert " " not in {line[place] for line in checks}
    assert len(checks) == len(json.loads(run("evidence", "--json").stdout))


def test_help_names_every_command():
    page = run("--help").stdout
    for command in ("demo", "examine", "jump", "evidence"):
        assert command in page


def test_a_failure_is_an_error_object_for_programs(tmp_path):
    result = run("examine", tmp_path / "gone.toml", "--json")
    assert result.exit_code == 1
    assert set(json.loads(result.stdout)["error"]) >= {"code", "text"}


def test_what_a_recording_does_not_say_stands_in_the_athlete_file(tmp_path):
    rows = (CLUB / "recordings" / "tove-harbourne-cmj.csv").read_text().splitlines()[2:]
    (tmp_path / "bare.txt").write_text("\n".join(rows))
    text = (CLUB / "athletes" / "tove-harbourne.toml").read_text(encoding="utf-8")
    asked = text.replace("../recordings/tove-harbourne-cmj.csv", "bare.txt")
    told = asked.replace('path = "bare.txt"', 'path = "bare.txt"\nrate_hz = 1200')
    file = tmp_path / "tove.toml"
    file.write_text(asked, encoding="utf-8")
    assert "write rate_hz beside the recording's path" in " ".join(
        run("examine", file).stdout.split()
    )
    file.write_text(told, encoding="utf-8")
    jumps = json.loads(run("examine", file, "--json").stdout)["jumps"]
    assert [jump["kind"] for jump in jumps if jump["height_m"]] == ["cmj"]
