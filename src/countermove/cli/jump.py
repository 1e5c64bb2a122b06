"""`countermove jump`: recordings to jumps."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from countermove.cli.arguments import pair, words
from countermove.cli.failure import leave
from countermove.errors import AmbiguousRecording, BadInput
from countermove.record.words import JumpKind

if TYPE_CHECKING:
    from countermove.recordings import ForceOptions

# What one flag settles: a file that fits two readings, a mass or a window that cannot be.
ASKED = (AmbiguousRecording.code, BadInput.code)


def jump(
    files: Annotated[
        list[Path],
        typer.Argument(help="Force-plate recordings (CSV or text).", metavar="FILE"),
    ],
    kind: Annotated[JumpKind | None, typer.Option(help="The jump that was asked for.")] = None,
    mass: Annotated[float | None, typer.Option(help="Known body mass. [kg]")] = None,
    weigh: Annotated[str, typer.Option(help="Weigh here: FROM,TO. [s]")] = "",
    rate: Annotated[float | None, typer.Option(help="Samples a second. [Hz]")] = None,
    unit: Annotated[str, typer.Option(help="Unit of the force: N, kN, kgf, lbf.")] = "",
    columns: Annotated[str, typer.Option(help="Force columns, by name or number: A,B.")] = "",
    left: Annotated[str, typer.Option(help="Force column of the left foot.")] = "",
    right: Annotated[str, typer.Option(help="Force column of the right foot.")] = "",
    time: Annotated[str, typer.Option(help="Time column, by name or number.")] = "",
    time_unit: Annotated[str, typer.Option(help="Unit of the time column: s, ms.")] = "",
    decimal: Annotated[str, typer.Option(help="Decimal mark: . or ,")] = "",
    separator: Annotated[str, typer.Option(help="tab, comma, semicolon or space.")] = "",
    json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
) -> None:
    """Analyse recordings of jumps."""
    from countermove.cli.files import analyse_file

    options = _options(
        rate_hz=rate,
        unit=unit or None,
        columns=words(columns),
        left=left or None,
        right=right or None,
        time=time or None,
        time_unit=time_unit or None,
        decimal=decimal or None,
        separator=separator or None,
    )
    window = pair(weigh, flag="--weigh")
    reports = [
        analyse_file(file, options, kind=kind, mass_kg=mass, weighing_s=window) for file in files
    ]
    _show(reports, as_json=json)
    leave([report["error"] for report in reports if "error" in report], asked=ASKED)


def _options(**answers: Any) -> ForceOptions:
    """Put the answers together; one that cannot be true is wrong use, not a failed file."""
    from countermove.recordings import ForceOptions

    try:
        return ForceOptions(**answers)
    except BadInput as error:
        raise typer.BadParameter(str(error)) from None


def _show(reports: list[dict[str, Any]], *, as_json: bool) -> None:
    if as_json:
        from countermove.codec import to_json

        typer.echo(to_json(reports))
        return
    from countermove.cli.jump_page import jump_page

    for report in reports:
        if "error" in report:
            typer.echo(f"{report['file']}: {report['error']['text']}", err=True)
        else:
            typer.echo(jump_page(report))
