"""
The command line: parse, call, print.

Commands open their rooms when they run, so that `countermove --help` is there at once. Messages go
to stderr, results to stdout. Exit codes: 0 good, 1 a file failed, 2 wrong use or ambiguous input.
"""

from __future__ import annotations

import os
import sys
import traceback
from pathlib import Path
from typing import Annotated, TextIO

import typer

from countermove import __version__
from countermove.cli.account import account
from countermove.cli.demo import demo
from countermove.cli.evidence import evidence
from countermove.cli.examine import examine
from countermove.cli.failure import FAILED, failure
from countermove.cli.jump import jump
from countermove.cli.open import open_practice
from countermove.cli.work import work
from countermove.errors import CountermoveError

app = typer.Typer(
    help="Clear, measure and train an athlete's jump, link by link up the kinetic chain.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
app.command("open")(open_practice)
app.command()(demo)
app.command()(work)
app.command()(examine)
app.command()(jump)
app.command()(evidence)
app.add_typer(account, name="account")


@app.callback(invoke_without_command=True)
def _about(
    version: Annotated[bool, typer.Option("--version", help="Print the version.")] = False,
) -> None:
    if version:
        typer.echo(__version__)
        raise typer.Exit


def main() -> None:
    """Run the command line; whatever goes wrong is said in a line, never as a traceback."""
    for stream in (sys.stdout, sys.stderr):
        _speak_utf8(stream)
    try:
        app()
    except (CountermoveError, OSError) as error:
        _end(failure(error)["text"])
    except Exception as error:
        _end(_own_fault(error))


def _end(text: str) -> None:
    """Say what went wrong and leave; what stdout still holds may have nowhere to go."""
    typer.echo(f"countermove: {text}", err=True)
    try:
        typer.echo(nl=False)  # writes what is held; a stdout that was closed is passed over
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(FAILED)


def _own_fault(error: Exception) -> str:
    """Name a fault of the program by its place; its message could hold an athlete's data."""
    last = traceback.extract_tb(error.__traceback__)[-1]
    place = f"{type(error).__name__} in {Path(last.filename).name}, line {last.lineno}"
    return (
        f"a fault of the program itself was met ({place}, version {__version__}); no file of yours"
        " was changed. Report that line with the command that led to it"
    )


def _speak_utf8(stream: TextIO) -> None:
    """Let a Windows console show ± and é; a stream that cannot be told is left as it is."""
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", errors="replace")
