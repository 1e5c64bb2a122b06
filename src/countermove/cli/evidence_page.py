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
    columns = _columns("printed", "ours", "allowed", "unit", "check", "source")
    return page([RULE, head, "\n".join([f" {columns}", *[_line(result) for result in results]])])


def _columns(printed: str, ours: str, allowed: str, unit: str, key: str, source: str) -> str:
    return f"{printed:>20} {ours:>10} {allowed:>8} {unit:<8} {key:<34} {source}"


def _line(result: CheckResult) -> str:
    check = result.check
    same = isinstance(check.printed, str) and result.holds
    line = _columns(
        _short(check.printed),
        "the same" if same else _short(result.ours),
        "" if isinstance(check.printed, str) else f"{check.tolerance:.3g}",
        check.unit.removeprefix("1"),
        result.key,
        f"{check.source} ({check.status})",
    )
    marked = f"{' ' if result.holds else '×'}{line}"
    if not check.misses:
        return marked
    return f"{marked}\n{paragraph(check.misses, indent=4, first='misses: ')}"


def _short(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.6g}"
