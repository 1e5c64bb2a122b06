"""`countermove account`: for whoever has the machine and not the password."""

from __future__ import annotations

from typing import Annotated

import typer

from countermove.cli.open import Folder
from countermove.cli.serving import practice_folder, say_and_leave, set_up

account = typer.Typer(
    help="Mend an account from this machine.", no_args_is_help=True, rich_markup_mode=None
)


@account.callback()
def _account() -> None:
    """Mend an account from this machine."""


@account.command()
def reset(
    name: Annotated[str, typer.Argument(help="The user name.", metavar="NAME")],
    data: Folder = None,
    drop_second_factor: Annotated[
        bool, typer.Option("--drop-second-factor", help="Also turn the second factor off.")
    ] = False,
) -> None:
    """Print a one-time token that sets a new password."""
    folder = practice_folder(data)
    if not (folder / "practice.sqlite3").exists() and not _has_server():
        say_and_leave(f"{folder} holds no practice; name its folder by --data")
    set_up(folder, "desk")
    typer.echo(token_for(name, drop_second_factor=drop_second_factor))


def token_for(name: str, *, drop_second_factor: bool) -> str:
    """Give what to tell about a new token for an account; leave if there is no such account."""
    from allauth.mfa.models import Authenticator

    from countermove.clinic.accounts.models import User
    from countermove.clinic.accounts.tokens import issue

    user = User.objects.filter(username__iexact=name).first()
    if user is None:
        known = ", ".join(User.objects.order_by("username").values_list("username", flat=True))
        say_and_leave(f"no account goes by {name!r}; there is {known or 'none yet'}")
        return ""
    if drop_second_factor:
        Authenticator.objects.filter(user=user).delete()
    token = issue(user)
    return f"One-time token for {user.name}, good for an hour, at /account/token/:\n    {token}"


def _has_server() -> bool:
    import os

    return bool(os.environ.get("COUNTERMOVE_DATABASE"))
