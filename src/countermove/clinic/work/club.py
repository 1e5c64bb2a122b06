"""
The invented club brought into a demo's practice, with what was read in its recordings.

The trials are shipped with the club, so nothing is read on the way in; a recording's file is made
when somebody opens it.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any

from django.core.files import File
from django.core.files.storage import FileSystemStorage

from countermove.catalogue import Catalogue
from countermove.clinic.accounts.models import User
from countermove.clinic.people.models import Athlete
from countermove.clinic.practice.models import Site
from countermove.clinic.visits.convert import athlete_record
from countermove.clinic.visits.load import Promised, keep_athlete
from countermove.clinic.work.examinations import examine_athlete
from countermove.clinic.work.plates import Heights
from countermove.club import athlete_keys, club_athlete, recording_name
from countermove.club.results import Reading, shipped_readings
from countermove.examination.main_job import ReadTrials


def bring_in(key: str, site: Site, by: User, catalogue: Catalogue) -> Athlete:
    """
    Bring one of the club's athletes into a site: rows, examination, heights of earlier visits.

    Where what is shipped was made by other sources, the recordings are made and read instead.
    """
    readings = shipped_readings(key)

    def read_file(path: str) -> bytes | Promised:
        known = readings.get(recording_name(path))
        return Promised(known.sha256) if known else _made(recording_name(path))

    row = keep_athlete(club_athlete(key), site, by, read_file)
    read_trials = _knowing(readings) if readings else None
    examine_athlete(row, catalogue, read_trials=read_trials)
    heights = Heights(row, catalogue, read_trials)
    for visit in athlete_record(row).visits[:-1]:
        heights.of(visit)
    return row


def _knowing(readings: Mapping[str, Reading]) -> ReadTrials:
    """Give a reader that knows the trials by the hash of their recording."""
    by_hash = {reading.sha256: reading.trials for reading in readings.values()}
    return lambda recording: by_hash[recording.path]


class MadeWhenOpened(FileSystemStorage):
    """Files on disk, among them recordings of the club that are made when first opened."""

    def open(self, name: str, mode: str = "rb") -> File[Any]:
        """Open a file, made on the spot if it is one of the club's and not there yet."""
        if not self.exists(name):
            _write(Path(self.path(name)))
        return super().open(name, mode)


def _write(path: Path) -> None:
    """Make the recording that goes by the hash in a file's name; another name is left alone."""
    name = _promised().get(path.stem)
    if name is None:
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    with NamedTemporaryFile(dir=path.parent, delete=False) as file:
        file.write(_made(name))
    Path(file.name).replace(path)  # whole at once: another thread may be reading


@cache
def _promised() -> Mapping[str, str]:
    """Give the name of every recording of the club by what its file is called."""
    every = (reading for key in athlete_keys() for reading in shipped_readings(key).values())
    return {reading.sha256[:32]: reading.name for reading in every}


def _made(name: str) -> bytes:
    # It opens SciPy's integrators, and a demo may end without a recording being opened.
    from countermove.club.tape import recording_bytes  # noqa: PLC0415

    return recording_bytes(name)
