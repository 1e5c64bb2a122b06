"""The published checks as a page in the terminal: worst first, misses included."""

from __future__ import annotations

from collections.abc import Sequence

from countermove.cli.text import RULE, page, paragraph
from countermove.evidence import CheckResult


def evidence_page(results: Sequence[CheckResult]) -> str:
    """Give one line a check; misses say why."""
    held = sum(result.holds for result in results)
    sources = len({result.check.source for result in results})
    head = f"{held} of {len(results)} checks hold, from {sources} sources. Worst first."
    columns = f"{'printed':>12} {'ours':>12} {'allowed':>9}  {'check':<38} source"
    return page([RULE, head, "\n".join([columns, *[_line(result) for result in results]])])


def _line(result: CheckResult) -> str:
    check = result.check
    mark = " " if result.holds else "×"
    numbers = f"{_short(check.printed):>11} {_short(result.ours):>12} {check.tolerance:>9.3g}"
    line = f"{mark}{numbers}  {result.key:<38} {check.source} ({check.status})"
    if not check.misses:
        return line
    return f"{line}\n{paragraph(check.misses, indent=4, first='misses: ')}"


def _short(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.6g}"
