"""Run the large proofs; write docs/proof/*.json with seed, machine and hash of the sources."""

import hashlib
import json
import platform
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from proof import recordings

ROOT = Path(__file__).parent.parent
OUT = ROOT / "docs" / "proof"


@dataclass(frozen=True)
class Proof:
    run: Callable[[int], dict[str, Any]]
    seed: int
    proves: tuple[str, ...]  # files and folders whose change makes the proof stale


PROOFS = {
    "recordings": Proof(
        recordings.main,
        seed=recordings.SEED,
        proves=(
            "src/countermove/jumps",
            "src/countermove/club/jumper.py",
            "src/countermove/club/jumper_faults.py",
            "src/countermove/club/jumper_motion.py",
            "src/countermove/club/jumper_plan.py",
            "proof/recordings.py",
        ),
    ),
}


def source_hash(proves: tuple[str, ...]) -> str:
    """Hash the sources that a proof stands on, in the order of their paths."""
    found = [file for place in proves for file in sorted((ROOT / place).rglob("*.py"))]
    found += [ROOT / place for place in proves if place.endswith(".py")]
    digest = hashlib.sha256()
    for file in sorted(set(found)):
        digest.update(file.relative_to(ROOT).as_posix().encode())
        digest.update(file.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()[:16]


def machine() -> dict[str, Any]:
    return {"python": platform.python_version(), "processor": platform.machine()}


def stale() -> list[str]:
    """List the proofs that are missing, or older than the sources they prove."""
    return [
        name for name, proof in PROOFS.items() if _written_hash(name) != source_hash(proof.proves)
    ]


def _written_hash(name: str) -> str:
    file = OUT / f"{name}.json"
    return json.loads(file.read_text())["sources"] if file.exists() else ""


def write(name: str, proof: Proof) -> None:
    began = time.perf_counter()
    found = proof.run(proof.seed)
    header = {
        "proof": name,
        "seed": proof.seed,
        "sources": source_hash(proof.proves),
        "machine": machine(),
        "seconds": round(time.perf_counter() - began, 1),
    }
    OUT.mkdir(parents=True, exist_ok=True)
    (OUT / f"{name}.json").write_text(json.dumps(header | found, indent=2) + "\n")


def main() -> None:
    for name in sys.argv[1:] or PROOFS:
        print(f"{name}: running", flush=True)
        write(name, PROOFS[name])
        print(f"{name}: written to docs/proof/{name}.json", flush=True)


if __name__ == "__main__":
    main()
