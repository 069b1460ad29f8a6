"""Heights as the job file words them, worked out from its [stock] alone. z in mm, upward.

All that is measured is measured here; nothing else in the audit turns a depth into a z.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from pathkit.jobs.audit.tolerances import HAIR, ROUNDING

THROUGH: Final = 0.3
"""mm past the underside, where a cut goes right through and no more is said."""


def height(depth: Mapping[str, Any], stock: Mapping[str, Any]) -> float:
    """z of a depth. Measured from the nominal top, up from the bed, or past the underside of the thickest board."""
    if depth.get("from_top") is not None:
        return top(stock) - float(depth["from_top"])
    if depth.get("above_bed") is not None:
        return bed(stock) + float(depth["above_bed"])
    past = depth["through"]
    return lowest_underside(stock) - (THROUGH if past is True else float(past))


def top(stock: Mapping[str, Any]) -> float:
    """The nominal top: 0 with zero on it, else underlay and board above the bed."""
    return 0.0 if stock["z_zero"] == "top" else float(stock["underlay"]) + float(stock["thickness"])


def highest_top(stock: Mapping[str, Any]) -> float:
    """The top of the thickest board: with zero on the top it is the top, whatever the board."""
    spread = float(stock["thickness_tolerance"]) + float(stock["underlay_tolerance"])
    return top(stock) if stock["z_zero"] == "top" else top(stock) + spread


def underside(stock: Mapping[str, Any]) -> float:
    """The nominal underside."""
    return top(stock) - float(stock["thickness"])


def bed(stock: Mapping[str, Any]) -> float:
    """The bed below a board and an underlay that are as thick as they say."""
    return underside(stock) - float(stock["underlay"])


def lowest_underside(stock: Mapping[str, Any]) -> float:
    """Where the underside lies at its lowest: that of the thickest board, or on the thinnest underlay."""
    by = "thickness_tolerance" if stock["z_zero"] == "top" else "underlay_tolerance"
    return underside(stock) - float(stock[by])


def highest_underside(stock: Mapping[str, Any]) -> float:
    """Where the underside lies at its highest: that of the thinnest board, or on the thickest underlay."""
    by = "thickness_tolerance" if stock["z_zero"] == "top" else "underlay_tolerance"
    return underside(stock) + float(stock[by])


def goes_through(bottom: float, stock: Mapping[str, Any]) -> bool | None:
    """Whether a cut down to ``bottom`` goes through: True, False, or None where that hangs on the board's thickness."""
    if bottom <= lowest_underside(stock) + HAIR:
        return True
    return False if bottom > highest_underside(stock) + HAIR else None


def wood_above(begins: float | None, stock: Mapping[str, Any]) -> float:
    """z of the highest wood that a cut may meet which begins at a height; None is the board's own top."""
    if begins is None:
        return highest_top(stock)
    on_top = begins >= top(stock) - ROUNDING
    return max(begins, highest_top(stock)) if on_top else begins
