"""Checks on the map of heights: what bit, shank and holder meet, and how much of the board is cut away."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from pathkit.findings import Finding
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Peck, Plunge, Toolpath
from pathkit.motion.program import RAPID
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.material.heightmap import GRID, Array, Removal
from pathkit.proof.result import Figure, Verdict
from pathkit.tolerances import BITE, MAP_SLACK

MOST = 20
"""Places named one by one."""

_LIMITS = (
    f"It uses a map of points {GRID:g} mm apart (further apart on boards over 1 m²), which is exact at its points: "
    "what is narrower may lie between them unseen. It takes the board to be flat and as thick as the job allows; the "
    "underlay is not judged."
)


@check("stock removal", "board", "job", scope="whole", kept=True, limits=_LIMITS)
def stock_removal(evidence: Evidence) -> Verdict:
    """No rapid meets wood, nothing goes straight down that cannot, and no bite is deeper than its toolpath allows."""
    removal = evidence.removal
    found = _met(
        evidence, "stock removal", removal.rapid, "a rapid meets {:.2f} mm of wood", "retract before it", MAP_SLACK
    )
    what = "a bit that does not cut at its centre goes straight down into {:.2f} mm of wood"
    found += _met(evidence, "stock removal", removal.straight, what, "enter by a ramp, spiral or helix", MAP_SLACK)
    found += _deep_bites(evidence, removal)
    figures: dict[str, Figure] = {
        "volume_mm3": round(removal.total, 1),
        "deepest_bite_mm": round(float(removal.bite.max(initial=0.0)), 3),
        "lowest_mm": round(float(removal.height.min()), 4),
        "grid_mm": removal.grid,
        "points": int(removal.height.size),
    }
    return Verdict(found, figures=figures, proved=removal.known)


@check(
    "bit length",
    "board",
    "job",
    scope="whole",
    limits="It judges only bits whose cut_length and reach the job gives, and sees only what a map of points shows.",
)
def bit_length(evidence: Evidence) -> Verdict:
    """Nothing is cut above the flutes, and neither a thicker shank nor the holder touches wood.

    An unknown shank is taken to be `BARE` mm wider all round than the bit, an unknown holder to be `WIDE` mm in radius
    (see `pathkit.proof.material.bits`).
    """
    removal, job = evidence.removal, evidence.job
    assert job is not None
    lengths = np.array([*(np.inf if t.cut_length is None else t.cut_length for t in job.tools), np.inf])
    over = removal.bite - lengths[evidence.bits]
    fix = "a smaller stepdown, or a longer bit"
    found = _met(evidence, "bit length", over, "wood stands {:.2f} mm above its flutes", fix, MAP_SLACK)
    fix = "a longer bit, or wood cleared beside it first"
    found += _met(evidence, "bit length", removal.shank, "its shank meets {:.2f} mm of wood", fix, MAP_SLACK)
    found += _met(evidence, "bit length", removal.holder, "its holder meets {:.2f} mm of wood", fix, MAP_SLACK)
    figures: dict[str, Figure] = {}
    cuts = (removal.bite > 0.0) & np.isfinite(over)
    if cuts.any():
        figures["flutes_to_spare_mm"] = round(float(-over[cuts].max()), 3)
    unknown = [t.name for t in job.tools if t.cut_length is None or t.reach is None or t.holder is None]
    if unknown:
        figures["not fully known"] = ", ".join(unknown)
    return Verdict(found, figures=figures, proved=removal.known)


def _met(evidence: Evidence, name: str, depth: Array, what: str, fix: str, slack: float) -> list[Finding]:
    """A finding for each row at which this depth is more than the slack."""
    return [
        Finding(
            check=name,
            what=what.format(depth[row]),
            fix=fix,
            line=evidence.line(int(row)),
            toolpath=evidence.toolpath_name(int(row)),
        )
        for row in np.flatnonzero(depth > slack)[:MOST]
    ]


def _deep_bites(evidence: Evidence, removal: Removal) -> list[Finding]:
    job = evidence.job
    assert job is not None
    allowed = np.array(
        [*(_allowed(job.by_name.get(name), evidence.board) for name in evidence.names), np.inf], dtype=float
    )
    over = np.where(evidence.bench.kind == RAPID, 0.0, removal.bite - allowed[evidence.toolpath])
    found: list[Finding] = []
    seen: set[int] = set()
    for row in np.flatnonzero(over > BITE):
        number = int(evidence.toolpath[row])
        if number not in seen and len(seen) < MOST:
            seen.add(number)
            what = f"cuts {removal.bite[row]:.2f} mm deep at once, and its levels allow {allowed[number]:.2f} mm"
            fix = "first cut what must come before it, or give it more levels"
            name = evidence.toolpath_name(int(row))
            found.append(
                Finding(check="stock removal", what=what, fix=fix, line=evidence.line(int(row)), toolpath=name)
            )
    return found


def _allowed(path: Toolpath | None, stock: Stock) -> float:
    """The deepest bite that a toolpath's own levels ask for, mm; no limit for a trace."""
    if path is None or path.curve.is_trace:
        return float("inf")
    if path.curve.is_point and isinstance(path.entry, Peck | Plunge):
        # Drilled from the top of its wood to its bottom, in several bites only if it is pecked.
        whole = path.highest(stock) - path.depths(stock)[-1]
        return min(whole, path.entry.depth) if isinstance(path.entry, Peck) else whole
    drops = [high - low for high, low in pairwise((path.highest(stock), *path.depths(stock)))]
    return max([*drops, path.stepdown or 0.0])
