"""From files to results: the steps behind the commands, each one call to the rooms."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import msgspec

from countermove.catalogue import Catalogue
from countermove.cli.failure import failure
from countermove.club import __file__ as club_file
from countermove.codec import read_athlete
from countermove.errors import AmbiguousRecording, BadDocument, CountermoveError
from countermove.jumps import analyse_jumps
from countermove.record import Examination, JumpKind, Recording, Trial
from countermove.recordings import ForceOptions, ForceTrace, parse_force, read_force

JUMP_SCHEMA = 1
FIELD_OF_FLAG = {"--rate": "rate_hz"}
MEGABYTE = 2**20
MAX_ATHLETE_BYTES = 8 * MEGABYTE  # our default: years of visits are under 1 MB


def analyse_file(
    file: Path,
    options: ForceOptions,
    *,
    kind: JumpKind | None = None,
    mass_kg: float | None = None,
    weighing_s: tuple[float, float] | None = None,
) -> dict[str, Any]:
    """
    Give one recording's report, the object that `countermove jump --json` prints.

    Returns
    -------
    dict
        ``schema``, ``file``, ``sha256``, ``kind``, the flat values of a single trial, ``quality``;
        with several trials the flat values are None, ``trials`` holds them and ``quality`` what
        reading noticed. A file that cannot be used gives ``error`` with ``code`` and ``text``.
    """
    heading = {"schema": JUMP_SCHEMA, "file": str(file)}
    try:
        trace = read_force(file, options)
        trials = analyse_jumps(trace, kind=kind, mass_kg=mass_kg, weighing_s=weighing_s)
    except (CountermoveError, OSError) as error:
        return heading | {"error": failure(error)}
    read: list[dict[str, Any]] = msgspec.to_builtins(trace.notes)
    return heading | {"sha256": trace.sha256} | _values(trials, read)


def _values(trials: tuple[Trial, ...], read: list[dict[str, Any]]) -> dict[str, Any]:
    """Give a single trial flat, or several as a list under flat nulls; reading's notes on top."""
    each: list[dict[str, Any]] = [msgspec.to_builtins(trial) for trial in trials]
    if len(each) == 1:
        return each[0] | {"quality": [*each[0]["quality"], *read], "trials": None}
    kinds = {trial["kind"] for trial in each}
    flat = dict.fromkeys(each[0]) | {"kind": kinds.pop() if len(kinds) == 1 else None}
    return flat | {"phases": [], "quality": read, "trials": each}


def examine_file(file: Path, catalogue: Catalogue, *, on: date | None = None) -> Examination:
    """
    Read an athlete file and examine it, with the recordings it names.

    Raises
    ------
    CountermoveError
        If the file does not fit, or a measurement in it cannot be true.
    OSError
        If it cannot be read.
    """
    # Imported here because `countermove jump` has no use for it, and it opens SciPy.
    from countermove.examination import examine

    athlete = read_athlete(_text_of(file))
    return examine(athlete, read_trials=trials_beside(file.parent), catalogue=catalogue, on=on)


def _text_of(file: Path) -> str:
    with file.open("rb") as stream:
        data = stream.read(MAX_ATHLETE_BYTES + 1)
    if len(data) > MAX_ATHLETE_BYTES:
        raise BadDocument(
            f"$: the file has more than {MAX_ATHLETE_BYTES // MEGABYTE} MB, an athlete file has"
            " under 1 MB; pass the athlete file, which names its recordings"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise BadDocument("$: the file is not UTF-8 text; save it again as UTF-8") from None


def trials_beside(folder: Path) -> Callable[[Recording], tuple[Trial, ...]]:
    """Give a reader of recordings whose paths count from a folder."""

    def read_trials(recording: Recording) -> tuple[Trial, ...]:
        try:
            trace = _trace(folder, recording)
        except AmbiguousRecording as error:
            field = FIELD_OF_FLAG.get(error.flag, error.flag.removeprefix("--").replace("-", "_"))
            hint = f"in the athlete file, write {field} beside the recording's path"
            raise AmbiguousRecording(f"{error} ({hint})", flag=error.flag) from None
        return analyse_jumps(
            trace,
            kind=recording.kind,
            mass_kg=recording.mass_kg,
            weighing_s=recording.weighing_s,
        )

    return read_trials


def _trace(folder: Path, recording: Recording) -> ForceTrace:
    """Read a recording; one of the invented club that does not lie there as a file is made."""
    file, options = folder / recording.path, options_of(recording)
    if not file.exists() and folder.parent.samefile(Path(club_file).parent):
        # Imported here because nobody else's recordings are made, and making opens SciPy.
        from countermove.club.tape import recording_bytes

        return parse_force(recording_bytes(recording.path), name=recording.path, options=options)
    return read_force(file, options)


def options_of(recording: Recording) -> ForceOptions:
    """Give what the record says of a recording's file, for the reader."""
    return ForceOptions(
        rate_hz=recording.rate_hz,
        unit=recording.unit or None,
        columns=recording.columns,
        left=recording.left or None,
        right=recording.right or None,
        time=recording.time or None,
        time_unit=recording.time_unit or None,
        decimal=recording.decimal or None,
        separator=recording.separator or None,
    )
