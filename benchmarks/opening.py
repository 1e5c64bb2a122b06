"""How long `countermove open` takes until its first page answers: a new practice, and again."""

import json
import os
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

PATIENCE_S = 60
LONGEST_S = 3  # design.md, budgets


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(address, timeout=10) as answer:
            return bool(answer.status == 200)
    except OSError:
        return False


def seconds(folder: Path) -> float:
    """Give the time from the command to the first 200."""
    port = free_port()
    words = ["open", "--data", str(folder), "--port", str(port), "--no-browser"]
    environment = {k: v for k, v in os.environ.items() if not k.startswith(("COUNTERM", "DJANGO"))}
    began = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-m", "countermove", *words],
        env=environment,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    ) as practice:
        try:
            while not answers(f"http://127.0.0.1:{port}/"):
                assert practice.poll() is None, "the practice ended early"
                assert time.perf_counter() - began < PATIENCE_S
                time.sleep(0.01)
            return time.perf_counter() - began
        finally:
            practice.terminate()


def main() -> None:
    with tempfile.TemporaryDirectory() as told:
        new, again = seconds(Path(told, "practice")), seconds(Path(told, "practice"))
    what = "`countermove open` until its first page answers"
    measured = f"{again:.1f} s; {new:.1f} s the first time, when the tables are made"
    print(json.dumps({"what": what, "measured": measured, "budget": f"{LONGEST_S} s"}))


if __name__ == "__main__":
    main()
