"""`countermove demo`: the invented club, in the browser or as text."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated

import typer

from countermove.cli.beside import worker_beside
from countermove.cli.open import NoBrowser, Port
from countermove.cli.serving import (
    DEFAULT_PORT,
    bring_up_to_date,
    free_port,
    open_browser,
    serve,
    set_up,
)

PRACTITIONER = "R. Fenwick-Shoal"  # invented, like everybody in the club


def demo(
    port: Port = DEFAULT_PORT,
    no_browser: NoBrowser = False,
    text: Annotated[bool, typer.Option("--text", help="Print findings, open nothing.")] = False,
) -> None:
    """Show the main job on an invented club."""
    if text:
        show_text()
        return
    free_port(port)
    with TemporaryDirectory(prefix="countermove-demo-") as folder:
        (Path(folder) / "demo").touch()
        set_up(Path(folder), "demo")
        bring_up_to_date()
        fill()

        with worker_beside(Path(folder)) as start_worker:

            def tell(address: str) -> None:
                typer.echo(_welcome(address))
                start_worker()
                if not no_browser:
                    open_browser(address)

            serve(port, when_up=tell)


def fill() -> None:
    """Bring the club into the practice and examine everybody."""
    from countermove.catalogue import load_catalogue
    from countermove.clinic.accounts.models import User
    from countermove.clinic.practice.models import Membership, Site
    from countermove.clinic.practice.roles import Role
    from countermove.clinic.work.club import bring_in
    from countermove.club import CLUB_NAME, athlete_keys

    user = User(username="demo", name=PRACTITIONER)
    user.set_unusable_password()
    user.save()
    site = Site.objects.create(name=CLUB_NAME)
    Membership.objects.create(user=user, site=site, role=Role.OWNER)
    catalogue = load_catalogue()
    for key in athlete_keys():
        bring_in(key, site, user, catalogue)


def show_text() -> None:
    """Print what was found in everybody."""
    from countermove.catalogue import load_catalogue
    from countermove.cli.page import examination_page
    from countermove.club import CLUB_NAME, athlete_keys, club_athlete
    from countermove.club.results import trials_of
    from countermove.examination import examine

    catalogue = load_catalogue()
    typer.echo(f"{CLUB_NAME}. Its people and every number of theirs are made up.\n")
    for key in athlete_keys():
        found = examine(club_athlete(key), read_trials=trials_of(key), catalogue=catalogue)
        typer.echo(examination_page(found, catalogue))


def _welcome(address: str) -> str:
    from countermove.club import CLUB_NAME

    return (
        f"{CLUB_NAME} is open at {address} on this machine, without a password.\n"
        "Its people and every number of theirs are made up, and nothing is kept.\n"
        f"A tour in five minutes: {address}/tour/\n\n"
        "Ctrl+C ends it."
    )
