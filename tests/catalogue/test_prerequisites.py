"""The graph of prerequisites: no circle, nothing out of reach, every drill on one rung."""

from dataclasses import replace

import pytest

from countermove.catalogue import (
    drills_before,
    ladder_of,
    levels_of,
    load_catalogue,
    unreachable,
)
from countermove.errors import BadCatalogue
from countermove.record import Link

DRILLS = load_catalogue().drills
SQUAT, STICK = DRILLS["squat_slow"], DRILLS["snap_down_stick"]


def test_the_catalogue_holds_at_least_sixty_drills():
    """The brief's count."""
    assert len(DRILLS) >= 60


def test_no_drill_is_out_of_reach():
    assert unreachable(DRILLS) == frozenset()
    assert set(levels_of(DRILLS)) == set(DRILLS)


@pytest.mark.parametrize("key", DRILLS)
def test_a_drill_lies_one_step_above_the_highest_before_it(key):
    levels = levels_of(DRILLS)
    below = [levels[other] for other in drills_before(DRILLS[key])]
    assert levels[key] == (1 + max(below) if below else 0)


def test_every_drill_stands_once_on_one_ladder_and_rungs_rise():
    levels = levels_of(DRILLS)
    seen = []
    for link in Link:
        rungs = ladder_of(DRILLS, link)
        heights = [{levels[key] for key in rung} for rung in rungs]
        assert all(len(height) == 1 for height in heights)
        flat = [height.pop() for height in heights]
        assert flat == sorted(set(flat))
        seen += [key for rung in rungs for key in rung]
        assert all(DRILLS[key].links[0] is link for rung in rungs for key in rung)
    assert sorted(seen) == sorted(DRILLS)


@pytest.mark.parametrize("link", Link)
def test_every_link_has_a_drill_that_opens_at_once(link):
    first = ladder_of(DRILLS, link)[0]
    assert {levels_of(DRILLS)[key] for key in first} == {0}


def test_a_circle_is_refused_with_its_drills():
    gate = STICK.gates[0]
    round_ = {
        "a": replace(SQUAT, gates=(replace(gate, drill="b"),)),
        "b": replace(SQUAT, gates=(replace(gate, drill="a"),)),
    }
    with pytest.raises(BadCatalogue, match=r"circle: (a < b < a|b < a < b)"):
        levels_of(round_)


def test_a_drill_after_one_that_is_gone_is_out_of_reach_and_so_is_what_follows():
    kept = {key: drill for key, drill in DRILLS.items() if key != "squat_slow"}
    lost = unreachable(kept)
    assert {"snap_down_stick", "countermovement_jumps", "drop_jump_high"} <= lost
    assert "heel_raise_double" not in lost


@pytest.mark.parametrize("key", DRILLS)
def test_a_progression_is_not_easier_and_a_regression_not_harder(key):
    levels = levels_of(DRILLS)
    assert key not in (*DRILLS[key].regressions, *DRILLS[key].progressions)
    for other in DRILLS[key].progressions:
        assert key not in _all_before(other) or levels[other] > levels[key]
        assert other not in _all_before(key)
    for other in DRILLS[key].regressions:
        assert key not in _all_before(other)


@pytest.mark.parametrize("key", DRILLS)
def test_every_drill_has_an_easier_or_a_harder_neighbour(key):
    drill = DRILLS[key]
    assert drill.regressions or drill.progressions
    assert not set(drill.regressions) & set(drill.progressions)


def _all_before(key):
    earlier = set(drills_before(DRILLS[key]))
    return earlier.union(*(_all_before(other) for other in earlier))


# ---- what every drill says

ON_ITS_FEET = [
    key
    for key, drill in DRILLS.items()
    if drill.quality in ("land", "stretch-shortening")
    or (drill.quality == "strengthen" and drill.links[0] in (Link.ANKLE, Link.KNEE))
]


@pytest.mark.parametrize("key", ON_ITS_FEET)
def test_what_loads_the_leg_ranks_both_tendons(key):
    assert DRILLS[key].achilles is not None
    assert DRILLS[key].patellar is not None


@pytest.mark.parametrize("key", DRILLS)
def test_impact_stands_with_every_landing_and_nowhere_else(key):
    drill = DRILLS[key]
    assert (drill.impact is not None) is ("jump" in drill.tags)


# Scattone Silva 2024, MSSE 56:545, open data (zenodo 10076568): patellar loading index.
SCATTONE_SILVA = {
    "step_up_low": 0.187,
    "squat_slow": 0.224,
    "step_down_control": 0.288,
    "step_up_high": 0.321,
    "split_squat_rear_foot_raised": 0.406,
    "single_leg_squat_slow": 0.411,
    "squat_deep_weight": 0.428,
    "lunge_slow": 0.471,
    "squat_strap": 0.563,
    "drop_jump_low": 0.563,
    "countermovement_jumps": 0.610,
    "single_leg_hop_stick": 0.666,
    "single_leg_jump": 0.711,
    "decline_squat_slow": 0.747,
}


def tier(index):
    """Scattone Silva 2024: up to 0.33, below 0.66, from 0.66."""
    return 1 if index <= 0.33 else 2 if index < 0.66 else 3


@pytest.mark.parametrize(("key", "index"), SCATTONE_SILVA.items())
def test_patellar_index_and_tier_are_the_published_ones(key, index):
    load = DRILLS[key].patellar
    assert load.index.value == index
    assert load.band.value == tier(index)


# Wallace 2010, JSCR 24:207: peak ground force, body weights, both feet.
WALLACE = {"drop_jump_middle": 2.78, "countermovement_jumps": 3.34, "broad_jump_stick": 4.22}


def test_ground_forces_are_the_published_ones_and_rank_in_their_order():
    peaks = {key: d.impact.peak.value for key, d in DRILLS.items() if d.impact and d.impact.peak}
    assert peaks == WALLACE
    bands = [DRILLS[key].impact.band.value for key in sorted(WALLACE, key=WALLACE.__getitem__)]
    assert bands == sorted(set(bands))


# Baxter 2021, MSSE 53:124, abstract: 0.5 (seated heel raise) to 7.3 (single-leg forward hop) BW.
def test_achilles_peaks_are_the_two_that_were_read():
    peaks = {
        key: d.achilles.peak.value for key, d in DRILLS.items() if d.achilles and d.achilles.peak
    }
    assert peaks == {"heel_raise_seated": 0.5, "single_leg_hop_stick": 7.3}
    bands = {key: d.achilles.band.value for key, d in DRILLS.items() if d.achilles}
    assert bands["heel_raise_seated"] == min(bands.values())
    assert bands["single_leg_hop_stick"] == max(bands.values())
