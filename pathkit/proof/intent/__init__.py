"""Does the file do what the job asks? Judged by the text read back and the job's values; one module for each question.

Nothing here knows how a job becomes moves: neither `pathkit.lowering` nor `pathkit.passes` nor `pathkit.operations` is
imported, and the program is not used. Which stretch of the file cuts which toolpath is found by place.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from pathkit.proof.intent.boards import accepted_boards
from pathkit.proof.intent.depths import asked_depths
from pathkit.proof.intent.direction import asked_direction
from pathkit.proof.intent.entries import asked_entries
from pathkit.proof.intent.feeds import asked_feeds
from pathkit.proof.intent.load import steady_load
from pathkit.proof.intent.named import bit_named
from pathkit.proof.intent.order import safe_order
from pathkit.proof.intent.speed import asked_speed
from pathkit.proof.intent.tabs import asked_tabs
from pathkit.proof.intent.visited import every_cut

if TYPE_CHECKING:
    from pathkit.proof.evidence import ProofCheck

INTENT: Final[tuple[ProofCheck, ...]] = (
    every_cut, accepted_boards, asked_depths, asked_entries, asked_direction, asked_tabs, asked_feeds, asked_speed,
    steady_load, bit_named, safe_order,
)  # fmt: skip
"""In the order of a report."""
