"""`countermove examine`: the main job on one athlete file."""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from countermove.cli.failure import failure, leave

if TYPE_CHECKING:
    from countermove.catalogue import Catalogue
    from countermove.record import Examination


class PaperSize(StrEnum):
    """The sheets that a hand-out is laid out for."""

    A4 = "a4"
    US_LETTER = "us-letter"


def examine(
    file: Annotated[Path, typer.Argument(help="Athlete file, TOML or JSON.", metavar="ATHLETE")],
    on: Annotated[
        datetime | None,
        typer.Option(formats=["%Y-%m-%d"], help="Judge the visit of this day, not the last one."),
    ] = None,
    pdf: Annotated[
        Path | None,
        typer.Option(help="Write the athlete's hand-out here, too.", metavar="FILE.pdf"),
    ] = None,
    paper: Annotated[PaperSize, typer.Option(help="Paper of the hand-out.")] = PaperSize.A4,
    emergency: Annotated[str, typer.Option(help="Emergency number on the hand-out.")] = "112",
    json: Annotated[bool, typer.Option("--json", help="Print everything as JSON.")] = False,
) -> None:
    """Do the main job on one athlete file."""
    from countermove.catalogue import load_catalogue
    from countermove.cli.files import examine_file
    from countermove.cli.page import examination_page
    from countermove.codec import EXAMINATION
    from countermove.errors import CountermoveError

    if pdf is not None and pdf.suffix.lower() != ".pdf":
        raise typer.BadParameter(
            f"{pdf} was met, a name ending in .pdf is needed", param_hint="--pdf"
        )
    catalogue = load_catalogue()
    try:
        examination = examine_file(file, catalogue, on=on.date() if on else None)
    except (CountermoveError, OSError, UnicodeDecodeError) as error:
        _say_failure(file, failure(error), as_json=json)
        return
    page = examination_page(examination, catalogue)
    typer.echo(EXAMINATION.to_json(examination) if json else page)
    if pdf is not None:
        _hand_out(examination, catalogue, pdf, paper=paper, emergency=emergency)


def _say_failure(file: Path, said: dict[str, Any], *, as_json: bool) -> None:
    """Say what is wrong, as a program reads it too, and leave; a day without visit is wrong use."""
    from countermove.codec import to_json

    typer.echo(f"{file}: {said['text']}", err=True)
    if as_json:
        typer.echo(to_json({"document": "examination", "schema": 1, "error": said}))
    leave([said], asked=("ambiguous", "no-visit"))


def _hand_out(
    examination: Examination, catalogue: Catalogue, pdf: Path, *, paper: PaperSize, emergency: str
) -> None:
    """Write the hand-out and say so; a file that cannot be written ends with exit code 1."""
    from countermove.cli.whole_files import write_whole
    from countermove.documents import hand_out
    from countermove.errors import CountermoveError

    try:
        write_whole(pdf, hand_out(examination, catalogue, paper=paper.value, emergency=emergency))
    except CountermoveError as error:
        typer.echo(f"{pdf}: {error}", err=True)
        leave([failure(error)])
    except OSError as error:
        typer.echo(f"{pdf}: the hand-out could not be written: {error.strerror}", err=True)
        leave([failure(error)])
    else:
        typer.echo(f"{pdf}: hand-out for {examination.name}, on {paper.value} paper", err=True)
