"""How long all metrics of a jump take, after reading: 10 s, 1000 Hz, two plates."""

import json
import statistics
import time
from dataclasses import replace

import numpy as np

from countermove.club.jumper import Jump, Plan, Plates, simulate
from countermove.jumps import analyse_jumps
from countermove.record import JumpKind
from countermove.recordings import ForceTrace

RUNS = 200
SECONDS = 10.0


def recording(seconds: float) -> ForceTrace:
    """Give one jump with quiet standing, cut to a length."""
    plan = Plan(
        jumps=(Jump(standing_s=2.0),),
        plates=Plates(rate_hz=1000.0, count=2, noise_n=3.0, offset_n=6.0),
        empty_before_s=1.0,
        empty_after_s=max(1.0, seconds - 9.0),
    )
    trace = simulate(plan, 7).trace
    last = round(seconds * trace.rate_hz)
    return replace(trace, force_n=trace.force_n[:, :last], missing=trace.missing[:last])


def milliseconds(trace: ForceTrace) -> list[float]:
    times = []
    for _ in range(RUNS):
        began = time.perf_counter()
        analyse_jumps(trace, kind=JumpKind.CMJ)
        times.append(1000 * (time.perf_counter() - began))
    return times


def main() -> None:
    trace = recording(SECONDS)
    assert trace.force_n.shape == (2, 10_000)
    milliseconds(trace)
    times = milliseconds(trace)
    median, late = statistics.median(times), float(np.percentile(times, 95))
    measured = f"{median:.2f} ms (95 % of runs within {late:.2f} ms)"
    what = "all metrics of a 10 s, 1000 Hz, two-plate recording, after reading"
    print(json.dumps({"what": what, "measured": measured, "budget": "2 ms"}))
    long = statistics.median(milliseconds(recording(8 * SECONDS)))
    ratio = f"{long / median:.1f} times as long"
    what = "the same with eight times the samples"
    print(json.dumps({"what": what, "measured": ratio, "budget": "8 times"}))


if __name__ == "__main__":
    main()
