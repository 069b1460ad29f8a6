"""Nesting: different parts laid out on equal boards, so that few boards are needed and no parts lie on each other.

`nest` takes parts (`Item`) and a board (`Sheet`) with the room between neighbours, and returns boards with placements.
Parts are turned by whole quarter turns only. They are treated as solid: nothing is laid into another part's hole, since
what is cut out of a hole falls out.

A board is filled in several ways, and the fullest one is kept: `placing` lays parts one by one, each as far into the
corner as it goes; `patterns` makes rows of a single part, plain ones and offset ones; `strip` gives the parts to a
library that packs strips. `separation` checks every board again, and shares no code with what laid the parts.
"""

from pathkit.operations.nesting.boards import alone, nest
from pathkit.operations.nesting.values import Fixed, Item, Nested, Placed, Sheet

__all__ = ["Fixed", "Item", "Nested", "Placed", "Sheet", "alone", "nest"]
