from datetime import date
from pathlib import Path

import pytest

from countermove.catalogue import build_catalogue
from countermove.record import Answer, Athlete, Clearance, Level, Measurement, Sex, Side, Visit

SMALL = Path(__file__).parent / "small"
DAY = date(2026, 11, 24)
ASKED_OF_MEN = ("chest", "calf", "surgery", "torn", "tired")


@pytest.fixture(scope="session")
def day():
    return DAY


@pytest.fixture(scope="session")
def small():
    """A small catalogue with easy numbers, so that unit tests do not hang on the real one."""
    return build_catalogue({path.stem: path.read_text("utf-8") for path in SMALL.glob("*.toml")})


@pytest.fixture(scope="session")
def lunge():
    """Build a lunge measurement; the right side in centimetres unless told otherwise."""

    def build(*trials, side=Side.RIGHT, unit="cm", method="tape", **more):
        return Measurement(
            test="lunge_distance", side=side, trials=trials, unit=unit, method=method, **more
        )

    return build


@pytest.fixture(scope="session")
def athlete():
    """Build a cleared adult with one visit that holds some measurements."""

    def build(*measurements, answers=None, treatments=(), recordings=(), **more):
        words = dict.fromkeys(ASKED_OF_MEN, "no") | (answers or {})
        said = {key: Answer(word) for key, word in words.items()}
        clearance = Clearance(
            asked=DAY, expires=date(2027, 5, 24), reviewed_by="R. Fenwick-Shoal", answers=said
        )
        visit = Visit(
            date=DAY,
            tester="R. Fenwick-Shoal",
            measurements=measurements,
            treatments=treatments,
            recordings=recordings,
        )
        plain = {
            "key": "pim-gullivane",
            "name": "Pim Gullivane",
            "sex": Sex.MALE,
            "born": date(2004, 3, 2),
            "height_m": 1.86,
            "mass_kg": 80.5,
            "level": Level.INTERMEDIATE,
            "clearance": clearance,
            "visits": (visit,),
        }
        return Athlete(**(plain | more))

    return build
