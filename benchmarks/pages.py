"""
How long the practice's pages take with a hundred and with ten thousand invented athletes.

Each request goes through the whole of Django as the desk profile sets it up, on a SQLite file with
its guards, a new connection each, and no page is asked for twice: fifty athletes, each the first
time. The small and the large practice are asked in turn, so that a busy machine slows both alike.
"""

from __future__ import annotations

import json
import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

REQUESTS = 50
SMALL, LARGE = 100, 10_000
SEED = 20261125
LONGEST_MS, MOST_TIMES = 100, 1.3  # design.md, budgets


@dataclass(frozen=True)
class Took:
    """One request: by the clock on the wall, by the processor alone, and its queries."""

    wall_ms: float
    cpu_ms: float
    queries: int


def build(folder: Path, count: int) -> None:
    """Make a practice in a process of its own."""
    environment = os.environ | _profile(folder)
    command = [sys.executable, "-m", "benchmarks.pages", "build", str(count)]
    subprocess.run(command, check=True, env=environment)


def _profile(folder: Path) -> dict[str, str]:
    return {
        "COUNTERMOVE_DATA": str(folder),
        "DJANGO_SETTINGS_MODULE": "countermove.clinic.settings.desk",
    }


def fill(count: int) -> None:
    import django  # noqa: PLC0415 - its settings are chosen by the caller

    django.setup()
    from django.core.management import call_command  # noqa: PLC0415
    from django.utils.timezone import localdate  # noqa: PLC0415

    from tests.builders.big_practice import practice_of  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    call_command("createcachetable", verbosity=0)
    practice_of(count, today=localdate())
    follow_up_some(localdate())


def follow_up_some(today: date) -> None:
    """Begin a follow-up of today with as many athletes as pages are asked."""
    from countermove.clinic.visits.models import Visit  # noqa: PLC0415

    latest: dict[int, Visit] = {}
    for visit in Visit.objects.filter(date__lt=today).order_by("date", "pk").iterator():
        latest[visit.athlete_id] = visit
    some = sorted(latest)[-(REQUESTS + 10) :]
    Visit.objects.bulk_create(
        Visit(athlete_id=pk, date=today, tester_id=latest[pk].tester_id, follows=latest[pk])
        for pk in some
    )


class Practice:
    """One of the two practices, and its owner signed in."""

    def __init__(self, folder: Path, pick: random.Random) -> None:
        from django.test import Client  # noqa: PLC0415

        from countermove.clinic.accounts.models import User  # noqa: PLC0415
        from countermove.clinic.people.models import Athlete  # noqa: PLC0415
        from countermove.clinic.visits.models import Visit  # noqa: PLC0415

        self.folder = folder
        self.open()
        self.client = Client(headers={"host": "127.0.0.1"})
        self.client.force_login(User.objects.get())
        self.athletes = _some(Athlete.objects.values_list("pk", "key"), pick)
        self.names = _some(Athlete.objects.values_list("pk", "name"), pick)
        self.visits = _some(Visit.objects.filter(follows=None).values_list("pk", "key"), pick)
        follow_ups = Visit.objects.exclude(follows=None)
        self.follow_ups = _some(follow_ups.values_list("pk", "key"), pick)

    def open(self) -> None:
        """Turn Django to this practice; the server opens a connection a request too."""
        from django.db import connection  # noqa: PLC0415

        connection.close()
        connection.settings_dict["NAME"] = self.folder / "practice.sqlite3"

    def ask(self, page: Callable[[Practice, int], object], number: int) -> Took:
        from django.db import connection, reset_queries  # noqa: PLC0415

        self.open()
        connection.force_debug_cursor = True
        reset_queries()
        wall, cpu = time.perf_counter(), time.process_time()
        page(self, number)
        took = time.perf_counter() - wall, time.process_time() - cpu
        return Took(1000 * took[0], 1000 * took[1], len(connection.queries))


def _some(named: Iterable[tuple[int, object]], pick: random.Random) -> list[str]:
    return [str(name) for _, name in pick.sample(sorted(named), REQUESTS + 1)]


def got(answer: object) -> None:
    assert answer.status_code == 200, answer.status_code


PAGES = {
    "the list of people": lambda practice, number: got(practice.client.get("/")),
    "somebody sought in it by name": lambda practice, number: got(
        practice.client.post("/", {"q": practice.names[number]})
    ),
    "an athlete, opened the first time": lambda practice, number: got(
        practice.client.get(f"/athlete/{practice.athletes[number]}/")
    ),
    "a visit": lambda practice, number: got(
        practice.client.get(f"/visit/{practice.visits[number]}/")
    ),
    "a follow-up": lambda practice, number: got(
        practice.client.get(f"/visit/{practice.follow_ups[number]}/")
    ),
}


def times(practices: list[Practice], page: Callable[[Practice, int], object]) -> list[list[Took]]:
    """Ask each practice in turn; the first request of all warms the program, and is not counted."""
    took: list[list[Took]] = [[] for _ in practices]
    for number in range(REQUESTS + 1):
        for practice, row in zip(practices, took, strict=True):
            row.append(practice.ask(page, number))
    return [row[1:] for row in took]


def late(times_ms: list[float]) -> float:
    """Give the time that 95 % of requests keep within."""
    return statistics.quantiles(times_ms, n=20, method="inclusive")[-1]


def row(what: str, small: list[Took], large: list[Took]) -> dict[str, str]:
    """Give the line of the table."""
    ratio = statistics.median(t.wall_ms for t in large) / statistics.median(
        t.wall_ms for t in small
    )
    wall, cpu = [t.wall_ms for t in large], [t.cpu_ms for t in large]
    asked = sorted({t.queries for t in small + large})
    queries = f"{asked[0]} queries" if len(asked) == 1 else f"{asked[0]} to {asked[-1]} queries"
    measured = (
        f"{statistics.median(wall):.0f} ms, 95 % within {late(wall):.0f} ms"
        f" ({statistics.median(cpu):.0f} and {late(cpu):.0f} ms of the processor);"
        f" {ratio:.2f} times as long as among {SMALL}; {queries}"
    )
    budget = f"95 % within {LONGEST_MS} ms; {MOST_TIMES} times"
    return {"what": f"{what}, {LARGE} athletes", "measured": measured, "budget": budget}


def measure(folders: list[Path]) -> None:
    os.environ.update(_profile(folders[0]))
    import django  # noqa: PLC0415

    django.setup()
    practices = [Practice(folder, random.Random(SEED)) for folder in folders]
    for what, page in PAGES.items():
        print(json.dumps(row(what, *times(practices, page))), flush=True)


def main() -> None:
    with tempfile.TemporaryDirectory() as told:
        folders = [Path(told, str(count)) for count in (SMALL, LARGE)]
        for folder, count in zip(folders, (SMALL, LARGE), strict=True):
            build(folder, count)
        measure(folders)


if __name__ == "__main__":
    if sys.argv[1:2] == ["build"]:
        fill(int(sys.argv[2]))
    else:
        main()
