"""
The club's recordings: simulated from equations of motion, written as files of several layouts.

Run ``python -m countermove.club.tape FOLDER`` to make them again; the same seeds give the same
bytes. `truth.json` beside them holds what each jump really was, so that a reader can be judged.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import asdict, dataclass
from math import sqrt
from pathlib import Path
from typing import Any

import numpy as np

from countermove.club.jumper import Jump, Plan, Plates, Simulated, simulate
from countermove.jumps import GRAVITY_M_S2
from countermove.record import JumpKind
from countermove.recordings import ForceTrace

INVENTED = "invented: simulated jumps of an invented club"


@dataclass(frozen=True, kw_only=True)
class Take:
    """One recording to be made: who jumps, what, how high, on which plates, in which layout."""

    name: str
    seed: int
    kind: JumpKind
    mass_kg: float
    heights_m: tuple[float, ...]
    plates: Plates
    layout: Callable[[ForceTrace], str]
    left_shares: tuple[float, float, float, float] = (0.5, 0.5, 0.5, 0.5)

    def plan(self) -> Plan:
        """Give the plan that the simulator follows."""
        return Plan(
            mass_kg=self.mass_kg,
            jumps=tuple(
                Jump(kind=self.kind, velocity_m_s=sqrt(2 * GRAVITY_M_S2 * height))
                for height in self.heights_m
            ),
            plates=self.plates,
            sway_share=0.0015,
            left_shares=self.left_shares,
        )


def plain(trace: ForceTrace) -> str:
    """Time, left, right in newtons; comma between columns, point in numbers."""
    return _table(trace, ["time (s)", "left (N)", "right (N)"], ",", [f"# {INVENTED}"])


def semicolons(trace: ForceTrace) -> str:
    """Semicolon between columns, decimal comma, heading lines, a row of units."""
    heading = [INVENTED, f"sampling rate; {trace.rate_hz:g} Hz"]
    text = _table(trace, ["time;left;right", "s;N;N"], ";", heading)
    return text.replace(".", ",")


def tabs(trace: ForceTrace) -> str:
    """Tab between columns; no time column, the rate in the heading."""
    rows = "\n".join("\t".join(f"{f:.1f}" for f in row) for row in trace.force_n.T)
    heading = f"{INVENTED}\nrate: {trace.rate_hz:g} Hz\n"
    return f"{heading}Fz left [N]\tFz right [N]\n{rows}\n"


def _table(trace: ForceTrace, header: list[str], mark: str, heading: list[str]) -> str:
    times = trace.start_s + np.arange(trace.force_n.shape[1]) / trace.rate_hz
    columns = zip(times, *trace.force_n, strict=True)
    rows = (mark.join([f"{t:.4f}", *(f"{f:.1f}" for f in forces)]) for t, *forces in columns)
    names = header if mark == ";" else [mark.join(header)]
    return "\n".join([*heading, *names, *rows]) + "\n"


TAKES = (
    Take(
        name="juno-breakwater-cmj",
        seed=11,
        kind=JumpKind.CMJ,
        mass_kg=69.4,
        heights_m=(0.311, 0.320, 0.323),
        plates=Plates(offset_n=6.0),
        layout=plain,
        left_shares=(0.51, 0.53, 0.54, 0.56),
    ),
    Take(
        name="juno-breakwater-sj",
        seed=12,
        kind=JumpKind.SJ,
        mass_kg=69.4,
        heights_m=(0.279, 0.287),
        plates=Plates(offset_n=6.0),
        layout=plain,
        left_shares=(0.51, 0.53, 0.54, 0.56),
    ),
    Take(
        name="pim-gullivane-cmj",
        seed=21,
        kind=JumpKind.CMJ,
        mass_kg=80.5,
        heights_m=(0.352, 0.358, 0.349),
        plates=Plates(rate_hz=500.0, noise_n=3.0),
        layout=semicolons,
    ),
    Take(
        name="pim-gullivane-sj",
        seed=22,
        kind=JumpKind.SJ,
        mass_kg=80.5,
        heights_m=(0.351, 0.355),
        plates=Plates(rate_hz=500.0, noise_n=3.0),
        layout=semicolons,
    ),
    Take(
        name="tove-harbourne-cmj",
        seed=31,
        kind=JumpKind.CMJ,
        mass_kg=75.2,
        heights_m=(0.402, 0.411, 0.408),
        plates=Plates(rate_hz=1200.0),
        layout=tabs,
    ),
    Take(
        name="tove-harbourne-sj",
        seed=32,
        kind=JumpKind.SJ,
        mass_kg=75.2,
        heights_m=(0.371, 0.366),
        plates=Plates(rate_hz=1200.0),
        layout=tabs,
    ),
    Take(
        name="kasimir-mooring-cmj",
        seed=41,
        kind=JumpKind.CMJ,
        mass_kg=94.8,
        heights_m=(0.447,),
        plates=Plates(),
        layout=plain,
    ),
    Take(
        name="juno-breakwater-august-cmj",
        seed=13,
        kind=JumpKind.CMJ,
        mass_kg=69.9,
        heights_m=(0.302, 0.309, 0.306),
        plates=Plates(rate_hz=500.0),
        layout=plain,
        left_shares=(0.51, 0.53, 0.54, 0.56),
    ),
    Take(
        name="juno-breakwater-october-cmj",
        seed=14,
        kind=JumpKind.CMJ,
        mass_kg=69.6,
        heights_m=(0.309, 0.304, 0.312),
        plates=Plates(rate_hz=500.0),
        layout=plain,
        left_shares=(0.51, 0.53, 0.54, 0.56),
    ),
    Take(
        name="pim-gullivane-august-cmj",
        seed=23,
        kind=JumpKind.CMJ,
        mass_kg=80.1,
        heights_m=(0.347, 0.344, 0.350),
        plates=Plates(rate_hz=500.0, noise_n=3.0),
        layout=semicolons,
    ),
    Take(
        name="tove-harbourne-july-cmj",
        seed=33,
        kind=JumpKind.CMJ,
        mass_kg=74.8,
        heights_m=(0.396, 0.401, 0.393),
        plates=Plates(rate_hz=500.0),
        layout=tabs,
    ),
    Take(
        name="tove-harbourne-september-cmj",
        seed=34,
        kind=JumpKind.CMJ,
        mass_kg=75.0,
        heights_m=(0.404, 0.399, 0.406),
        plates=Plates(rate_hz=500.0),
        layout=tabs,
    ),
    Take(
        name="kasimir-mooring-june-cmj",
        seed=42,
        kind=JumpKind.CMJ,
        mass_kg=95.6,
        heights_m=(0.431, 0.436),
        plates=Plates(rate_hz=500.0),
        layout=plain,
    ),
    Take(
        name="kasimir-mooring-september-cmj",
        seed=43,
        kind=JumpKind.CMJ,
        mass_kg=95.1,
        heights_m=(0.440, 0.443),
        plates=Plates(rate_hz=500.0),
        layout=plain,
    ),
)


def record(take: Take) -> tuple[str, Simulated]:
    """Make one recording: the text of its file, and what it was made from."""
    simulated = simulate(take.plan(), take.seed, name=take.name)
    return take.layout(simulated.trace), simulated


def main(folder: Path) -> None:
    """Write every recording and `truth.json` into a folder."""
    truths: dict[str, Any] = {}
    for take in TAKES:
        text, simulated = record(take)
        (folder / f"{take.name}.csv").write_text(text, encoding="utf-8", newline="\n")
        truths[take.name] = [_rounded(asdict(truth)) for truth in simulated.truths]
    body = {"note": INVENTED, "recordings": truths}
    text = json.dumps(body, indent=1) + "\n"
    (folder / "truth.json").write_text(text, encoding="utf-8", newline="\n")


def _rounded(truth: dict[str, Any]) -> dict[str, Any]:
    return {k: round(v, 6) if isinstance(v, float) else v for k, v in truth.items()}


if __name__ == "__main__":
    main(Path(sys.argv[1]))
