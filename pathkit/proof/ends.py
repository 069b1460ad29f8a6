"""Where top, underside and bed may lie, over every board and underlay that the job accepts.

Worked out here from the job's plain numbers, so that whoever vouches does not lean on what the cuts were planned by.
"""

from __future__ import annotations

from typing import NamedTuple

from pathkit.model.stock import Stock


class Ends(NamedTuple):
    """z in mm. The lowest underside must be cut through, tabs are held by the highest, nothing goes below ``bed``."""

    highest_top: float
    highest_underside: float
    lowest_underside: float
    bed: float


def ends_of(stock: Stock) -> Ends:
    """The ends of the range: z runs from the top of the board in hand, or from the bed that everything lies on."""
    thin, thick = stock.thickness - stock.thickness_tolerance, stock.thickness + stock.thickness_tolerance
    least, most = stock.underlay - stock.underlay_tolerance, stock.underlay + stock.underlay_tolerance
    if stock.z_zero == "top":
        return Ends(0.0, -thin, -thick, -thin - least)
    return Ends(most + thick, most, least, 0.0)
