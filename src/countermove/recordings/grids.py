"""Forces onto the even axis: gaps filled between neighbours, and marked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from countermove.errors import UnreadableRecording
from countermove.record import QualityNote, Severity
from countermove.recordings.clock import Clock
from countermove.recordings.text import counted

MISSING_MOST = 0.2  # our default: with more than this lost, a jump is not to be trusted
MISSING_MANY = 0.02  # our default: from here the whole recording is doubted


@dataclass(frozen=True)
class Gridded:
    """Force on an even axis, shape (n_plates, n_samples), and where it was filled in."""

    force: NDArray[np.float64]
    missing: NDArray[np.bool_]
    start_s: float
    notes: tuple[QualityNote, ...]


def on_even_grid(columns: list[NDArray[np.float64]], clock: Clock) -> Gridded:
    """
    Put the rows of a file on an even axis.

    Parameters
    ----------
    columns : list of ndarray, shape (n_rows,)
        One a plate; NaN where no sample was taken.
    clock : Clock
        Where the rows stand.

    Raises
    ------
    UnreadableRecording
        If nothing, or too little, was recorded.
    """
    force = np.empty((len(columns), columns[0].size))
    for plate, column in zip(force, columns, strict=True):
        plate[:] = column
    if clock.rows is not None:
        force = force[:, clock.rows]
    known = np.isfinite(force)
    if clock.places is None and known.all():
        return Gridded(force, np.zeros(force.shape[1], dtype=bool), clock.start_s, ())
    force, places, lead = _between_ends(force, known, clock)
    force, missing = _filled(force, places)
    return Gridded(
        force, missing, clock.start_s + lead / clock.rate_hz, _note(missing, clock.rate_hz)
    )


def _between_ends(
    force: NDArray[np.float64], known: NDArray[np.bool_], clock: Clock
) -> tuple[NDArray[np.float64], NDArray[np.float64], float]:
    """Cut off ends in which a plate has no samples: nothing stands beside them to fill from."""
    inside = np.flatnonzero(known.all(axis=0))
    if not inside.size:
        raise UnreadableRecording(
            "the force columns hold no numbers, only gaps; check the plate's channels and export"
            " again"
        )
    first, last = int(inside[0]), int(inside[-1]) + 1
    places = np.arange(force.shape[1], dtype=float) if clock.places is None else clock.places
    lead = float(places[first])
    return force[:, first:last], places[first:last] - lead, lead


def _filled(
    force: NDArray[np.float64], places: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    n_samples = round(float(places[-1])) + 1
    n_rows = int(np.isfinite(force).all(axis=0).sum())
    if n_samples - n_rows > MISSING_MOST * n_samples:
        raise UnreadableRecording(
            f"{n_samples - n_rows} of {n_samples} samples are missing; a jump cannot be trusted"
            " with so many gaps: check the plate's connection and record again"
        )
    axis = np.arange(n_samples, dtype=float)
    even = np.empty((force.shape[0], n_samples))
    missing = np.zeros(n_samples, dtype=bool)
    for line, plate in zip(even, force, strict=True):
        known = np.isfinite(plate)
        line[:] = np.interp(axis, places[known], plate[known])
        missing |= _without_row(n_samples, places[known])
    return even, missing


def _without_row(n_samples: int, places: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Mark samples that no row of the file stands on or beside."""
    absent = np.ones(n_samples, dtype=bool)
    absent[np.floor(places).astype(int)] = False
    absent[np.minimum(np.ceil(places).astype(int), n_samples - 1)] = False
    return absent


def _note(missing: NDArray[np.bool_], rate_hz: float) -> tuple[QualityNote, ...]:
    count = int(missing.sum())
    if not count:
        return ()
    edges = np.flatnonzero(np.diff(np.concatenate(([False], missing, [False]))))
    lengths = np.diff(edges)[::2]
    longest_ms = 1000 * float(lengths.max()) / rate_hz
    share = count / missing.size
    return (
        QualityNote(
            code="dropped-samples",
            severity=Severity.DOUBT if share > MISSING_MANY else Severity.NOTE,
            text=f"Of {missing.size} samples {count} {'was' if count == 1 else 'were'} not"
            f" recorded, in {counted(lengths.size, 'gap')}, the longest {longest_ms:.3g} ms; the"
            " force there was drawn straight between its neighbours.",
        ),
    )
