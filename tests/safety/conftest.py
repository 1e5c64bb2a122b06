from datetime import date
from pathlib import Path

import pytest

from countermove.catalogue import build_catalogue
from countermove.record import Answer, Athlete, Clearance, Consent, Purpose, Sex

SMALL = Path(__file__).parents[1] / "examination" / "small"
DAY = date(2026, 11, 24)
AGREED = Consent(
    purpose=Purpose.TESTING,
    by="R. Fenwick-Shoal",
    guardian="O. Gullivane",
    given_on=date(2026, 1, 5),
)
ASKED_OF_MEN = ("chest", "calf", "surgery", "torn", "tired")


@pytest.fixture(scope="session")
def small():
    return build_catalogue({path.stem: path.read_text("utf-8") for path in SMALL.glob("*.toml")})


@pytest.fixture(scope="session")
def day():
    return DAY


@pytest.fixture(scope="session")
def paper():
    """Build a clearance; everything a man is asked is answered no unless told otherwise."""

    def build(answers=None, *, leave_out=(), **more):
        words = dict.fromkeys(ASKED_OF_MEN, "no") | (answers or {})
        said = {key: Answer(word) for key, word in words.items() if key not in leave_out}
        plain = {
            "asked": date(2026, 11, 20),
            "expires": date(2027, 5, 20),
            "reviewed_by": "R. Fenwick-Shoal",
        }
        return Clearance(**(plain | more), answers=said)

    return build


@pytest.fixture(scope="session")
def person(paper):
    """Build a man of 24, cleared, who agreed to testing, unless told otherwise."""

    def build(**more):
        plain = {
            "key": "pim-gullivane",
            "name": "Pim Gullivane",
            "sex": Sex.MALE,
            "born": date(2002, 3, 2),
            "height_m": 1.86,
            "mass_kg": 80.5,
            "clearance": paper(),
            "consents": (AGREED,),
        }
        return Athlete(**(plain | more))

    return build
