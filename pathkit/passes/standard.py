"""The passes that a job goes through by default."""

from __future__ import annotations

from pathkit.passes.base import Pass
from pathkit.passes.hold_tabs import HoldTabs
from pathkit.passes.merge_stepdowns import MergeStepdowns
from pathkit.passes.order_travel import OrderTravel
from pathkit.passes.ramp_entries import RampEntries
from pathkit.passes.spare_top_edge import SpareTopEdge


def standard_passes(*, tabs: bool = True, effort: float = 1.0, seed: int = 0) -> tuple[Pass, ...]:
    """Equal levels, compression cuts entered in waste, two tabs on outlines that have none (6 mm wide, 3 mm high),
    entries at 3 degrees, and the least travel that ``effort`` and ``seed`` find."""
    holding: tuple[Pass, ...] = (HoldTabs(count=2, width=6.0, height=3.0),) if tabs else ()
    return (MergeStepdowns(), SpareTopEdge(), *holding, RampEntries(angle=3.0), OrderTravel(effort=effort, seed=seed))
