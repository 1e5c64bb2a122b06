"""The one shape every force recording takes, whatever file it came from."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from countermove.record import QualityNote, Side


@dataclass(frozen=True, kw_only=True, eq=False)
class ForceTrace:
    """
    Vertical force under one athlete, on one even time axis.

    Attributes
    ----------
    force_n : ndarray, shape (n_plates, n_samples)
        Vertical force on each plate, upward on the athlete positive, as recorded: nothing filtered,
        no baseline taken off. [N]
    rate_hz : float
        Samples a second. [Hz]
    start_s : float
        Time of the first sample on the recording's own axis. [s]
    sides : tuple of Side or None, length n_plates
        Which foot stood on each plate; None where the file does not say.
    missing : ndarray of bool, shape (n_samples,)
        True where the file held no sample and the force was filled in between its neighbours.
    notes : tuple of QualityNote
        What was noticed and turned over while reading (unit, sign, gaps).
    name, sha256 : str
        File name, and hash of its bytes.
    """

    force_n: NDArray[np.float64]
    rate_hz: float
    start_s: float
    sides: tuple[Side | None, ...]
    missing: NDArray[np.bool_]
    notes: tuple[QualityNote, ...] = ()
    name: str = ""
    sha256: str = ""

    @property
    def total_n(self) -> NDArray[np.float64]:
        """Force of all plates together, shape (n_samples,). [N]"""
        return np.asarray(self.force_n.sum(axis=0))

    @property
    def duration_s(self) -> float:
        """Length of the recording. [s]"""
        return float(self.force_n.shape[1] / self.rate_hz)
