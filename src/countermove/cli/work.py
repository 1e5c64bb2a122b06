"""`countermove work`: the worker alone, for whoever keeps it apart from the pages."""

from __future__ import annotations

import sys
import threading
from pathlib import Path
from typing import Annotated

import typer

from countermove.cli.open import Folder
from countermove.cli.serving import (
    holds_practice,
    is_up_to_date,
    only_worker,
    practice_folder,
    say_and_leave,
    set_up,
)


def work(
    data: Folder = None,
    until_input_ends: Annotated[bool, typer.Option("--until-input-ends", hidden=True)] = False,
) -> None:
    """Do a practice's slow work alone; `open` and `demo` start their own worker."""
    folder = practice_folder(data)
    if not holds_practice(folder):
        say_and_leave(f"{folder} holds no practice; name its folder by --data")
    set_up(folder, "demo" if (folder / "demo").exists() else "desk")
    from countermove.clinic.work import jobs_worker

    jobs_worker.listen()
    if until_input_ends:
        threading.Thread(target=_leave_with_input, daemon=True).start()
    with only_worker(folder, wait=lambda: until_input_ends and not jobs_worker.leaving.is_set()):
        _say_if_behind(folder)
        typer.echo(f"At work in {folder}.\n\nCtrl+C ends it; a job in hand waits for the next.")
        jobs_worker.work()


def _leave_with_input() -> None:
    """Leave when whoever started us is gone: our input ends then, however they ended."""
    from countermove.clinic.work import jobs_worker

    sys.stdin.buffer.read()
    jobs_worker.leave()


def _say_if_behind(folder: Path) -> None:
    if not is_up_to_date():
        say_and_leave(
            f"the tables in {folder} are of another version; open it once with `countermove open`"
        )
