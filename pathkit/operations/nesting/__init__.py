"""Unlike parts on like boards: what lies where, so that few boards are needed and nothing lies on anything.

`nest` is handed parts (`Item`), a board (`Sheet`) and the room between neighbours; it returns boards with placements.
Parts lie by whole quarters. They are dealt with as solid: nothing is laid into another part's hole, since what a hole
leaves falls out.

A board is tried in several ways, and the one that takes most is kept: `placing` lays parts one by one, each as far to
the corner as it goes; `patterns` has rows of a single part, plain ones and offset ones; `strip` hands parts to a
library that packs strips. `separation` looks at every board again, and shares nothing with what laid it.
"""

from pathkit.operations.nesting.boards import alone, nest
from pathkit.operations.nesting.values import Fixed, Item, Nested, Placed, Sheet

__all__ = ["Fixed", "Item", "Nested", "Placed", "Sheet", "alone", "nest"]
