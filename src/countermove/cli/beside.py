"""The worker beside a served practice: started and ended with it, started again when it dies."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

FIRST_PAUSE_S, LONGEST_PAUSE_S = 0.5, 30.0  # before a dead worker is started again
LIVED_S = 60.0  # after so long a death counts as the first
PATIENCE_S = 5.0  # for a worker that is to end


@contextmanager
def worker_beside(folder: Path) -> Iterator[Callable[[], None]]:
    """Give the function that starts a folder's worker; whatever was started ends with the block."""
    beside = Beside(folder)
    try:
        yield beside.start
    finally:
        beside.stop()


class Beside:
    """
    A worker process, watched by a thread.

    It is told to end by the end of its input, which comes too if this process is killed.
    """

    def __init__(self, folder: Path) -> None:
        self._command = [sys.executable, "-P", "-m", "countermove", "work"]
        self._command += ["--data", str(folder), "--until-input-ends"]
        self._stopping = threading.Event()
        self._changing = threading.Lock()
        self._process: subprocess.Popen[bytes] | None = None
        self._watch = threading.Thread(target=self._keep_alive, daemon=True)

    def start(self) -> None:
        """Start the worker, and again whenever it dies."""
        self._watch.start()

    def stop(self) -> None:
        """End the worker, by force if it does not listen, and wait until it is gone."""
        self._stopping.set()
        with self._changing:
            process = self._process
        if process is None:
            return
        if process.stdin is not None:
            process.stdin.close()
        try:
            process.wait(PATIENCE_S)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()

    def _keep_alive(self) -> None:
        pause_s = FIRST_PAUSE_S
        while (process := self._begin()) is not None:
            began = time.monotonic()
            process.wait()
            if time.monotonic() - began > LIVED_S:
                pause_s = FIRST_PAUSE_S
            self._stopping.wait(pause_s)
            pause_s = min(2 * pause_s, LONGEST_PAUSE_S)

    def _begin(self) -> subprocess.Popen[bytes] | None:
        """Start a process, unless all is to end; a terminal's Ctrl+C does not reach it."""
        with self._changing:
            if self._stopping.is_set():
                return None
            self._process = subprocess.Popen(
                self._command,
                stdin=subprocess.PIPE,
                stdout=subprocess.DEVNULL,
                start_new_session=True,
            )
            return self._process
