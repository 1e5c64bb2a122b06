from dataclasses import dataclass

import pytest

from countermove.body import build_body
from countermove.catalogue import load_catalogue
from countermove.figure import (
    Frame,
    Pose,
    Proportions,
    Skeleton,
    load_poses,
    proportions_of,
    solve_pose,
    usual_proportions,
)
from countermove.record import Sex

CATALOGUE = load_catalogue()
KEYS = [("tests", key) for key in CATALOGUE.tests] + [("drills", key) for key in CATALOGUE.drills]


def athlete(height_m: float, sex: Sex, **lengths_m: float) -> Proportions:
    body = build_body(
        height_m=height_m, mass_kg=70, sex=sex, catalogue=CATALOGUE, lengths_m=lengths_m
    )
    return proportions_of(body, CATALOGUE)


# The people of the table, a short woman and a tall man: contacts must hold for all of them.
PEOPLE = {
    "usual woman": usual_proportions(CATALOGUE, Sex.FEMALE),
    "usual man": usual_proportions(CATALOGUE, Sex.MALE),
    "short woman": athlete(1.58, Sex.FEMALE),
    "tall man": athlete(2.0, Sex.MALE),
}


@dataclass(frozen=True)
class Moment:
    """One solved moment with everything round it."""

    name: str
    pose: Pose
    frame: Frame
    body: Skeleton
    places: dict


def _moments(proportions: Proportions) -> list[Moment]:
    found = []
    for kind, key in KEYS:
        pose = load_poses(kind)[key]
        bodies, places = solve_pose(pose, proportions)
        for i, (frame, body) in enumerate(zip(pose.frames, bodies, strict=True)):
            found.append(Moment(f"{key}[{i}]", pose, frame, body, dict(places)))
    return found


@pytest.fixture(scope="session", params=PEOPLE)
def moments(request) -> list[Moment]:
    return _moments(PEOPLE[request.param])
