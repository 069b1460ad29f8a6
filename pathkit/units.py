"""Units at the edges. Inside everything is millimetres, mm/min, rpm, seconds and degrees."""

from __future__ import annotations

from typing import Final

MM_PER_INCH: Final = 25.4
"""Exact by definition: international yard and pound agreement, 1959."""

MM_PER_UNIT: Final = {"mm": 1.0, "inch": MM_PER_INCH}
"""Length units that a file may use, and how many millimetres each has."""
