"""How long `countermove --help` takes, whole process, warm disk."""

import json
import statistics
import subprocess
import sys
import time

RUNS = 15


def seconds(command: list[str]) -> float:
    began = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    return time.perf_counter() - began


def main() -> None:
    helping = [sys.executable, "-m", "countermove", "--help"]
    bare = [sys.executable, "-c", "pass"]
    pairs = [(seconds(helping), seconds(bare)) for _ in range(RUNS)]
    median = statistics.median(pair[0] for pair in pairs)
    ratio = statistics.median(pair[0] / pair[1] for pair in pairs)
    measured = f"{median:.2f} s ({ratio:.1f} times an empty Python)"
    print(json.dumps({"what": "`countermove --help`", "measured": measured, "budget": "0.3 s"}))


if __name__ == "__main__":
    main()
