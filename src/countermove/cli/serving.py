"""Serving the clinic from a data folder: one process a folder, loopback alone."""

from __future__ import annotations

import os
import socket
import threading
import time
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import typer

HOST = "127.0.0.1"
DEFAULT_PORT = 8712
WAIT_S = 30.0
# Who comes while all of these wait is served next; SQLite writes one at a time anyway.
THREADS = 4
LOCK_S = 0.5  # between two looks at a lock that is waited for


def practice_folder(given: Path | None) -> Path:
    """Give the practice's data folder: as told, else from the environment, else at home."""
    told = given or os.environ.get("COUNTERMOVE_DATA") or Path.home() / "countermove-practice"
    return Path(told).expanduser().resolve()


def make_folder(folder: Path) -> None:
    """Make the data folder, open to its owner alone."""
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        folder.chmod(0o700)
    except OSError as error:
        say_and_leave(
            f"{folder} cannot be made or closed to others ({error.strerror});"
            " name another folder by --data"
        )


def set_up(folder: Path, profile: str) -> None:
    """Let Django know the folder and the profile."""
    os.environ["COUNTERMOVE_DATA"] = str(folder)
    os.environ["DJANGO_SETTINGS_MODULE"] = f"countermove.clinic.settings.{profile}"
    import django

    django.setup()


def bring_up_to_date(*, collect: bool = False) -> None:
    """Make or migrate the tables, and the cache's; collect style and script for a server."""
    from django.core.management import call_command

    call_command("migrate", interactive=False, verbosity=0)
    call_command("createcachetable", verbosity=0)
    if collect:
        call_command("collectstatic", interactive=False, verbosity=0)


def is_up_to_date() -> bool:
    """Tell whether the tables are those of this version."""
    from django.db import connection
    from django.db.migrations.executor import MigrationExecutor

    steps = MigrationExecutor(connection)
    return not steps.migration_plan(steps.loader.graph.leaf_nodes())


def holds_practice(folder: Path) -> bool:
    """Tell whether there is a practice: in the folder, or in a database of its own."""
    return bool(os.environ.get("COUNTERMOVE_DATABASE")) or (folder / "practice.sqlite3").exists()


@contextmanager
def only_process(folder: Path) -> Iterator[None]:
    """Hold a folder for this process; a second one is told and sent away."""
    with _held(folder / "in-use") as is_held:
        if not is_held:
            say_and_leave(
                f"{folder} is open already in another window; use that one, or end it first"
            )
        yield


@contextmanager
def only_worker(folder: Path, *, wait: Callable[[], bool] = bool) -> Iterator[None]:
    """Hold a folder's slow work; while `wait` says so another worker's end is waited for."""
    with _held(folder / "at-work", wait=wait) as is_held:
        if not is_held:
            say_and_leave(f"a worker is at work in {folder} already; leave it to that one")
        yield


@contextmanager
def _held(file: Path, *, wait: Callable[[], bool] = bool) -> Iterator[bool]:
    """
    Hold a file for this process, and tell whether it could be had.

    The system lets the lock go when the process ends, however it ends.
    """
    from django.core.files import locks

    with file.open("a+b") as opened:
        while not (had := locks.lock(opened, locks.LOCK_EX | locks.LOCK_NB)) and wait():
            time.sleep(LOCK_S)
        yield had


def free_port(port: int) -> None:
    """Leave with a clear word if something answers at a port already."""
    with socket.socket() as probe:
        # As the server does: a port that was ours a moment ago is free.
        if os.name == "posix":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            say_and_leave(
                f"port {port} is taken by another program; choose another, for example"
                f" --port {port + 1}"
            )


def serve(port: int, *, when_up: Callable[[str], None]) -> None:
    """Serve until stopped; call `when_up` with the address once a page answers."""
    from granian import Granian
    from granian.constants import Interfaces
    from granian.log import LogLevels

    address = f"http://{HOST}:{port}"
    threading.Thread(target=_tell, args=(port, address, when_up), daemon=True).start()
    Granian(
        "django.core.wsgi:get_wsgi_application",
        factory=True,
        address=HOST,
        port=port,
        interface=Interfaces.WSGI,
        blocking_threads=THREADS,
        workers_kill_timeout=5,
        websockets=False,
        log_level=LogLevels.error,
    ).serve()


def open_browser(address: str) -> None:
    """Open the address in the usual browser; a machine without one only has it printed."""
    try:
        webbrowser.open(address)
    except webbrowser.Error:
        typer.echo("No browser could be opened; type the address into one.", err=True)


def say_and_leave(text: str) -> None:
    """Say on stderr what is wrong, and end with code 1."""
    typer.echo(text, err=True)
    raise typer.Exit(1)


def _tell(port: int, address: str, when_up: Callable[[str], None]) -> None:
    end = time.monotonic() + WAIT_S
    while time.monotonic() < end:
        with socket.socket() as probe:
            probe.settimeout(1.0)
            if probe.connect_ex((HOST, port)) == 0:
                when_up(address)
                return
        time.sleep(0.05)
