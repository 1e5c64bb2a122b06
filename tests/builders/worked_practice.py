"""
A practice on disk with slow work asked for, and real workers on it: for tests that kill.

Workers know the kinds of `tests.builders.slow_job`, and give a silent job up sooner, so that a test
need not wait.
"""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing, contextmanager
from pathlib import Path

from tests.builders import slow_job

ROOT = Path(__file__).parents[2]
SOON_S = 40  # a machine with two busy cores; alone it takes about two
SOONER_S = 2.0  # instead of jobs.LOST_S: two beats
ASK = """
import django
django.setup()
from django.core.management import call_command
from countermove.catalogue import load_catalogue
from countermove.clinic.accounts.models import User
from countermove.clinic.practice.models import Site
from countermove.clinic.visits.load import keep_athlete
from countermove.clinic.work import jobs
from countermove.club import club_athlete
from tests.builders import slow_job
from tests.clinic.conftest import read_recording
call_command("migrate", verbosity=0)
call_command("createcachetable", verbosity=0)
by = User.objects.create(username="ada", name="Ada")
site = Site.objects.create(name="Harbour Lane (invented)")
juno = keep_athlete(club_athlete("juno-breakwater"), site, by, read_recording)
jobs.ask_for(slow_job.kinds()["until_told"], juno, by, load_catalogue())
"""
WORK = f"""
import sys, django
django.setup()
from tests.builders import slow_job
slow_job.register()
from countermove.clinic.work import jobs
jobs.LOST_S = {SOONER_S}
from countermove.cli import main
sys.argv = ["countermove", "work", *sys.argv[1:]]
main()
"""


def environment(folder):
    kept = {k: v for k, v in os.environ.items() if not k.startswith(("COUNTERMOVE", "DJANGO"))}
    return kept | {
        "COUNTERMOVE_DATA": str(folder),
        "DJANGO_SETTINGS_MODULE": "countermove.clinic.settings.desk",
        "PYTHONPATH": os.pathsep.join([str(ROOT / "src"), str(ROOT)]),
        "PYTHONUNBUFFERED": "1",
    }


def ask(folder):
    """Make a practice with one job that waits."""
    folder.mkdir(exist_ok=True)
    subprocess.run([sys.executable, "-c", ASK], env=environment(folder), check=True)


@contextmanager
def worker(folder, *words):
    """Give a worker that is at work; whatever a test did, nothing of it is left."""
    process = subprocess.Popen(
        [sys.executable, "-c", WORK, *words],
        env=environment(folder),
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        yield process
    finally:
        process.stdin.close()
        end_by_force(process)
        process.stdout.close()


def end_by_force(process):
    process.kill()
    process.wait(timeout=SOON_S)


def row(folder):
    """Give the one job's state, fraction, deaths and error."""
    columns = ("state", "fraction", "deaths", "error")
    with closing(sqlite3.connect(folder / "practice.sqlite3", timeout=20)) as database:
        found = database.execute(f"SELECT {', '.join(columns)} FROM work_job").fetchone()
    return dict(zip(columns, found, strict=True))


def write(folder, statement, *values):
    """Change the database as another process would, and be done with it."""
    with closing(sqlite3.connect(folder / "practice.sqlite3", timeout=20)) as database:
        database.execute(statement, values)
        database.commit()


def count(folder, table):
    with closing(sqlite3.connect(folder / "practice.sqlite3", timeout=20)) as database:
        return database.execute(f"SELECT count(*) FROM {table}").fetchone()[0]


def until(is_so, seconds=SOON_S):
    """Wait until something is so, and give how long it took. [s]"""
    began = time.monotonic()
    while not is_so():
        assert time.monotonic() - began < seconds, "it never came to be"
        time.sleep(0.02)
    return time.monotonic() - began


def child(folder, *, other_than=None):
    """Wait for the run's process and give its number."""
    file = folder / "uploads" / slow_job.PID
    until(lambda: file.exists() and file.read_text() not in ("", str(other_than)))
    return int(file.read_text())


def is_alive(pid):
    """Tell whether a process runs; one that ended and waits to be counted does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


def kill(pid):
    os.kill(pid, signal.SIGKILL)
