"""
A fixed small sample of proof/recordings.py: the same bounds, widened only by what chance allows.

Bounds for shares are the proof's own; of n recordings as many may fail as a binomial count with the
allowed share exceeds once in a thousand samples. The worst error needs no widening.
"""

import pytest
from scipy.stats import binom

from countermove.club.jumper_faults import FAULTS
from proof import recordings as proof

pytestmark = pytest.mark.sample
SEED = 1  # not the proof's
GOOD, EACH = 60, 10


def may_fail(share, count):
    """Give how many of `count` may fail where `share` of all may."""
    return int(binom.isf(0.001, count, share))


def test_faultless_recordings():
    result = proof.faultless(SEED, GOOD).result()
    jumps = result["jumps_without_doubt"]
    assert jumps >= 0.9 * GOOD
    assert (1 - result["within_5_mm"]) * jumps <= may_fail(0.05, jumps)
    assert result["doubted"] * GOOD <= may_fail(0.10, GOOD)
    assert result["worst_without_doubt_mm"] <= 20
    assert result["no_jump_found"] == 0


@pytest.mark.parametrize("name", list(FAULTS))
def test_fault(name):
    result = proof.faulty(name, SEED, EACH).result()
    assert (1 - result["flagged"]) * EACH <= may_fail(0.05, EACH)
    assert result["worst_without_doubt_mm"] <= 20
