"""How two folders differ: wood, feeds, speeds, levels, entries, order, and the numbers on the sheet."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from pathlib import Path

import numpy as np
from scipy.ndimage import binary_erosion

from pathkit import registry
from pathkit.handover.recheck import handed_over
from pathkit.lowering.lower import lower
from pathkit.model.codec import loads
from pathkit.motion.program import RAPID, Dwell, Pause, Spindle
from pathkit.proof.evidence import Evidence, gather
from pathkit.proof.intent.places import runs_and_falls

WOOD = 0.05
"""mm: the boards count as alike if their heights differ by no more."""

DURATION = re.compile(r"about [^.<]*?\b(?:s|min|h)\b[\d\s]*(?:min|s)?|\d+ h \d+ min|\d+ (?:s|min)\b|\d+:\d\d")


def differences(honest: Path, other: Path) -> list[str]:
    """Every difference that matters, in words; empty if the same work is done another way."""
    one, two = (_evidence(folder, honest) for folder in (honest, other))
    found: list[str] = []
    differ = np.abs(one.removal.height - two.removal.height) * ~_tabs(honest, other, one)
    # A point on the very edge of a cut can fall to either side through rounding: a square of 2 × 2 points must differ.
    if binary_erosion(differ > WOOD, np.ones((2, 2), bool)).any():
        apart = float(differ.max())
        found.append(f"heights differ by {apart:.2f} mm")
    a, b = _facts(one), _facts(two)
    found += [f"{name}: {a[name]} and {b[name]}" for name in a if a[name] != b[name]]
    deep = [round(float(each.removal.bite.max()), 1) for each in (one, two)]
    if deep[1] > deep[0]:
        found.append(f"deepest bite: {deep[0]} and {deep[1]}")
    x, y = (_numbers(next(folder.rglob("setup-sheet.html"))) for folder in (honest, other))
    if x != y:
        found.append(f"the sheet: {[pair for pair in zip(x, y, strict=False) if pair[0] != pair[1]][:3]}")
    return found


def _evidence(folder: Path, honest: Path) -> Evidence:
    """The cut file of ``folder``, held against the job of the folder made without a fault."""
    (certificate,) = folder.rglob("*.proof.json")
    (theirs,) = honest.rglob("*.proof.json")
    given = handed_over(theirs.with_name(theirs.name.removesuffix(".proof.json")))
    text = certificate.with_name(certificate.name.removesuffix(".proof.json")).read_bytes()
    capabilities = registry.capabilities_of(given.machine)
    program = lower(given.job, given.machine, given.setup)
    return gather(text, program, given.machine, capabilities, job=given.job, setup=given.setup)


def _tabs(honest: Path, other: Path, evidence: Evidence) -> np.ndarray:
    """Points of the map where a tab of either job may stand: a job asks for their number and size, not their places."""
    ny, nx = evidence.removal.height.shape
    grid = evidence.removal.grid
    x, y = np.meshgrid((np.arange(nx) + 0.5) * grid, (np.arange(ny) + 0.5) * grid)
    found = np.zeros((ny, nx), bool)
    for folder in (honest, other):
        (written,) = folder.rglob("*.job.json")
        for path in loads(written.read_bytes(), str(written)).toolpaths:
            for tab in path.tabs:
                at = path.curve.at(tab.at)
                found |= np.hypot(x - at[0], y - at[1]) < tab.width / 2.0 + 1.5 * path.tool.diameter
    return found


def _facts(evidence: Evidence) -> dict[str, object]:
    bench = evidence.bench
    run, fall = runs_and_falls(bench)
    cutting = bench.kind != RAPID
    lengths: dict[float, float] = defaultdict(float)
    for feed, way in zip(bench.feed[cutting], np.hypot(run, fall)[cutting], strict=True):
        lengths[round(float(feed), 0)] += float(way)
    flat = cutting & (np.abs(fall) < 1e-3) & (run > 1.0)
    levels = sorted({round(float(z), 2) for z in bench.end[flat, 2]})
    bites = evidence.removal.bite
    into = cutting & (fall > 1e-3) & (bites > 0.05)
    steepest = max((math.degrees(math.atan2(f, r)) for f, r in zip(fall[into], run[into], strict=True)), default=0.0)
    kinds = (Spindle, Dwell, Pause)
    return {
        "feeds": sorted(feed for feed, total in lengths.items() if total > 5.0),
        "levels": levels,
        "steepest": round(steepest, 1),
        "events": sorted({str(event) for event in bench.event if isinstance(event, kinds)}),
    }


def _numbers(sheet: Path) -> list[str]:
    """The numbers on a sheet, without those in drawings and without times, which travel alone can change."""
    text = re.sub(r"<(svg|style).*?</\1>", "", sheet.read_text(encoding="utf-8"), flags=re.S)
    # Nobody asked for an order of cuts where nothing requires one. Digests, and how near the file came, stand last.
    told = text[: text.index("Order of cuts")] + text[text.index("Step by step") : text.index("What was proved")]
    rows = re.findall(r"\d+(?:\.\d+)?", re.sub(r"<[^>]+>", " ", DURATION.sub("", told)))
    return sorted(rows)
