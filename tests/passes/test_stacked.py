"""What begins where another cut ends comes after it, through every pass."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.passes.merge_stepdowns import MergeStepdowns
from pathkit.passes.order_travel import OrderTravel
from pathkit.passes.precedence import precedence_of

if TYPE_CHECKING:
    from tests.passes.conftest import Cut, Ring


def pairs(job: Job) -> set[tuple[str, str]]:
    return {(job.toolpaths[a].name, job.toolpaths[b].name) for a, b in precedence_of(job).pairs}


def test_a_recess_in_a_recess_waits_for_what_lies_above_it(
    cut: Cut, ring: Ring, board: Stock, machine: Machine
) -> None:
    deep = cut("deep", ring(30, 20, 20, 20), role="pocket", top=8.0, bottom=4.0)
    wide = cut("wide", ring(10, 10, 80, 50), role="pocket", bottom=8.0)
    wall = cut("wall", ring(8, 8, 84, 54), role="finish", bottom=8.0)
    away = cut("away", ring(200, 10, 20, 20), role="pocket", top=8.0, bottom=4.0)
    job = Job("j", board, (deep, wide, wall, away))
    assert ("wide", "deep") in pairs(job)
    assert ("wall", "deep") in pairs(job)
    assert ("deep", "wall") not in pairs(job), "the wall of the upper recess is no wall of the lower one"
    assert not any("away" in pair for pair in pairs(job)), "it lies elsewhere"
    order = [path.name for path in OrderTravel(effort=0.1)(job, machine).job.toolpaths]
    assert order.index("wide") < order.index("deep")
    assert order.index("wall") < order.index("deep")


def test_joining_a_cut_to_a_deeper_one_forgets_no_pair(cut: Cut, ring: Ring, board: Stock, machine: Machine) -> None:
    upper = cut("upper", ring(10, 10, 80, 50), role="pocket", bottom=8.0)
    lower = cut("lower", ring(10, 10, 80, 50), role="pocket", top=8.0, bottom=4.0)
    other = cut("other", ring(12, 12, 40, 40), role="pocket", top=8.0, bottom=5.0)
    merged = MergeStepdowns()(Job("j", board, (upper, lower, other)), machine).job
    assert [path.name for path in merged.toolpaths] == ["upper", "other"], "one simply follows the other: no hindrance"
    assert ("upper", "other") in pairs(merged)
