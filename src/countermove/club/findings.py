"""
What was found in everybody at their latest visit, ready as text, so that the demo opens at once.

Run ``python -m countermove.club.findings`` to make them again after a change of catalogue or rules;
a test says when that is due, and another makes a sample anew.
"""

from __future__ import annotations

from importlib import resources
from pathlib import Path

from countermove.catalogue import Catalogue, load_catalogue
from countermove.club import athlete_keys, club_athlete
from countermove.codec import EXAMINATION, parse
from countermove.examination import examine
from countermove.jumps import analyse_jumps
from countermove.record import Examination, Recording, Trial
from countermove.recordings import read_force

ROOM = resources.files("countermove.club")


def club_examination(key: str) -> Examination:
    """
    Give what was found in one of the club's athletes, as it was made when this was released.

    Raises
    ------
    BadDocument
        If the text does not fit, which a test would have seen.
    """
    text = (ROOM / "found" / f"{key}.json").read_text(encoding="utf-8")
    return EXAMINATION.from_table(parse(text))


def examine_anew(key: str, catalogue: Catalogue) -> Examination:
    """Examine one of the club's athletes from the file and its recordings."""
    return examine(club_athlete(key), read_trials=read_trials, catalogue=catalogue)


def read_trials(recording: Recording) -> tuple[Trial, ...]:
    """Read and analyse one of the club's recordings."""
    path = ROOM / "recordings" / Path(recording.path).name
    with resources.as_file(path) as file:
        return analyse_jumps(read_force(file), kind=recording.kind)


def main(folder: Path) -> None:
    """Write everybody's findings into a folder."""
    catalogue = load_catalogue()
    for key in athlete_keys():
        text = EXAMINATION.to_json(examine_anew(key, catalogue)) + "\n"
        (folder / f"{key}.json").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(__file__).parent / "found")
