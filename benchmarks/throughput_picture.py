"""Plots moves per second against the number of moves, a line for each task of the benchmark of throughput."""

from __future__ import annotations

from itertools import cycle
from pathlib import Path
from typing import Any


def draw(results: list[dict[str, Any]], path: Path) -> None:
    """Write the picture; the plain programs are dashed."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    figure, panel = pyplot.subplots(figsize=(8.5, 4.5))
    # More lines than colours: the marks tell those of one colour apart, in grey as well.
    for name, mark in zip(results[0]["seconds"], cycle("os^vDPX*<"), strict=False):
        sizes = [r["moves"] for r in results if name in r["seconds"]]
        rates = [r["counts"][name] / r["seconds"][name] for r in results if name in r["seconds"]]
        panel.loglog(sizes, rates, marker=mark, linestyle="--" if name.startswith("plain") else "-", label=name)
    panel.set_xlabel("moves")
    panel.set_ylabel("moves per second")
    panel.legend(fontsize=8, loc="center left", bbox_to_anchor=(1.01, 0.5))
    figure.tight_layout()
    figure.savefig(path, dpi=110)
    pyplot.close(figure)
