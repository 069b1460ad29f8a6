"""What one folder cuts otherwise than another: wood, feeds, speeds, levels, entries, order, and a sheet's numbers."""

from __future__ import annotations

import math
import re
from collections import defaultdict
from pathlib import Path

import numpy as np

from pathkit import registry
from pathkit.handover.recheck import handed_over
from pathkit.lowering.lower import lower
from pathkit.motion.program import RAPID, Dwell, Pause, Spindle, ToolChange
from pathkit.proof.evidence import Evidence, gather
from pathkit.proof.intent.places import runs_and_falls

WOOD = 0.05
"""mm of height by which the boards may differ."""

DURATION = re.compile(r"about [^.<]*?\b(?:s|min|h)\b[\d\s]*(?:min|s)?|\d+ h \d+ min|\d+ (?:s|min)\b|\d+:\d\d")


def differences(honest: Path, other: Path) -> list[str]:
    """In words, all that matters; empty for the same work done another way."""
    one, two = (_evidence(folder, honest) for folder in (honest, other))
    found: list[str] = []
    apart = float(np.abs(one.removal.height - two.removal.height).max())
    if apart > WOOD:
        found.append(f"heights differ by {apart:.2f} mm")
    a, b = _facts(one), _facts(two)
    found += [f"{name}: {a[name]} and {b[name]}" for name in a if a[name] != b[name]]
    x, y = (_numbers(next(folder.rglob("setup-sheet.html"))) for folder in (honest, other))
    if x != y:
        found.append(f"the sheet: {[pair for pair in zip(x, y, strict=False) if pair[0] != pair[1]][:3]}")
    return found


def _evidence(folder: Path, honest: Path) -> Evidence:
    """A folder's cut file, judged by the job of the honest one."""
    (certificate,) = folder.rglob("*.proof.json")
    (theirs,) = honest.rglob("*.proof.json")
    given = handed_over(theirs.with_name(theirs.name.removesuffix(".proof.json")))
    text = certificate.with_name(certificate.name.removesuffix(".proof.json")).read_bytes()
    capabilities = registry.capabilities_of(given.machine)
    program = lower(given.job, given.machine, given.setup)
    return gather(text, program, given.machine, capabilities, job=given.job, setup=given.setup)


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
    owner = evidence.sections.owner
    assert evidence.job is not None
    roles = [evidence.job.toolpaths[k].role for k in owner[(owner >= 0) & cutting]]
    kinds = (Spindle, Dwell, Pause, ToolChange)
    return {
        "feeds": {feed: round(total, -1) for feed, total in sorted(lengths.items()) if total > 5.0},
        "levels": levels,
        "steepest": round(steepest, 1),
        "deepest bite": round(float(bites.max()), 1),
        "events": [str(event) for event in bench.event if isinstance(event, kinds)],
        "order": [role for k, role in enumerate(roles) if k == 0 or roles[k - 1] != role],
    }


def _numbers(sheet: Path) -> list[str]:
    """All numbers of a sheet but times, which travel alone may change, and those of its drawings."""
    text = re.sub(r"<(svg|style).*?</\1>", "", sheet.read_text(encoding="utf-8"), flags=re.S)
    return re.findall(r"\d+(?:\.\d+)?", re.sub(r"<[^>]+>", " ", DURATION.sub("", text)))
