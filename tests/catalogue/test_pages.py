"""The page of numbers is whole; the examples of the guides load as they stand."""

import re
from pathlib import Path

import pytest

from countermove.catalogue import load_catalogue
from countermove.catalogue.check import parts_of
from countermove.catalogue.cited import Cited
from countermove.catalogue.page import catalogue_page, numbers_of

DOCS = Path(__file__).parent.parent.parent / "docs"
CATALOGUE = load_catalogue()


@pytest.mark.parametrize("file", [name for name in CATALOGUE.files() if name != "sources"])
def test_every_number_is_on_the_page(file):
    page = catalogue_page(CATALOGUE)
    section = page.split(f"## {file}.toml\n")[1].split("\n## ")[0]
    numbers = list(numbers_of(CATALOGUE, file))
    rows = [line for line in section.splitlines() if line.startswith("| ")]
    assert len(rows) == len(numbers) + 2  # heading and rule
    for key, field, number in numbers:
        assert f"| {key} | {field} | {number.value:g}" in section


def test_every_source_of_a_number_is_listed():
    page = catalogue_page(CATALOGUE)
    listed = page.split("## Sources\n")[1]
    for entries in CATALOGUE.files().values():
        for _, part in parts_of(entries, ""):
            if isinstance(part, Cited):
                assert f"| {part.source} |" in listed


def test_a_practices_own_numbers_come_onto_its_page():
    own = (
        '[our_lunge]\nsource = "our-default"\nwhere = "our choice"\nstatus = "our-default"\n'
        'test = "lunge_distance"\nvalue = { value = 9, unit = "cm" }\nsense = "at least"\n'
        'why = "Our default."\n'
    )
    page = catalogue_page(CATALOGUE.with_practice({"targets": own}))
    assert "| our_lunge | value | 9 cm | our-default | our-default | our choice |" in page


def examples(guide):
    text = (DOCS / guide).read_text(encoding="utf-8")
    found = re.findall(r"In `(\w+)\.toml`:\n\n```toml\n(.*?)```", text, re.DOTALL)
    assert found
    return dict(found)


MOST_LINES = 40


@pytest.mark.parametrize("guide", ["add-a-drill.md", "add-a-test.md"])
def test_the_example_of_a_guide_loads_and_is_short(guide):
    documents = examples(guide)
    theirs = CATALOGUE.with_practice(documents)
    assert theirs.version != CATALOGUE.version
    assert sum(len(text.splitlines()) for text in documents.values()) < MOST_LINES
    for file, text in documents.items():
        added = set(theirs.files()[file]) - set(CATALOGUE.files()[file])
        assert added == set(re.findall(r"^\[(\w+)\]", text, re.MULTILINE))
