"""The gap against time: a table for each instance of a run, and one picture with a line for each solver."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

SECONDS = (0.1, 0.3, 1.0, 3.0, 10.0, 30.0)
LEAST = 1e-3  # percent at which 0 is drawn: the scale is logarithmic

Gaps = dict[tuple[str, float], tuple[float, float, float]]


def gaps_of(rows: list[dict[str, Any]]) -> Gaps:
    """For each solver and time: the mean over the instances of their medians, the worst run, and mean CPU seconds.

    Gaps in percent over the seeds; CPU time in seconds. Only instances with a known value, and solvers that take a
    time limit.
    """
    found: Gaps = {}
    known = [row for row in rows if row["gap"] is not None and row["seconds"] in SECONDS]
    for solver in dict.fromkeys(row["solver"] for row in known):
        for seconds in SECONDS:
            own = [row for row in known if (row["solver"], row["seconds"]) == (solver, seconds)]
            names = dict.fromkeys(row["instance"] for row in own)
            medians = [np.median([row["gap"] for row in own if row["instance"] == name]) for name in names]
            if own:
                worst, cpu = max(row["gap"] for row in own), np.mean([row["cpu"] for row in own])
                found[solver, seconds] = (float(np.mean(medians)), float(worst), float(cpu))
    return found


def table(gaps: Gaps) -> str:
    """As markdown: a line for each solver, a column for each time with median, worst and CPU seconds used."""
    lines = ["| solver | " + " | ".join(f"{seconds:g} s" for seconds in SECONDS) + " |"]
    lines.append("| --- |" + " --- |" * len(SECONDS))
    for solver in dict.fromkeys(name for name, _ in gaps):
        cells = []
        for seconds in SECONDS:
            own = gaps.get((solver, seconds))
            cells.append("–" if own is None else f"{own[0]:.3f} % ({own[1]:.3f}; {own[2]:.2g} s CPU)")
        lines.append(f"| {solver} | " + " | ".join(cells) + " |")
    return "\n".join(lines)


def draw(curves: dict[str, Gaps], path: Path) -> None:
    """Write the picture, a panel for each instance: medians against the CPU seconds used, bands up to the worst run."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    figure, panels = pyplot.subplots(1, len(curves), figsize=(5.4 * len(curves), 4.4), squeeze=False, sharey=True)
    solvers = list(dict.fromkeys(name for gaps in curves.values() for name, _ in gaps))
    for panel, (instance, gaps) in zip(panels[0], curves.items(), strict=True):
        for number, solver in enumerate(solvers):
            own = sorted((gaps[key][2], *np.maximum(gaps[key][:2], LEAST)) for key in gaps if key[0] == solver)
            if own:
                cpu, medians, worst = zip(*own, strict=True)
                panel.loglog(cpu, medians, marker="o", label=solver, color=f"C{number}")
                panel.fill_between(cpu, medians, worst, alpha=0.12, color=f"C{number}")
                panel.legend()
        panel.set_xticks(SECONDS, [f"{seconds:g}" for seconds in SECONDS])
        panel.minorticks_off()
        panel.set_title(instance)
        panel.set_xlabel("CPU seconds used")
        panel.grid(visible=True, alpha=0.3)
    panels[0, 0].set_ylabel(f"gap, % ({LEAST:g} is 0); band: to the worst run")
    figure.tight_layout()
    figure.savefig(path, dpi=110)
    pyplot.close(figure)
