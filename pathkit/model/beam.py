"""What a toolpath of a beam may be: lines at one height, with a power."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from pathkit.model.checking import Faults
from pathkit.tolerances import ROUNDING

if TYPE_CHECKING:
    from pathkit.model.toolpath import Toolpath


def check_beam(path: Toolpath, faults: Faults) -> None:
    """Whether tool and cutting agree on what is a beam; and if it is one, that nothing is asked of it as of a bit."""
    by_beam = path.tool.kind == "beam"
    if by_beam != (path.cutting.power is not None):
        what = "a beam without a power" if by_beam else f"a power for {path.tool.name!r}, which is no beam"
        faults.add(what, "a beam, and only a beam, takes Cutting.by_beam(feed=…, power=…)", "cutting.power")
    if not by_beam:
        return
    points, entry = path.curve.points, type(path.entry).__name__.lower()
    if not path.curve.is_trace or path.curve.is_point:
        what = "a beam has no depth: it neither steps down, nor clears, nor drills"
        faults.add(what, "let it follow lines, by operations.burn", "curve")
    elif np.ptp(points[:, 2]) > ROUNDING:
        faults.add("a beam at changing heights", "it is focused at one height", "curve")
    if entry != "plunge":
        faults.add(f"a {entry} for a beam", "a beam enters nothing; leave the entry out", "entry")
    if path.role not in ("engrave", "cut"):
        faults.add(f"a beam in the role {path.role!r}", 'the role "engrave" or "cut"', "role")
    if path.tabs or path.finishes is not None:
        faults.add("tabs or an allowance for a beam", "a beam leaves no wood that it has not passed", "tabs")
