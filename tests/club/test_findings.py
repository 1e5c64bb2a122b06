"""The ready findings are those that today's catalogue and rules give."""

from dataclasses import replace

import pytest

from countermove import __version__
from countermove.catalogue import load_catalogue
from countermove.club import athlete_keys, club_athlete
from countermove.club.findings import club_examination, examine_anew

CATALOGUE = load_catalogue()
AGAIN = "run `python -m countermove.club.findings`"


@pytest.mark.parametrize("key", athlete_keys())
def test_ready_findings_are_of_today(key):
    found = club_examination(key)
    assert (found.version, found.catalogue) == (__version__, CATALOGUE.version), AGAIN
    assert found.on == max(visit.date for visit in club_athlete(key).visits), AGAIN


@pytest.mark.parametrize("key", ["kasimir-mooring", "pim-gullivane"])
def test_a_sample_made_anew_is_what_is_ready(key):
    anew = examine_anew(key, CATALOGUE)
    ready = club_examination(key)
    assert replace(ready, jumps=()) == replace(anew, jumps=()), AGAIN
    for one, other in zip(ready.jumps, anew.jumps, strict=True):
        assert one.height_m == pytest.approx(other.height_m, abs=1e-9)  # bits of another machine
        assert one.text == other.text


@pytest.mark.parametrize("key", athlete_keys())
def test_everybody_was_seen_three_times_over_months(key):
    days = [visit.date for visit in club_athlete(key).visits]
    assert len(days) >= 3
    assert (days[-1] - days[0]).days > 60
    assert any(visit.recordings for visit in club_athlete(key).visits[:-1])
