"""
The process that does slow work: apart from the worker, so that a stop ends it at once.

It knows neither Django nor the database. It gets bytes, gives bytes, and says how far it is. It
runs in the folder of uploads, so paths in its inputs count from there, and it ends with its worker.
"""

from __future__ import annotations

import ctypes
import multiprocessing
import os
import signal
import sys
import threading
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Literal

Report = Callable[[float], None]
Run = Callable[[bytes, Report], bytes]

PATIENCE_S = 0.4  # between asking a process to end and ending it
SAY_S = 0.1  # no more often does a run say how far it is
QUIETER = 5  # the pages come first on a small machine
PARENT_DIED = 1  # prctl(2), PR_SET_PDEATHSIG
SIGKILL = 9


@dataclass(frozen=True)
class Word:
    """
    One thing a child said.

    `died` is what its silence says: it ended without a last word.
    """

    what: Literal["fraction", "output", "refused", "fault", "died"]
    fraction: float = 0.0
    output: bytes = b""
    text: str = ""


class Child:
    """One run in a process of its own."""

    def __init__(self, run: str, inputs: bytes, folder: Path) -> None:
        context = multiprocessing.get_context("spawn")
        self._ear, mouth = context.Pipe(duplex=False)
        self.process = context.Process(target=_live, args=(run, inputs, str(folder), mouth))
        self.process.start()
        mouth.close()  # so that its end, however it comes, is heard here

    def heard(self, wait_s: float) -> Word | None:
        """Give the next thing it says within a time; None for nothing."""
        if not self._ear.poll(wait_s):
            return None
        try:
            word: Word = self._ear.recv()
        except (EOFError, OSError):
            return Word("died")
        return word

    def end(self) -> None:
        """End it, at once if it does not listen, and wait until it is gone."""
        self.process.terminate()
        self.process.join(PATIENCE_S)
        if self.process.is_alive():
            self.process.kill()
        self.process.join()
        self._ear.close()
        self.process.close()


def _live(run: str, inputs: bytes, folder: str, mouth: Connection) -> None:
    """Be the child: run, and say what came of it."""
    _end_with_parent()
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is the worker's to hear
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    os.environ["OMP_NUM_THREADS"] = os.environ["OPENBLAS_NUM_THREADS"] = "1"
    if hasattr(os, "nice"):
        os.nice(QUIETER)
    os.chdir(folder)
    mouth.send(_last_word(run, inputs, _teller(mouth)))


def _last_word(run: str, inputs: bytes, report: Report) -> Word:
    try:
        return Word("output", output=_named(run)(inputs, report))
    except Exception as error:
        return _trouble(error)


def _trouble(error: Exception) -> Word:
    """Say what went wrong: our own words in full, a fault of the program by its place alone."""
    from countermove.errors import CountermoveError  # noqa: PLC0415 - the child opens it, if at all

    if isinstance(error, CountermoveError):
        return Word("refused", text=str(error))
    return Word("fault", text=place_of(error))


def place_of(error: Exception) -> str:
    """Name a fault of the program by its place; its message could hold an athlete's data."""
    last = traceback.extract_tb(error.__traceback__)[-1]
    return f"{type(error).__name__} in {Path(last.filename).name}, line {last.lineno}"


def _named(run: str) -> Run:
    """Open the room of a run only here: the pages never load what it needs."""
    module, _, name = run.partition(":")
    function: Run = getattr(import_module(module), name)
    return function


def _teller(mouth: Connection) -> Report:
    """Give the function by which a run says how far it is, from 0 to 1."""
    said_at = -SAY_S

    def report(fraction: float) -> None:
        nonlocal said_at
        now = time.monotonic()
        if now - said_at >= SAY_S:
            said_at = now
            mouth.send(Word("fraction", fraction=min(max(fraction, 0.0), 1.0)))

    return report


def _end_with_parent() -> None:
    """
    Let the system end this process when its worker ends, even by a kill.

    Linux does it by itself; elsewhere a thread waits for the worker's end.
    """
    if sys.platform == "linux":
        ctypes.CDLL(None).prctl(PARENT_DIED, SIGKILL)
    parent = multiprocessing.parent_process()
    if parent is None or not parent.is_alive():
        os._exit(1)
    threading.Thread(target=_wait_for, args=(parent,), daemon=True).start()


def _wait_for(parent: multiprocessing.process.BaseProcess) -> None:
    parent.join()
    os._exit(1)
