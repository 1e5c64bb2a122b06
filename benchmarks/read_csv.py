"""
How long reading a force file takes, against pyarrow's reader alone.

One file of 10 s, 1000 Hz, two plates (time, left, right); both are timed in turn in one process, so
that a busy machine slows both. An hour of the same shows how the time grows.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np
from pyarrow import csv

from countermove.recordings import read_force

Row = dict[str, str]

ROUNDS = 300
RATE_HZ, SECONDS = 1000, 10
MASS_N, LEFT_SHARE = 700.0, 0.52


def ten_seconds() -> np.ndarray:
    """One jump in ten seconds: standing, push, flight, landing; only its size matters here."""
    force = np.full(RATE_HZ * SECONDS, MASS_N)
    force[3000:3300] = MASS_N * (1 - 0.6 * np.sin(np.linspace(0, np.pi, 300)))
    force[3300:3740] = MASS_N * (1 + 1.35 * np.sin(np.linspace(0, 0.95 * np.pi, 440)))
    force[3740:4280] = 0.0
    force[4280:4560] = MASS_N * (1 + 3.0 * np.sin(np.linspace(0, np.pi, 280)))
    return force + np.random.default_rng(1).normal(scale=2.0, size=force.size)


def write(path: Path, copies: int = 1) -> None:
    force = np.tile(ten_seconds(), copies)
    table = [np.arange(force.size) / RATE_HZ, LEFT_SHARE * force, (1 - LEFT_SHARE) * force]
    np.savetxt(
        path, np.stack(table, axis=1), "%.3f", ",", header="time_s,left_n,right_n", comments=""
    )


def timed(run: Callable[[], object]) -> float:
    start = perf_counter()
    run()
    return perf_counter() - start


def in_turn(runs: dict[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Give the median time of each. [s]"""
    times: dict[str, list[float]] = {name: [] for name in runs}
    for name, run in runs.items():
        run()
        times[name].clear()
    for _ in range(rounds):
        for name, run in runs.items():
            times[name].append(timed(run))
    return {name: median(all_times) for name, all_times in times.items()}


def rows(small: dict[str, float], hour: dict[str, float], size_ratio: float) -> list[Row]:
    """Give the lines of the table, a ratio of two things timed in turn in each."""
    ratio = small["read_force"] / small["pyarrow"]
    times = f"{1000 * small['read_force']:.2f} ms against {1000 * small['pyarrow']:.2f} ms"
    growth = hour["read_force"] / small["read_force"] / size_ratio
    return [
        {
            "what": "reading that recording from CSV, against `pyarrow.csv` alone",
            "measured": f"{ratio:.2f} times ({times})",
            "budget": "2 times",
        },
        {
            "what": f"an hour of it ({size_ratio:.0f} times the bytes), a byte",
            "measured": f"{growth:.2f} times the time of the 10 s file",
            "budget": "linear",
        },
    ]


def main(rounds: int = ROUNDS) -> None:
    with tempfile.TemporaryDirectory() as folder:
        small, large = Path(folder, "small.csv"), Path(folder, "large.csv")
        write(small)
        write(large, copies=360)
        seconds = in_turn(readers(small), rounds)
        hour = in_turn(readers(large), 3)
        size_ratio = large.stat().st_size / small.stat().st_size
    for row in rows(seconds, hour, size_ratio):
        print(json.dumps(row))


def readers(path: Path) -> dict[str, Callable[[], object]]:
    return {"pyarrow": lambda: csv.read_csv(path), "read_force": lambda: read_force(path)}


if __name__ == "__main__":
    main()
