"""
The command line: parse, call, print.

Commands open their rooms when they run, so that `countermove --help` is there at once. Messages go
to stderr, results to stdout. Exit codes: 0 good, 1 a file failed, 2 wrong use or ambiguous input.
"""

from __future__ import annotations

import sys
from typing import Annotated, TextIO

import typer

from countermove import __version__
from countermove.cli.account import account
from countermove.cli.demo import demo
from countermove.cli.evidence import evidence
from countermove.cli.examine import examine
from countermove.cli.jump import jump
from countermove.cli.open import open_practice

app = typer.Typer(
    help="Clear, measure and train an athlete's jump, link by link up the kinetic chain.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
app.command("open")(open_practice)
app.command()(demo)
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
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        _speak_utf8(stream)
    app()


def _speak_utf8(stream: TextIO) -> None:
    """Let a Windows console show ± and é; a stream that cannot be told is left as it is."""
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(encoding="utf-8", errors="replace")
