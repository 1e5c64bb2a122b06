"""
Slow work for tests, which ends when it is told to: what a run does, and kinds that use it.

A run writes its process number into the folder it runs in, so that a test can end it by force.
"""

import os
import signal
import time
from pathlib import Path

PID, GO = "child-pid", "go"
LONGEST_S = 60  # nothing that a test forgot outlives this
HALF = 0.5


def until_told(inputs, report):
    Path(PID).write_text(str(os.getpid()))
    end = time.monotonic() + LONGEST_S
    while not Path(GO).exists() and time.monotonic() < end:
        report(HALF)
        time.sleep(0.05)
    return inputs + b" done"


def stubborn(inputs, report):
    signal.signal(signal.SIGTERM, signal.SIG_IGN)
    return until_told(inputs, report)


def refuses(inputs, report):
    from countermove.errors import BadInput  # noqa: PLC0415 - as a run opens its rooms

    raise BadInput("a mass of 0 kg cannot be; weigh the athlete")


def breaks(inputs, report):
    raise KeyError("calf pain of a person")


def dies(inputs, report):
    os.kill(os.getpid(), signal.SIGKILL)


def kind(run):
    from countermove.clinic.work.jobs_kinds import Kind  # noqa: PLC0415 - needs Django set up

    return Kind(
        key=run.__name__,
        name="A test's work",
        schema=1,
        run=f"{__name__}:{run.__name__}",
        gather=lambda athlete: f"athlete {athlete.pk}".encode(),
        output=lambda athlete, made, superseded: {"made": made.decode()},
        after=lambda athlete, catalogue: None,
        told=lambda result, scale: [result.output["made"]],
    )


def kinds():
    """Give a kind for each run, by its key."""
    return {run.__name__: kind(run) for run in (until_told, stubborn, refuses, breaks, dies)}


def register():
    """Let this process know the kinds."""
    from countermove.clinic.work.jobs_kinds import KINDS  # noqa: PLC0415 - needs Django set up

    KINDS.update(kinds())
