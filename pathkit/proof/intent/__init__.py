"""Does the file do what the job asks? From the text read back and the job's values alone, one file a question.

Nothing here knows how a job becomes moves: neither `pathkit.lowering` nor `pathkit.passes` nor `pathkit.operations` is
imported, and the program is not looked at. Which stretch of the file is which toolpath is found by place.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from pathkit.proof.intent.feeds import asked_feeds
from pathkit.proof.intent.speed import asked_speed

if TYPE_CHECKING:
    from pathkit.proof.evidence import ProofCheck

INTENT: Final[tuple[ProofCheck, ...]] = (asked_feeds, asked_speed)
"""In the order of a report."""
