"""From shapes to toolpaths: contours, pockets, slots, holes, marks; parts, feeds, and copies laid out on boards."""

from pathkit.curves.regions import moved, obround, rectangle, rotated
from pathkit.operations.board_edges import check_edges
from pathkit.operations.bore import bore
from pathkit.operations.bridges import bridged_pocket
from pathkit.operations.burn import burn
from pathkit.operations.chamfer import bevels, chamfer
from pathkit.operations.contour import contour
from pathkit.operations.copies import Copies, laid_out
from pathkit.operations.drill import drill
from pathkit.operations.engrave import engrave
from pathkit.operations.feeds import suggest
from pathkit.operations.finished import part_of
from pathkit.operations.judging import check_feeds, check_reached
from pathkit.operations.layout import Layout, Placement, fill, spread
from pathkit.operations.lettering import lettering
from pathkit.operations.pocket import pocket
from pathkit.operations.relief import relieve
from pathkit.operations.rest import rest
from pathkit.operations.slot import slot
from pathkit.operations.webs import check_webs

__all__ = [
    "Copies", "Layout", "Placement", "bevels", "bore", "bridged_pocket", "burn", "chamfer", "check_edges",
    "check_feeds", "check_reached", "check_webs", "contour", "drill", "engrave", "fill", "laid_out", "lettering",
    "moved", "obround", "part_of", "pocket", "rectangle", "relieve", "rest", "rotated", "slot", "spread", "suggest",
]  # fmt: skip
