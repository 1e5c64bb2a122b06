"""
Five hundred simulated recordings with known truth, and as many more with one fault each.

Run whole by ``python proof/recordings.py [SEED]``; the tests run a small fixed sample. What must
hold (each with its share in the result):

- height by impulse within 5 mm of the truth in 95 % of the jumps without a doubt;
- at most 10 % of the faultless recordings carry a doubt;
- each kind of fault is flagged, by a note that names it, in at least 95 % of its recordings;
- no height by impulse is wrong by more than 20 mm without a doubt, faultless or not.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from countermove.club.jumper import Simulated, faultless_plan, simulate
from countermove.club.jumper_faults import FAULTS, with_fault
from countermove.errors import NoJump
from countermove.jumps import analyse_jumps
from countermove.record import Severity, Trial

# Never used while the analysis was being made; the seeds used then are listed in
# docs/methods/jump-from-force.md.
SEED = 20261125
CLOSE_M = 0.005


@dataclass
class Tally:
    """What a set of recordings gave."""

    recordings: int = 0
    doubted: int = 0
    flagged: int = 0
    refused: int = 0
    silent_errors_m: list[float] = field(default_factory=list)
    codes: Counter[str] = field(default_factory=Counter)

    def add(self, made: Simulated, codes: tuple[str, ...], kind_known: bool) -> None:
        """Analyse one recording and count."""
        self.recordings += 1
        kinds = {truth.kind for truth in made.truths}
        kind = kinds.pop() if kind_known and len(kinds) == 1 else None
        try:
            trials = analyse_jumps(made.trace, kind=kind)
        except NoJump:
            self.refused += 1
            return
        if len(trials) != len(made.truths):
            self.codes["wrong number of jumps"] += 1
            self.silent_errors_m.append(float("inf"))
            return
        found = [note for trial in trials for note in trial.quality]
        self.codes.update({note.code for note in found if note.severity is not Severity.NOTE})
        self.flagged += bool({note.code for note in found} & set(codes))
        self.doubted += any(is_doubted(trial) for trial in trials)
        for trial, truth in zip(trials, made.truths, strict=True):
            if not is_doubted(trial) and trial.height_impulse_m is not None:
                self.silent_errors_m.append(trial.height_impulse_m - truth.height_m)

    def result(self) -> dict[str, Any]:
        """Give shares and the largest error that nothing warns of."""
        errors = np.abs(self.silent_errors_m)
        return {
            "recordings": self.recordings,
            "jumps_without_doubt": int(errors.size),
            "within_5_mm": share(int((errors <= CLOSE_M).sum()), errors.size),
            "worst_without_doubt_mm": round(1000 * float(errors.max(initial=0.0)), 2),
            "doubted": share(self.doubted, self.recordings),
            "flagged": share(self.flagged, self.recordings),
            "no_jump_found": self.refused,
            "doubts": dict(self.codes.most_common()),
        }


def share(part: int, whole: int) -> float | None:
    """Give a ratio to four digits; None of nothing."""
    return round(part / whole, 4) if whole else None


def is_doubted(trial: Trial) -> bool:
    """Tell whether a trial carries a doubt or a refusal."""
    return trial.worst() in {Severity.DOUBT, Severity.REFUSE}


def faultless(seed: int, count: int) -> Tally:
    """Analyse good recordings; half of them without being told the kind of jump."""
    tally = Tally()
    for number in range(count):
        rng = np.random.default_rng([seed, 0, number])
        made = simulate(faultless_plan(rng), int(rng.integers(2**31)))
        tally.add(made, (), kind_known=number % 2 == 0)
    return tally


def faulty(name: str, seed: int, count: int) -> Tally:
    """Analyse recordings with one fault."""
    tally = Tally()
    number_of_fault = list(FAULTS).index(name) + 1
    for number in range(count):
        rng = np.random.default_rng([seed, number_of_fault, number])
        tally.add(with_fault(name, rng), FAULTS[name].codes, kind_known=True)
    return tally


def main(seed: int, good: int = 500, each: int = 100) -> dict[str, Any]:
    """Run the proof and give its results."""
    whole = {"faultless": faultless(seed, good).result()}
    faults = {name: faulty(name, seed, each).result() for name in FAULTS}
    return {
        "seed": seed,
        "must_hold": {
            "within_5_mm": 0.95,
            "doubted_of_faultless_at_most": 0.10,
            "flagged_of_each_fault": 0.95,
            "worst_without_doubt_mm": 20.0,
        },
        **whole,
        "faults": faults,
    }


if __name__ == "__main__":
    print(json.dumps(main(int(sys.argv[1]) if len(sys.argv) > 1 else SEED), indent=2))
