"""
What was read in the club's recordings, shipped as text so that a demo opens in seconds.

`read/ATHLETE.json` holds, for each recording of an athlete, the hash of its bytes and its trials.
They carry a hash of the sources that made them; where those are not the ones that run, nothing of
it is used, and whoever asks reads the recordings again. Everything that rests on the catalogue
(grades, findings, work lists) is worked out on the spot, so that a change of the catalogue leaves
these files fresh.

Run ``python -m countermove.club.results`` to make them again; it takes some ten seconds.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from importlib import resources
from pathlib import Path

from countermove.club import athlete_keys, club_athlete, recording_name
from countermove.codec import Format
from countermove.jumps import analyse_jumps
from countermove.record import Recording, Trial
from countermove.recordings import parse_force

SHIPPED = resources.files("countermove.club") / "read"
# What trials rest on: how recordings are made, how they are read, and how a trial is written.
SOURCES = ("club", "jumps", "recordings", "record")
NOT_SOURCES = ("club/__init__.py", "club/results.py", "club/jumper_faults.py")
PARTS = {"record": ("trial.py", "words.py")}  # of the other rooms everything counts
SUFFIXES = (".py", ".toml")


@dataclass(frozen=True, kw_only=True, slots=True)
class Reading:
    """
    What was read in one recording.

    Attributes
    ----------
    name : str
        As `takes.toml` calls it.
    sha256 : str
        Of the recording's bytes.
    trials : tuple of Trial
        In the order jumped.
    """

    name: str
    sha256: str
    trials: tuple[Trial, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Readings:
    """The readings of one athlete, and the hash of the sources that made them."""

    note: str
    sources: str
    readings: tuple[Reading, ...]


READINGS = Format("readings", Readings)


@cache
def sources_hash() -> str:
    """Hash the sources that trials rest on; line ends do not count."""
    package = resources.files("countermove")
    digest = sha256()
    for room in SOURCES:
        with resources.as_file(package / room) as folder:
            for file in sorted(folder.rglob("*")):
                name = f"{room}/{file.relative_to(folder).as_posix()}"
                if _counts(name):
                    digest.update(name.encode())
                    digest.update(file.read_text(encoding="utf-8").encode())
    return digest.hexdigest()


def _counts(name: str) -> bool:
    """Tell whether a file makes trials; of an athlete only the recordings do."""
    room, _, rest = name.partition("/")
    if not name.endswith(SUFFIXES) or name in NOT_SOURCES:
        return False
    return rest in PARTS[room] if room in PARTS else not rest.startswith("athletes/")


def shipped_readings(key: str) -> Mapping[str, Reading]:
    """
    Give the shipped readings of an athlete by the recording's name.

    Returns
    -------
    mapping of str to Reading
        Empty where other sources made them than those that run.
    """
    text = (SHIPPED / f"{key}.json").read_text(encoding="utf-8")
    held = READINGS.from_table(json.loads(text))
    if held.sources != sources_hash():
        return {}
    return {reading.name: reading for reading in held.readings}


def trials_of(key: str) -> Callable[[Recording], tuple[Trial, ...]]:
    """Give a reader of an athlete's recordings, by path: from what is shipped, or read anew."""
    readings = shipped_readings(key) or read_anew(key)
    return lambda recording: readings[recording_name(recording.path)].trials


def read_anew(key: str) -> Mapping[str, Reading]:
    """Make an athlete's recordings and read them."""
    named = (one for visit in club_athlete(key).visits for one in visit.recordings)
    return {reading.name: reading for reading in map(_read, named)}


def _read(recording: Recording) -> Reading:
    # It opens SciPy's integrators, which whoever takes the shipped readings has no use for.
    from countermove.club.tape import recording_bytes  # noqa: PLC0415

    data = recording_bytes(recording.path)
    return Reading(
        name=recording_name(recording.path),
        sha256=sha256(data).hexdigest(),
        trials=analyse_jumps(parse_force(data), kind=recording.kind),
    )


def main(folder: Path) -> None:
    """Write the readings of every athlete into a folder."""
    for key in athlete_keys():
        told = Readings(
            note="Invented, like all of Harbour Lane Volleyball.",
            sources=sources_hash(),
            readings=tuple(read_anew(key).values()),
        )
        text = READINGS.to_json(told) + "\n"
        (folder / f"{key}.json").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    with resources.as_file(SHIPPED) as shipped:
        main(shipped)
