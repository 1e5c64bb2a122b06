"""
The club's recordings: simulated from equations of motion, written as files of several layouts.

`takes.toml` says what each was made from; the same seeds give the same bytes. A few lie beside it
as files, to try the commands on. The others are made when they are asked for, a tenth of a second
each, so that a season of them takes no room. Run ``python -m countermove.club.tape FOLDER`` to
write every one. `truth.json` holds what each jump of the stored ones really was, so that a reader
can be judged.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from enum import StrEnum
from functools import cache
from importlib import resources
from math import sqrt
from pathlib import Path
from typing import Any

import numpy as np

from countermove.club import recording_name
from countermove.club.jumper import Jump, Plan, Plates, Simulated, simulate
from countermove.codec import convert, parse
from countermove.errors import BadInput
from countermove.jumps import GRAVITY_M_S2
from countermove.record import JumpKind
from countermove.recordings import ForceTrace

RECORDINGS = resources.files("countermove.club") / "recordings"
INVENTED = "invented: simulated jumps of an invented club"


class Layout(StrEnum):
    """How a recording's table is written."""

    PLAIN = "plain"
    SEMICOLONS = "semicolons"
    TABS = "tabs"


@dataclass(frozen=True, kw_only=True)
class Take:
    """One recording to be made: who jumps, what, how high, on which plates, in which layout."""

    seed: int
    kind: JumpKind
    mass_kg: float
    heights_m: tuple[float, ...]
    plates: Plates
    layout: Layout
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
    """Time, left, right (or one plate) in newtons; comma between columns, point in numbers."""
    forces = ["force (N)"] if len(trace.force_n) == 1 else ["left (N)", "right (N)"]
    return _table(trace, ["time (s)", *forces], ",", [f"# {INVENTED}"])


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


LAYOUTS: dict[Layout, Callable[[ForceTrace], str]] = {
    Layout.PLAIN: plain,
    Layout.SEMICOLONS: semicolons,
    Layout.TABS: tabs,
}


@cache
def takes() -> Mapping[str, Take]:
    """Read what every recording is made from, by the recording's name."""
    text = (RECORDINGS / "takes.toml").read_text(encoding="utf-8")
    return convert(parse(text), dict[str, Take])


def stored() -> tuple[str, ...]:
    """Give the names of the recordings that lie in the package as files."""
    return tuple(name for name in takes() if (RECORDINGS / f"{name}.csv").is_file())


def recording_bytes(path: str) -> bytes:
    """
    Give a recording of the club by the path in its athlete's file: read, or made on the spot.

    Raises
    ------
    BadInput
        If the club has no such recording.
    """
    name = recording_name(path)
    if name not in takes():
        raise BadInput(f"{path!r} is no recording of the club; `takes.toml` lists them")
    file = RECORDINGS / f"{name}.csv"
    return file.read_bytes() if file.is_file() else record(name)[0].encode("utf-8")


def record(name: str) -> tuple[str, Simulated]:
    """Make one recording: the text of its file, and what it was made from."""
    take = takes()[name]
    simulated = simulate(take.plan(), take.seed, name=name)
    return LAYOUTS[take.layout](simulated.trace), simulated


def main(folder: Path, names: Iterable[str] = ()) -> None:
    """Write recordings, all of them unless some are named, and their `truth.json` into a folder."""
    truths: dict[str, Any] = {}
    for name in names or takes():
        text, simulated = record(name)
        (folder / f"{name}.csv").write_text(text, encoding="utf-8", newline="\n")
        truths[name] = [_rounded(asdict(truth)) for truth in simulated.truths]
    body = {"note": INVENTED, "recordings": truths}
    text = json.dumps(body, indent=1) + "\n"
    (folder / "truth.json").write_text(text, encoding="utf-8", newline="\n")


def _rounded(truth: dict[str, Any]) -> dict[str, Any]:
    return {k: round(v, 6) if isinstance(v, float) else v for k, v in truth.items()}


if __name__ == "__main__":
    main(Path(sys.argv[1]))
