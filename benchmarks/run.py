"""Run every benchmark and write the table in docs/performance.md."""

import json
import os
import platform
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent
PAGE = ROOT / "docs" / "performance.md"
BEGIN, END = "<!-- measured: begin -->", "<!-- measured: end -->"
BENCHMARKS = ("start_up", "opening", "jump_metrics", "read_csv", "pages", "saves")


def measure(name: str) -> list[dict[str, Any]]:
    """Run one benchmark in a process of its own and read its JSON lines."""
    command = [sys.executable, "-m", f"benchmarks.{name}"]
    done = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True)
    return [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]


def machine() -> str:
    model = "processor not named"
    info = Path("/proc/cpuinfo")
    if info.exists():
        names = [
            line.split(":")[1].strip()
            for line in info.read_text().splitlines()
            if "model name" in line
        ]
        model = names[0] if names else model
    return (
        f"{os.cpu_count()} cores, {model}, {platform.system()}, Python {platform.python_version()}"
    )


def table(rows: list[dict[str, Any]]) -> str:
    head = "| what | measured | budget |\n|---|---|---|\n"
    lines = [f"| {row['what']} | {row['measured']} | {row['budget']} |" for row in rows]
    return f"{head}{chr(10).join(lines)}\n\n{machine()}; {date.today():%d %B %Y}.\n"


def main() -> None:
    rows: list[dict[str, Any]] = []
    for name in BENCHMARKS:
        new = measure(name)
        print(
            *(f"{row['what']}: {row['measured']} (budget {row['budget']})" for row in new), sep="\n"
        )
        rows += new
    before, _, rest = PAGE.read_text().partition(BEGIN)
    _, _, after = rest.partition(END)
    PAGE.write_text(f"{before}{BEGIN}\n{table(rows)}{END}{after}")


if __name__ == "__main__":
    main()
