"""From shapes to toolpaths: contours, pockets, slots, holes."""

from pathkit.operations.contour import contour
from pathkit.operations.drill import drill
from pathkit.operations.pocket import pocket
from pathkit.operations.shapes import moved, obround, rectangle, rotated
from pathkit.operations.slot import slot

__all__ = ["contour", "drill", "moved", "obround", "pocket", "rectangle", "rotated", "slot"]
