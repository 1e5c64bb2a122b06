"""`countermove evidence`: every published check, worst first."""

from __future__ import annotations

from math import isfinite
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from countermove.evidence import CheckResult


def evidence(
    json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
) -> None:
    """Show every published check, worst first."""
    from countermove.catalogue import load_catalogue
    from countermove.cli.evidence_page import evidence_page
    from countermove.codec import to_json
    from countermove.evidence import run_checks

    results = run_checks(load_catalogue())
    typer.echo(to_json([_plain(r) for r in results]) if json else evidence_page(results))
    if any(result.holds is bool(result.check.misses) for result in results):
        raise typer.Exit(1)


def _plain(result: CheckResult) -> dict[str, Any]:
    import msgspec

    plain: dict[str, Any] = msgspec.to_builtins(result)
    return plain | {"off": result.off if isfinite(result.off) else None}
