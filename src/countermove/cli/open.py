"""`countermove open`: the practice in the browser."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from countermove.cli.beside import worker_beside
from countermove.cli.serving import (
    DEFAULT_PORT,
    bring_up_to_date,
    free_port,
    is_up_to_date,
    make_folder,
    only_process,
    only_worker,
    open_browser,
    practice_folder,
    serve,
    set_up,
)


class Profile(StrEnum):
    """How the practice is served."""

    DESK = "desk"
    SITE = "site"


Folder = Annotated[
    Path | None,
    typer.Option("--data", help="The practice's folder; else $COUNTERMOVE_DATA, else at home."),
]
Port = Annotated[int, typer.Option(min=1, max=65535, help="Where it answers on this machine.")]
NoBrowser = Annotated[bool, typer.Option("--no-browser", help="Only print the address.")]


def open_practice(
    data: Folder = None,
    port: Port = DEFAULT_PORT,
    no_browser: NoBrowser = False,
    profile: Annotated[
        Profile, typer.Option(help="desk: this machine alone; site: behind a proxy with TLS.")
    ] = Profile.DESK,
) -> None:
    """Open the practice in the browser."""
    folder = practice_folder(data)
    make_folder(folder)
    set_up(folder, profile)
    with only_process(folder), worker_beside(folder) as start_worker:
        free_port(port)
        leave_if_worker_is_behind(folder)
        bring_up_to_date(collect=profile is Profile.SITE)
        begin = first_token()

        def tell(address: str) -> None:
            typer.echo(_welcome(folder, address, begin))
            start_worker()
            if not no_browser and profile is Profile.DESK:
                open_browser(f"{address}/start/" if begin else address)

        serve(port, when_up=tell)


def leave_if_worker_is_behind(folder: Path) -> None:
    """Leave if a worker of an older version is at the tables that are about to change."""
    if not is_up_to_date():
        with only_worker(folder):
            pass


def first_token() -> str | None:
    """Give a token for the owner's account if there is no account yet."""
    from countermove.clinic.accounts.models import User
    from countermove.clinic.accounts.tokens import issue

    return None if User.objects.exists() else issue()


def _welcome(folder: Path, address: str, begin: str | None) -> str:
    lines = [f"The practice in {folder}", f"is open at {address} on this machine."]
    if begin:
        lines += [
            "",
            "Nobody has an account yet. Make the owner's with this one-time token (one hour):",
            f"    {begin}",
        ]
    return "\n".join([*lines, "", "Ctrl+C ends it; what was saved stays."])
