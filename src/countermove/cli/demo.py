"""`countermove demo`: the main job on the invented club."""

from __future__ import annotations

from importlib import resources

import typer


def demo() -> None:
    """Show the main job on an invented club."""
    from countermove.catalogue import load_catalogue
    from countermove.cli.files import examine_file
    from countermove.cli.page import examination_page
    from countermove.club import CLUB_NAME, athlete_keys

    catalogue = load_catalogue()
    typer.echo(f"{CLUB_NAME}. Its people and every number of theirs are made up.\n")
    with resources.as_file(resources.files("countermove.club")) as folder:
        for key in athlete_keys():
            examination = examine_file(folder / "athletes" / f"{key}.toml", catalogue)
            typer.echo(examination_page(examination, catalogue))
