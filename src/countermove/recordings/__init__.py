"""Outside files to arrays with units."""

from countermove.recordings.trace import ForceTrace

__all__ = ["ForceTrace"]
