"""Documents to print and hand over: what an examination says, for the person it is about."""

from __future__ import annotations

from countermove.documents.hand_out import hand_out

__all__ = ["hand_out"]
