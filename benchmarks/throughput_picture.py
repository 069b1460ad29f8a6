"""Plots moves per second against the number of moves, a line for each task of the benchmark of throughput."""

from __future__ import annotations

from pathlib import Path
from typing import Any


def draw(results: list[dict[str, Any]], path: Path) -> None:
    """Write the picture; the plain programs are dashed."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    figure, panel = pyplot.subplots(figsize=(7.0, 4.5))
    for name in results[0]["seconds"]:
        sizes = [r["moves"] for r in results if name in r["seconds"]]
        rates = [r["counts"][name] / r["seconds"][name] for r in results if name in r["seconds"]]
        panel.loglog(sizes, rates, marker="o", linestyle="--" if name.startswith("plain") else "-", label=name)
    panel.set_xlabel("moves")
    panel.set_ylabel("moves per second")
    panel.legend(fontsize=7)
    figure.tight_layout()
    figure.savefig(path, dpi=110)
    pyplot.close(figure)
