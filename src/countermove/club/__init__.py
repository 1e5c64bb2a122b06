"""Harbour Lane Volleyball: an invented club, whose people and numbers are all made up."""

from __future__ import annotations

from importlib import resources
from importlib.resources.abc import Traversable

from countermove.codec import read_athlete
from countermove.errors import BadInput
from countermove.record import Athlete

CLUB_NAME = "Harbour Lane Volleyball (invented)"

__all__ = ["CLUB_NAME", "athlete_file", "athlete_keys", "club_athlete", "recording_name"]


def _athletes() -> Traversable:
    return resources.files("countermove.club") / "athletes"


def athlete_keys() -> tuple[str, ...]:
    """Give the keys of the club's athletes, in alphabetical order."""
    names = (entry.name for entry in _athletes().iterdir())
    return tuple(sorted(n.removesuffix(".toml") for n in names if n.endswith(".toml")))


def athlete_file(key: str) -> Traversable:
    """
    Give an athlete's file; the paths of its recordings count from the folder it lies in.

    Raises
    ------
    BadInput
        If the club has no such athlete.
    """
    if key not in athlete_keys():
        raise BadInput(f"{key!r} is not in the club; use one of {', '.join(athlete_keys())}")
    return _athletes() / f"{key}.toml"


def recording_name(path: str) -> str:
    """Give a recording's name from its path in an athlete's file."""
    return path.rpartition("/")[2].removesuffix(".csv")


def club_athlete(key: str) -> Athlete:
    """Read one of the club's athletes."""
    return read_athlete(athlete_file(key).read_text(encoding="utf-8"))
