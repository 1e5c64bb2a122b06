from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from countermove.catalogue import build_catalogue, load_catalogue
from countermove.club import club_athlete
from countermove.club.tape import recording_bytes
from countermove.jumps import analyse_jumps
from countermove.record import (
    Answer,
    Athlete,
    Clearance,
    Consent,
    Level,
    Measurement,
    Purpose,
    Sex,
    Side,
    Visit,
)
from countermove.recordings import parse_force
from countermove.safety import questions_for

SMALL = Path(__file__).parent / "small"
DAY = date(2026, 11, 24)
AGREED = Consent(purpose=Purpose.TESTING, by="R. Fenwick-Shoal", given_on=DAY)
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
            "consents": (AGREED,),
            "visits": (visit,),
        }
        return Athlete(**(plain | more))

    return build


@pytest.fixture(scope="session")
def cleared_pim():
    """Build the club's inelastic athlete with another mass or age, and every question answered."""

    def build(**more):
        pim = replace(club_athlete("pim-gullivane"), **more)
        day = max(visit.date for visit in pim.visits)
        asked = questions_for(pim, on=day, catalogue=load_catalogue())
        signed = replace(pim.clearance, answers=dict.fromkeys(asked, Answer.NO))
        agreed = tuple(replace(one, guardian="O. Gullivane") for one in pim.consents)
        return replace(pim, clearance=signed, consents=agreed)

    return build


@pytest.fixture(scope="session")
def read_jumps():
    """Read a recording of the club."""

    def read(recording):
        return analyse_jumps(parse_force(recording_bytes(recording.path)), kind=recording.kind)

    return read
