"""`countermove demo`: the main job on the invented club."""

from __future__ import annotations

from importlib import resources

import typer

INVENTED = "Harbour Lane Volleyball. The club, its people and every number of theirs are invented."


def demo() -> None:
    """Examine every athlete of the invented club, with their recordings, as a readable page."""
    from countermove.catalogue import load_catalogue
    from countermove.cli.files import examine_file
    from countermove.cli.page import examination_page
    from countermove.club import athlete_files

    catalogue = load_catalogue()
    typer.echo(f"{INVENTED}\n")
    with resources.as_file(resources.files("countermove.club") / "athletes") as folder:
        for name in athlete_files():
            typer.echo(examination_page(examine_file(folder / name, catalogue), catalogue))
