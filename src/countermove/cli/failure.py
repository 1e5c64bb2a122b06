"""What a failed file says, and the exit code it leaves."""

from __future__ import annotations

from collections.abc import Container, Sequence
from typing import Any

import typer

from countermove.errors import AmbiguousRecording, CountermoveError

FAILED, ASKED = 1, 2


def failure(error: Exception) -> dict[str, Any]:
    """Give an error as ``code`` and ``text``, and the ``flag`` that would settle it."""
    if isinstance(error, AmbiguousRecording):
        return {"code": error.code, "text": str(error), "flag": error.flag}
    if isinstance(error, CountermoveError):
        return {"code": error.code, "text": str(error)}
    return {"code": "file", "text": _about_file(error)}


def _about_file(error: Exception) -> str:
    if isinstance(error, FileNotFoundError):
        return "no such file; check the name and the folder"
    if isinstance(error, IsADirectoryError):
        return "this is a folder; name the files in it"
    if isinstance(error, PermissionError):
        return "the file may not be read; ask whoever owns it"
    return f"the file could not be read or written: {getattr(error, 'strerror', None) or error}"


def leave(
    errors: Sequence[dict[str, Any]], *, asked: Container[str] = (AmbiguousRecording.code,)
) -> None:
    """End with 2 if a code is one that the user settles with a flag, with 1 if any file failed."""
    if any(error["code"] in asked for error in errors):
        raise typer.Exit(ASKED)
    if errors:
        raise typer.Exit(FAILED)
