"""
How long reading a force file takes, against pyarrow's reader alone.

One file of 10 s, 1000 Hz, two plates (time, left, right); both are timed in turn in one process, so
that a busy machine slows both. Prints one JSON line; `largest_*` is an hour of the same, for
linearity.
"""

from __future__ import annotations

import json
import platform
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np
from pyarrow import csv

from countermove.jumps import analyse_jumps
from countermove.record import JumpKind
from countermove.recordings import read_force

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


def main(rounds: int = ROUNDS) -> dict[str, object]:
    with tempfile.TemporaryDirectory() as folder:
        small, large = Path(folder, "small.csv"), Path(folder, "large.csv")
        write(small)
        write(large, copies=360)
        trace = read_force(small)
        seconds = in_turn(
            {
                "pyarrow": lambda: csv.read_csv(small),
                "read_force": lambda: read_force(small),
            },
            rounds,
        )
        seconds |= in_turn(
            {"analyse_jumps": lambda: analyse_jumps(trace, kind=JumpKind.CMJ)}, rounds
        )
        hour = in_turn(
            {"pyarrow": lambda: csv.read_csv(large), "read_force": lambda: read_force(large)}, 3
        )
        sizes = {"file_bytes": small.stat().st_size, "largest_file_bytes": large.stat().st_size}
    figures: dict[str, object] = {
        "benchmark": "read_csv",
        "python": platform.python_version(),
        "rounds": rounds,
        **sizes,
        **{f"{name}_ms": round(1000 * value, 3) for name, value in seconds.items()},
        "ratio": round(seconds["read_force"] / seconds["pyarrow"], 2),
        "largest_read_force_s": round(hour["read_force"], 3),
        "largest_ratio": round(hour["read_force"] / hour["pyarrow"], 2),
    }
    sys.stdout.write(json.dumps(figures) + "\n")
    return figures


if __name__ == "__main__":
    main()
