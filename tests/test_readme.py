"""README and docs keep what they promise: files, commands, flags, names and the example."""

import importlib
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

import countermove
from countermove.cli import app
from countermove.club import athlete_keys
from countermove.evidence import load_checks
from tests.builders.pages import ROOT

README = (ROOT / "README.md").read_text(encoding="utf-8")
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").rglob("*.md"))]
RECORDINGS = ROOT / "src" / "countermove" / "club" / "recordings"


def test_every_command_of_the_readme_knows_its_flags():
    lines = re.findall(r"^countermove (\w+)(.*?)(?:#|$)", README, re.MULTILINE)
    for_programs = {"examine", "jump", "evidence"}
    assert {name for name, _ in lines} == for_programs | {"open", "demo", "work"}
    for name, rest in lines:
        page = CliRunner().invoke(app, [name, "--help"]).stdout
        promised = ["--json"] if name in for_programs else []
        for flag in [*promised, *re.findall(r"--[a-z-]+", rest)]:
            assert flag in page, f"{name} {flag}"


def test_the_number_that_is_traced_is_there():
    traced = README.partition("## One number, traced")[2].partition("## ")[0]
    room, name = re.search(r"`countermove\.(\w+)\.(\w+)\(", traced).groups()
    function = getattr(importlib.import_module(f"countermove.{room}"), name)
    assert "onset_s" in function.__doc__
    assert "Ebben" in function.__doc__
    for key, printed in (("rsi_modified_35_75", "0.4667"), ("rectangle_rsi_modified_m_s", "0.543")):
        assert f"`{key}`" in traced
        assert printed in traced
        assert load_checks()[key].printed == pytest.approx(float(printed), abs=0.0006)


def test_the_example_in_python_runs(monkeypatch, capsys):
    example = re.search(r"```python\n(.*?)```", README, re.DOTALL)[1]
    monkeypatch.chdir(RECORDINGS)
    exec(example.replace("recording.csv", "kasimir-mooring-cmj.csv"), {})
    height_m = float(capsys.readouterr().out.split()[0])
    assert 0.1 < height_m < 0.6


def test_the_readme_counts_the_club():
    words = {14: "fourteen", 15: "fifteen"}
    assert f"{words[len(athlete_keys())]} invented athletes" in " ".join(README.split())


def exists(name: str, page: Path) -> bool:
    """Tell whether a path is there, counted from the page, the root, the package or the docs."""
    froms = (page.parent, ROOT, ROOT / "src" / "countermove", ROOT / "docs")
    return any((place / name).exists() for place in froms)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_file_that_a_page_names_exists(page):
    text = page.read_text(encoding="utf-8")
    named = re.findall(r"`([\w.-]+/[\w./-]*)(?:::\w+)?`", text)
    linked = re.findall(r"\]\(([^)#:]+)(?:#[^)]*)?\)", text)
    assert [name for name in named + linked if not exists(name, page)] == []


def test_the_package_and_its_metadata_tell_one_version():
    assert f'version = "{countermove.__version__}"' in (ROOT / "pyproject.toml").read_text()
