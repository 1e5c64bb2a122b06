"""
Make the small database that later versions must open: ``python -m tests.builders.small_database``.

Made once for a version that is released, with that version's own code, and never made again.
"""

import os
import shutil
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from countermove import __version__

FOLDER = Path(__file__).parent.parent / "upgrades"


def main() -> None:
    with tempfile.TemporaryDirectory() as data:
        os.environ["COUNTERMOVE_DATA"] = data
        os.environ["DJANGO_SETTINGS_MODULE"] = "countermove.clinic.settings.desk"
        told = fill()
        made = Path(data) / "practice.sqlite3"
        with closing(sqlite3.connect(made)) as database:
            database.execute("VACUUM")
        shutil.copy(made, FOLDER / f"practice-{__version__}.sqlite3")
        (FOLDER / f"practice-{__version__}.json").write_text(told, encoding="utf-8")


def fill() -> str:
    """Keep one athlete of the club, examined; give the record that the database holds, as JSON."""
    import django  # noqa: PLC0415 - its settings are chosen above

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415

    from countermove.catalogue import load_catalogue  # noqa: PLC0415
    from countermove.clinic.accounts.models import User  # noqa: PLC0415
    from countermove.clinic.practice.models import Site  # noqa: PLC0415
    from countermove.clinic.visits.convert import athlete_record  # noqa: PLC0415
    from countermove.clinic.visits.load import keep_athlete  # noqa: PLC0415
    from countermove.clinic.work.examinations import examine_athlete  # noqa: PLC0415
    from countermove.club import club_athlete  # noqa: PLC0415
    from countermove.codec import ATHLETE  # noqa: PLC0415
    from tests.clinic.conftest import read_recording  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    by = User.objects.create(username="fenwick", name="R. Fenwick-Shoal")
    site = Site.objects.create(name="Harbour Lane Volleyball (invented)")
    juno = keep_athlete(club_athlete("juno-breakwater"), site, by, read_recording)
    examine_athlete(juno, load_catalogue())
    return ATHLETE.to_json(athlete_record(juno)) + "\n"


if __name__ == "__main__":
    main()
