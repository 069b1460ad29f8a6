"""Heights as the job file gives them, worked out from its [stock] alone. z in mm, upward.

Nothing else in the audit turns a depth into a z.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Final

from pathkit.jobs.audit.tolerances import HAIR, ROUNDING

THROUGH: Final = 0.3
"""mm that a cut goes past the underside if the job file only says that it goes right through."""


def height(depth: Mapping[str, Any], stock: Mapping[str, Any]) -> float:
    """z of a depth: measured from the nominal top, up from the bed, or past the underside at its lowest."""
    if depth.get("from_top") is not None:
        return top(stock) - float(depth["from_top"])
    if depth.get("above_bed") is not None:
        return bed(stock) + float(depth["above_bed"])
    past = depth["through"]
    return lowest_underside(stock) - (THROUGH if past is True else float(past))


def foot(work: Mapping[str, Any], bit: Mapping[str, Any], stock: Mapping[str, Any]) -> float:
    """z of a chamfer's foot: with half its angle A/2 a vee is as wide as asked w / tan(A/2) above its tip, at the edge.

    Raises `ValueError` for a bit that has no such tip.
    """
    if bit["kind"] != "vee" or bit["angle"] is None:
        raise ValueError("a chamfer is cut with a vee")
    edge = top(stock) if work["top"] is None else height(work["top"], stock)
    return edge - float(work["width"]) / slope(bit)


def slope(bit: Mapping[str, Any]) -> float:
    """mm that a vee is wide to each side for each mm above its tip: the tangent of half its angle."""
    return math.tan(math.radians(float(bit["angle"]) / 2.0))


def top(stock: Mapping[str, Any]) -> float:
    """z of the nominal top: 0 if zero is there, else underlay and thickness."""
    return 0.0 if stock["z_zero"] == "top" else float(stock["underlay"]) + float(stock["thickness"])


def highest_top(stock: Mapping[str, Any]) -> float:
    """z of the top at its highest: of the thickest board and underlay; 0 for any board if zero is on the top."""
    spread = float(stock["thickness_tolerance"]) + float(stock["underlay_tolerance"])
    return top(stock) if stock["z_zero"] == "top" else top(stock) + spread


def underside(stock: Mapping[str, Any]) -> float:
    """z of the nominal underside."""
    return top(stock) - float(stock["thickness"])


def bed(stock: Mapping[str, Any]) -> float:
    """z of the bed below a board and an underlay of nominal thickness."""
    return underside(stock) - float(stock["underlay"])


def lowest_underside(stock: Mapping[str, Any]) -> float:
    """z of the underside at its lowest: of the thickest board or, with zero on the bed, on the thinnest underlay."""
    by = "thickness_tolerance" if stock["z_zero"] == "top" else "underlay_tolerance"
    return underside(stock) - float(stock[by])


def highest_underside(stock: Mapping[str, Any]) -> float:
    """z of the underside at its highest: of the thinnest board or, with zero on the bed, on the thickest underlay."""
    by = "thickness_tolerance" if stock["z_zero"] == "top" else "underlay_tolerance"
    return underside(stock) + float(stock[by])


def goes_through(bottom: float, stock: Mapping[str, Any]) -> bool | None:
    """Whether a cut down to ``bottom`` goes through: True, False, or None if that depends on the board's thickness."""
    if bottom <= lowest_underside(stock) + HAIR:
        return True
    return False if bottom > highest_underside(stock) + HAIR else None


def wood_above(begins: float | None, stock: Mapping[str, Any]) -> float:
    """z of the highest wood that a cut may meet if it begins at the height ``begins``; None is the board's own top."""
    if begins is None:
        return highest_top(stock)
    on_top = begins >= top(stock) - ROUNDING
    return max(begins, highest_top(stock)) if on_top else begins
