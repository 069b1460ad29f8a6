"""Where top, underside and bed may lie, over every board and underlay that the job accepts.

Worked out here from the job's plain numbers, so that the proof does not rely on what the cuts were planned by.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from pathkit.model.stock import Stock


class Ends(NamedTuple):
    """z in mm. Cuts go into the lowest top and right through the lowest underside; tabs are held by the highest
    underside and end below the lowest top; nothing goes below ``bed``."""

    highest_top: float
    lowest_top: float
    highest_underside: float
    lowest_underside: float
    bed: float


def in_which(stock: Stock, end: Literal["highest", "lowest"]) -> str:
    """In words, the board or underlay whose underside lies highest or lowest; empty if it lies the same for all."""
    by = 1.0 if end == "highest" else -1.0
    if stock.z_zero == "top" and stock.thickness_tolerance:
        which = "thinnest" if end == "highest" else "thickest"
        return f" in the {which} board ({stock.thickness - by * stock.thickness_tolerance:.4g} mm)"
    if stock.z_zero == "bed" and stock.underlay_tolerance:
        which = "thickest" if end == "highest" else "thinnest"
        return f" over the {which} underlay ({stock.underlay + by * stock.underlay_tolerance:.4g} mm)"
    return ""


def ends_of(stock: Stock) -> Ends:
    """The ends of the range: z runs from the top of the board in hand, or from the bed that everything lies on."""
    thin, thick = stock.thickness - stock.thickness_tolerance, stock.thickness + stock.thickness_tolerance
    least, most = stock.underlay - stock.underlay_tolerance, stock.underlay + stock.underlay_tolerance
    if stock.z_zero == "top":
        return Ends(0.0, 0.0, -thin, -thick, -thin - least)
    return Ends(most + thick, least + thin, most, least, 0.0)
