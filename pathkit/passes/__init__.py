"""Passes turn a job into a better job; none knows a dialect, and each keeps the promises it names."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pluggy

if TYPE_CHECKING:
    from pathkit.passes.base import Pass

hookimpl = pluggy.HookimplMarker("pathkit")


@hookimpl
def pathkit_passes() -> list[type[Pass]]:
    """The passes that come with the library, registered by the same hook as a plugin's."""
    from pathkit.passes.fit_arcs import FitArcs
    from pathkit.passes.hold_tabs import HoldTabs
    from pathkit.passes.merge_stepdowns import MergeStepdowns
    from pathkit.passes.order_travel import OrderTravel
    from pathkit.passes.ramp_entries import RampEntries
    from pathkit.passes.spare_top_edge import SpareTopEdge
    from pathkit.passes.steady_load import SteadyLoad

    return [MergeStepdowns, SpareTopEdge, HoldTabs, RampEntries, OrderTravel, SteadyLoad, FitArcs]
