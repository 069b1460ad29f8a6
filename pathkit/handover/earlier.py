"""Orders that start from the order of cuts of an earlier build, so that a revised file differs as little as it may."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.handover.atomic_write import sha256
from pathkit.handover.recheck import certificate_at, handed_over
from pathkit.jobs.order import EARLIER, Order
from pathkit.passes.earlier_order import CHECK
from pathkit.passes.order_travel import OrderTravel

_SUFFIX = ".proof.json"


def keeping_order(orders: Sequence[Order], built: Path) -> tuple[Order, ...]:
    """The orders, each of which keeps the order of cuts in its folder of ``built``, an earlier build.

    What has no folder there is ordered anew, and a note says so.

    Raises `InputError` if ``built`` has a folder of none of them, or files that were changed since they were built, and
    for a job whose travel is not ordered.
    """
    kept = [_keeping(order, built) for order in orders]
    if not any(EARLIER in order.recipe for order in kept):
        names = ", ".join(order.folder for order in orders)
        what, fix = f"no earlier build of {names} in {str(built)!r}", "name the folder that was built, or keep no order"
        raise InputError([Finding(check=CHECK, what=what, fix=fix)])
    return tuple(kept)


def _keeping(order: Order, built: Path) -> Order:
    if not any(isinstance(step, OrderTravel) for step in order.passes):
        what, fix = "the job says that its travel is not ordered", "drop order_travel = false, or keep no order"
        raise InputError([Finding(check=CHECK, what=what, fix=fix)])
    beside = sorted((built / order.folder).glob(f"*{_SUFFIX}"))
    if not beside:
        what = "it was not in the earlier build whose order is kept, so it is ordered anew"
        note = Finding(check=CHECK, what=what, severity="note", file=order.folder)
        return replace(order, notes=(*order.notes, note))
    # A folder with a file for each bit has a certificate for each, all of one job.
    job = handed_over(beside[0].parent / certificate_at(beside[0]).file.name).job
    names = tuple(path.name for path in job.toolpaths)
    passes = tuple(replace(step, earlier=names) if isinstance(step, OrderTravel) else step for step in order.passes)
    mark = sha256("\n".join(names).encode("utf-8"))
    return replace(order, passes=passes, recipe={**order.recipe, EARLIER: mark})
