"""Plots the gap against time from the rows of the route benchmark, one line for each solver."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np


def draw(rows: list[dict[str, Any]], path: Path) -> None:
    """Write the picture: a panel for each instance with a known value; lines are means over the seeds, bands ranges."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    names = list(dict.fromkeys(row["instance"] for row in rows if row["gap"] is not None and row["seconds"] > 0))
    wide = min(max(len(names), 1), 4)
    tall = -(-max(len(names), 1) // wide)
    figure, panels = pyplot.subplots(tall, wide, figsize=(3.6 * wide, 2.8 * tall), squeeze=False)
    solvers = list(dict.fromkeys(row["solver"] for row in rows))
    for panel, name in zip(panels.ravel(), names, strict=False):
        for number, solver in enumerate(solvers):
            own = [r for r in rows if r["instance"] == name and r["solver"] == solver and r["gap"] is not None]
            times = sorted({row["seconds"] for row in own if row["seconds"] > 0})
            runs = [[row["gap"] for row in own if row["seconds"] == seconds] for seconds in times]
            means = [max(float(np.mean(gaps)), 1e-3) for gaps in runs]
            if times:
                panel.loglog(times, means, marker="o", label=solver, color=f"C{number}")
                lows = [max(min(gaps), 1e-3) for gaps in runs]
                panel.fill_between(times, lows, [max(max(gaps), 1e-3) for gaps in runs], alpha=0.15, color=f"C{number}")
        panel.set_title(name, fontsize=9)
        panel.set_xlabel("seconds", fontsize=8)
        panel.set_ylabel("gap, % (0.001 is 0)", fontsize=8)
    for panel in panels.ravel()[len(names) :]:
        panel.axis("off")
    if names:
        panels[0, 0].legend(fontsize=7)
    figure.tight_layout()
    figure.savefig(path, dpi=110)
    pyplot.close(figure)
