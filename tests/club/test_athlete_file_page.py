"""docs/athlete-file.md: its example is read and examined, and it leaves no field out."""

from dataclasses import fields
from pathlib import Path

import pytest

from countermove.catalogue import load_catalogue
from countermove.codec import read_athlete
from countermove.examination import examine
from countermove.record import (
    Athlete,
    Clearance,
    Consent,
    Measurement,
    Override,
    Pain,
    Recording,
    Treatment,
    Visit,
)

PAGE = (Path(__file__).parents[2] / "docs" / "athlete-file.md").read_text("utf-8")
EXAMPLE, WORDS = PAGE.split("```toml\n")[1].split("```")
KINDS = (Athlete, Clearance, Consent, Measurement, Override, Pain, Recording, Treatment, Visit)


@pytest.mark.parametrize("kind", KINDS)
def test_every_field_is_on_the_page(kind):
    missing = [f.name for f in fields(kind) if f"`{f.name}`" not in WORDS]
    assert missing == []


def test_every_field_is_in_the_example():
    named = {f.name for kind in KINDS for f in fields(kind)}
    assert [name for name in sorted(named) if name not in EXAMPLE] == []


def test_the_example_is_read_and_examined():
    person = read_athlete(EXAMPLE)
    found = examine(person, read_trials=lambda recording: (), catalogue=load_catalogue())
    assert found.name == "Elio Driftwood"
    assert found.verdict.startswith("Ask first. Not answered: ")
    assert found.findings[0].verdict == "short"
    assert found.findings[0].changes[0].changed
    assert any("quinolone" in reason.caution for reason in found.clearance.reasons)
