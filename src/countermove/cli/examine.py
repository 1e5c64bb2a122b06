"""`countermove examine`: the main job on one athlete file."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from countermove.cli.failure import failure, leave


def examine(
    file: Annotated[Path, typer.Argument(help="Athlete file, TOML or JSON.", metavar="ATHLETE")],
    on: Annotated[
        datetime | None,
        typer.Option(formats=["%Y-%m-%d"], help="Judge the visit of this day, not the last one."),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
) -> None:
    """Do the main job on one athlete file."""
    from countermove.catalogue import load_catalogue
    from countermove.cli.files import examine_file
    from countermove.cli.page import examination_page
    from countermove.codec import EXAMINATION
    from countermove.errors import CountermoveError

    catalogue = load_catalogue()
    try:
        examination = examine_file(file, catalogue, on=on.date() if on else None)
    except (CountermoveError, OSError, UnicodeDecodeError) as error:
        said = failure(error)
        typer.echo(f"{file}: {said['text']}", err=True)
        leave([said])
        return
    page = examination_page(examination, catalogue)
    typer.echo(EXAMINATION.to_json(examination) if json else page)
