"""
How long the practice takes to keep what a hand writes, with the commit and without.

Each save goes through the whole of Django as the desk profile sets it up, on a SQLite file with its
guards: the entry, the log, the examination and what lists read, in one commit. The commit waits for
the disk; the rest is ours. Every save is of another athlete, so that nothing is there already.
"""

from __future__ import annotations

import json
import os
import random
import statistics
import tempfile
import time
import uuid
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from benchmarks.pages import REQUESTS, SEED, _profile, build, late

ATHLETES = 400


@dataclass(frozen=True)
class Saved:
    """One save: by the clock on the wall, of that the commit, and by the processor alone."""

    wall_ms: float
    commit_ms: float
    cpu_ms: float


class Desk:
    """A practice, its owner signed in, and a watch on every commit."""

    def __init__(self) -> None:
        from django.test import Client  # noqa: PLC0415

        from countermove.clinic.accounts.models import User  # noqa: PLC0415

        self.client = Client(headers={"host": "127.0.0.1"})
        self.user = User.objects.get()
        self.client.force_login(self.user)
        self.committed_s = 0.0
        self.watch()

    def watch(self) -> None:
        from django.db import connection  # noqa: PLC0415

        commit = connection._commit

        def timed() -> None:
            began = time.perf_counter()
            commit()
            self.committed_s += time.perf_counter() - began

        connection._commit = timed

    def send(self, address: str, told: dict[str, str], kept: Callable[[str], bool]) -> Saved:
        from django.db import connection  # noqa: PLC0415

        connection.close()  # the server opens a connection a request too
        self.committed_s = 0.0
        began, cpu = time.perf_counter(), time.process_time()
        answer = self.client.post(address, told, headers={"HX-Request": "true"})
        took, worked = time.perf_counter() - began, time.process_time() - cpu
        assert answer.status_code == 200, answer.status_code
        assert kept(answer.content.decode()), "the save was refused"
        return Saved(1000 * took, 1000 * self.committed_s, 1000 * worked)


def lunge(side: str, *values: str) -> dict[str, str]:
    sent = {"test": "lunge_distance", "form": "new", "method": "tape"}
    sent[f"{side}-sent"] = str(uuid.uuid4())
    return sent | {f"{side}-{i}": value for i, value in enumerate(values)}


def _kept(page: str) -> bool:
    return "Trials agree" in page


def keep_a_test(desk: Desk, visit: object) -> Saved:
    return desk.send(f"/visit/{visit.key}/entry/", lunge("right", "7", "7.2", "7.4"), _kept)


def change_a_drill(desk: Desk, visit: object) -> Saved | None:
    """Put the first drill that is open in the place of the first on the list; None without any."""
    from countermove.catalogue import load_catalogue  # noqa: PLC0415
    from countermove.clinic.visits.scene import scene_of  # noqa: PLC0415
    from countermove.clinic.work.follow_ups import work_of  # noqa: PLC0415

    scene = scene_of(visit, desk.user, today=visit.date, catalogue=load_catalogue(), writes=True)
    rows = [row for row in work_of(scene).tasks if row.offers]
    if not rows:
        return None
    told = {"drill": rows[0].task.drill, "into": rows[0].offers[0].drill, "reason": "benchmark"}
    told["sent"] = str(uuid.uuid4())
    return desk.send(f"/visit/{visit.key}/drill/", told, lambda page: "swapped" in page)


def line(what: str, saves: list[Saved]) -> dict[str, str]:
    """Give the line of the table."""
    whole = [one.wall_ms for one in saves]
    ours = [one.wall_ms - one.commit_ms for one in saves]
    commit = statistics.median(one.commit_ms for one in saves)
    cpu = statistics.median(one.cpu_ms for one in saves)
    measured = (
        f"{statistics.median(whole):.0f} ms with the commit, 95 % within {late(whole):.0f} ms;"
        f" {statistics.median(ours):.0f} and {late(ours):.0f} ms without;"
        f" the commit alone {commit:.1f} ms, the processor {cpu:.0f} ms"
    )
    return {"what": what, "measured": measured, "budget": "told, none is set"}


def measure() -> None:
    import django  # noqa: PLC0415

    django.setup()
    from django.utils.timezone import localdate  # noqa: PLC0415

    from countermove.clinic.people.models import Athlete, Standing  # noqa: PLC0415
    from countermove.clinic.visits.models import Visit  # noqa: PLC0415

    desk, today, pick = Desk(), localdate(), random.Random(SEED)
    open_ = Standing.objects.filter(urgency=0).values("athlete")
    begun = Visit.objects.exclude(follows=None).filter(athlete__in=open_)
    follow_ups = list(begun.order_by("pk"))
    others = Athlete.objects.filter(pk__in=open_).exclude(visits__date=today).order_by("pk")
    fresh = [
        Visit.objects.create(athlete=athlete, date=today, tester=desk.user)
        for athlete in pick.sample(list(others), REQUESTS + 1)
    ]
    first = [keep_a_test(desk, visit) for visit in fresh][1:]
    print(json.dumps(line("a test kept at a first visit", first)), flush=True)
    again = [keep_a_test(desk, visit) for visit in follow_ups[: REQUESTS + 1]][1:]
    print(json.dumps(line("a re-check kept at a follow-up", again)), flush=True)
    changed = [change_a_drill(desk, visit) for visit in follow_ups]
    done = [one for one in changed if one is not None][1:]
    print(json.dumps(line(f"a drill changed ({len(done)} times)", done)), flush=True)


def main() -> None:
    with tempfile.TemporaryDirectory() as told:
        folder = Path(told, "practice")
        build(folder, ATHLETES)
        os.environ.update(_profile(folder))
        measure()


if __name__ == "__main__":
    main()
