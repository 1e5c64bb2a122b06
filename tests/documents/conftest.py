from dataclasses import replace
from importlib import resources
from io import BytesIO

import pikepdf
import pytest

from countermove.catalogue import load_catalogue
from countermove.cli.files import examine_file
from countermove.club import athlete_file, athlete_keys, club_athlete
from countermove.documents import hand_out
from countermove.examination import examine
from countermove.record import Answer, Side, Task


@pytest.fixture(scope="session")
def catalogue():
    return load_catalogue()


@pytest.fixture(scope="session")
def examined(catalogue):
    """Give the examinations of the invented club by athlete."""
    found = {}
    for key in athlete_keys():
        with resources.as_file(athlete_file(key)) as file:
            found[key] = examine_file(file, catalogue)
    return found


@pytest.fixture(scope="session")
def juno(examined):
    return examined["juno-breakwater"]


@pytest.fixture(scope="session")
def answering(catalogue):
    """Examine an athlete of the club, without recordings, whose health questions went otherwise."""

    def examine_with(key="tove-harbourne", *, drop=(), **answers):
        athlete = club_athlete(key)
        kept = {k: v for k, v in athlete.clearance.answers.items() if k not in drop}
        kept |= {caution: Answer(word) for caution, word in answers.items()}
        cleared = replace(athlete.clearance, answers=kept)
        return examine(
            replace(athlete, clearance=cleared),
            read_trials=lambda recording: (),
            catalogue=catalogue,
        )

    return examine_with


@pytest.fixture(scope="session")
def tasks_of(catalogue):
    """Write a work list of any drills."""

    def tasks(keys, **changed):
        made = []
        for key in keys:
            drill = catalogue.drills[key]
            side = Side.RIGHT if drill.side == "each" else Side.BOTH
            dose = "3 sets of 10; slow; 60 s rest between sets; 3 days a week."
            fields = {"name": drill.name, "dose": dose, "cue": drill.cue, "stop": drill.stop}
            made.append(Task(drill=key, side=side, why="For the test.", **(fields | changed)))
        return tuple(made)

    return tasks


@pytest.fixture(scope="session")
def printed(catalogue):
    """Print a hand-out and open it."""

    def print_and_open(examination, of=catalogue, **options):
        return pikepdf.open(BytesIO(hand_out(examination, of, **options)))

    return print_and_open
