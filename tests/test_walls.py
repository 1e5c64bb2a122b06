"""The walls: generated pages are fresh, public names are listed, start-up stays light."""

import ast
import importlib
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

import countermove
from proof import run
from tests.builders.pages import PAGES, ROOT
from tests.builders.room_map import layers

SOURCE = ROOT / "src" / "countermove"
ROOMS = [room for layer in layers() for room in layer]
# Opened by the rooms that need them; importing them at the top would be felt at every start.
HEAVY = ("scipy.signal", "pandas", "pyarrow", "numpy", "dask", "altair", "casadi", "ortools")


@pytest.mark.parametrize("path", PAGES)
def test_a_generated_page_is_fresh(path):
    assert (ROOT / path).read_text(encoding="utf-8") == PAGES[path](), "run `make docs`"


def test_every_room_stands_on_the_map():
    found = {entry.stem for entry in SOURCE.iterdir() if not entry.name.startswith(("_", "py."))}
    assert found == set(ROOMS)


# Commands and pages are used by people, not imported by programs: they list no names.
LIBRARY = [room for room in ROOMS if (SOURCE / room).is_dir() and room not in ("cli", "clinic")]


@pytest.mark.parametrize("room", LIBRARY)
def test_a_room_lists_its_public_names(room):
    module = importlib.import_module(f"countermove.{room}")
    assert len(set(module.__all__)) == len(module.__all__)  # their order is ruff's (RUF022)
    assert all(getattr(module, name).__doc__ for name in module.__all__)


def test_every_name_at_the_top_opens_its_room():
    for name in countermove.__all__:
        assert getattr(countermove, name).__doc__


def test_help_opens_no_heavy_room():
    script = "import sys, json, countermove, countermove.cli;print(json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, text=True
    )
    loaded = set(json.loads(done.stdout))
    assert loaded.isdisjoint(HEAVY)


def test_a_recording_is_analysed_without_scipy():
    script = "import sys, countermove.cli.files, countermove.cli.jump_page; print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", script], check=True, capture_output=True, text=True
    )
    loaded = done.stdout.split()  # scipy.special alone doubles the start of `countermove jump`
    assert "countermove.jumps" in loaded
    assert "scipy" not in loaded


SCIENCE = ("body", "jumps", "safety", "examination")
# Names that would open a file, read a clock or draw a number nobody can draw again.
WORLDLY = {"open", "read_text", "read_bytes", "write_text", "today", "now", "perf_counter", "input"}


@pytest.mark.parametrize("room", SCIENCE)
def test_science_opens_no_file_and_knows_no_clock(room):
    for file in sorted((SOURCE / room).rglob("*.py")):
        tree = ast.parse(file.read_text(encoding="utf-8"))
        called = {
            getattr(node.func, "attr", getattr(node.func, "id", ""))
            for node in ast.walk(tree)
            if isinstance(node, ast.Call)
        }
        assert called.isdisjoint(WORLDLY), file.name


def functions() -> list[tuple[str, int]]:
    """List every function of the package with its length in lines, docstring left out."""
    lengths = []
    for file in sorted(SOURCE.rglob("*.py")):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef):
                body = node.body[1:] if ast.get_docstring(node) else node.body
                length = (node.end_lineno or 0) - body[0].lineno + 1 if body else 0
                lengths.append((f"{file.relative_to(SOURCE)}:{node.name}", length))
    return lengths


def test_functions_are_short():
    lengths = sorted(length for _, length in functions())
    assert lengths[len(lengths) // 2] <= 8
    assert lengths[int(len(lengths) * 0.9)] <= 25


def test_no_file_outgrows_its_idea():
    long = [file.name for file in SOURCE.rglob("*.py") if len(file.read_text().splitlines()) > 400]
    assert long == []


def test_no_room_is_called_after_nothing():
    names = {file.stem for file in Path(SOURCE).rglob("*.py")}
    assert names.isdisjoint({"utils", "helpers", "common", "misc"})


def test_no_proof_is_older_than_what_it_proves():
    assert run.stale() == [], "run `make proof`"


def test_every_hazard_names_a_test_that_exists():
    page = (ROOT / "docs" / "safety.md").read_text(encoding="utf-8")
    rows = [line for line in page.partition("## Hazards")[2].splitlines() if line.startswith("| ")]
    for row in rows[1:]:
        named = re.findall(r"`(tests/[^`]+)`", row)
        assert named, row
        for place in named:
            file, _, name = place.partition("::")
            assert f"def {name}" in (ROOT / file).read_text(encoding="utf-8"), place
