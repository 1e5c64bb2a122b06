from dataclasses import replace

import pytest

from countermove.errors import BadInput
from countermove.examination import asymmetry
from countermove.record import Side


# Lunge by tape in the small catalogue: SEM 0.5 cm between days, none for the difference between
# sides, so the line is 1.96 x sqrt(2) x 0.5 = 1.386 cm.
@pytest.mark.parametrize(
    ("left", "right", "said"), [(11.0, 9.7, ""), (11.0, 9.5, "right"), (9.5, 11.0, "left")]
)
def test_a_difference_is_said_only_beyond_the_error(small, lunge, left, right, said):
    text, sources = asymmetry(lunge(left, side=Side.LEFT), lunge(right), catalogue=small)
    assert bool(text) is bool(said)
    assert f"the {said} is 1.5 cm less" in text if said else text == ""
    assert sources == (("paper",) if said else ())


def test_without_an_error_no_difference_is_told(small, lunge):
    pair = lunge(15, side=Side.LEFT, method="ruler"), lunge(5, method="ruler")
    assert asymmetry(*pair, catalogue=small) == ("", ())


def test_two_methods_are_not_compared(small, lunge):
    with pytest.raises(BadInput, match="two series"):
        asymmetry(lunge(15, side=Side.LEFT), lunge(5, method="stick"), catalogue=small)


def test_a_published_error_of_the_difference_comes_first(small, lunge):
    wide = """
[lunge_wide]
source = "paper"
where = "lunge"
status = "read"
supersedes = "lunge_angle"
name = "Wide lunge"
link = "ankle"
tells = "Shin forward."
sides = "each"
unit = "cm"
methods = ["tape"]
position = "Standing."
steps = ["Lunge."]
trials = 1
minutes = 3
[[lunge_wide.errors]]
method = "tape"
tester = "same"
occasion = "between days"
sem = { value = 0.1, unit = "cm" }
population = "a few"
[[lunge_wide.errors]]
method = "tape"
tester = "same"
occasion = "between days"
of = "difference between sides"
mdc95 = { value = 3, unit = "cm" }
population = "a few"
"""
    catalogue = small.with_practice({"tests": wide})
    left, right = (
        replace(lunge(value, side=side), test="lunge_wide")
        for value, side in ((12, Side.LEFT), (9.1, Side.RIGHT))
    )
    assert asymmetry(left, right, catalogue=catalogue) == ("", ())
    assert asymmetry(left, replace(right, trials=(8.9,)), catalogue=catalogue)[0]
