"""Moves per second, memory and growth of all that must keep up with long programs: ``python -m benchmarks.throughput``.

Each size runs in a process of its own, on one core, whose peak memory is that of the size. A rate is the best of a few
warm runs; the first run, of a small program, compiles and is not counted. Rates are of processor time. Writing and
reading stand beside a plain writer in f-strings and a plain reader with a regular expression, measured in the same
process by turns.

As in pathkit's command line, memory that was freed is kept for what comes next, so a warm run hardly waits for the
system to hand out pages: at 10⁷ moves a first run takes more than twice as long.

``--moves`` sizes, ``--json``, ``--picture FILE``. To measure one more room, add a task to `throughput_tasks`.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import math
import platform
import subprocess
import sys
from pathlib import Path
from typing import Any

from benchmarks.throughput_tasks import measure
from pathkit.cli.memory import keep_memory

SIZES = (10_000, 100_000, 1_000_000, 10_000_000)

TARGETS: dict[str, tuple[str, float, float]] = {
    "emission": ("times the plain writer", 15.0, 30.0),
    "post": ("times the plain writer", 8.0, 8.0),
    "read": ("times the plain reader", 10.0, 20.0),
}
"""What a million moves must reach beside a plain program, and what would be better."""

CHAIN_SECONDS, CHAIN_MB, REMOVAL_SECONDS = 5.0, 800.0, 10.0
LONGEST_MB, STEEPEST = 6000.0, 1.1


def in_a_process(moves: int, repeats: int) -> dict[str, Any]:
    """The figures of one size, measured by another process."""
    command = [sys.executable, "-m", "benchmarks.throughput", "--one", str(moves), "--repeats", str(repeats)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{moves} moves: {done.stderr.strip()[-2000:]}")
    figures: dict[str, Any] = json.loads(done.stdout)
    return figures


def exponents(results: list[dict[str, Any]]) -> dict[str, float]:
    """Of the growth of each task's seconds between the two largest sizes that have it: 1 is linear."""
    grown = {}
    for name in results[-1]["seconds"]:
        sizes = [(r["moves"], r["seconds"][name]) for r in results if name in r["seconds"]]
        if len(sizes) > 1:
            (few, short), (many, long) = sizes[-2:]
            grown[name] = math.log(long / short) / math.log(many / few)
    return grown


def verdicts(results: list[dict[str, Any]], grown: dict[str, float]) -> list[tuple[str, str, bool]]:
    """Each target that the sizes allow to judge: what, the figure, and whether it is met."""
    found = []
    for result in results:
        ratios, seconds, peak = result["ratios"], result["seconds"], result["peak_mb"]
        if result["moves"] == 1_000_000:
            for name, (of, least, better) in TARGETS.items():
                more = f", better {better:g}" if better > least else ""
                found.append((f"{name}: at least {least:g}{more} {of}", f"{ratios[name]:.1f}", ratios[name] >= least))
            chain = seconds["end to end"]
            found.append((f"relief end to end: at most {CHAIN_SECONDS:g} s", f"{chain:.2f} s", chain <= CHAIN_SECONDS))
            chain_mb = peak["end to end"]
            found.append((f"its memory: at most {CHAIN_MB:g} MB", f"{chain_mb:.0f} MB", chain_mb <= CHAIN_MB))
            cut = seconds["removal"]
            found.append((f"its removal: at most {REMOVAL_SECONDS:g} s", f"{cut:.2f} s", cut <= REMOVAL_SECONDS))
        if result["moves"] == 10_000_000:
            most = max(peak.values())
            found.append((f"10 million: at most {LONGEST_MB:g} MB", f"{most:.0f} MB", most <= LONGEST_MB))
            steep = grown["end to end"]
            found.append((f"10 million: time grows by at most n^{STEEPEST:g}", f"n^{steep:.2f}", steep <= STEEPEST))
    return found


def table(results: list[dict[str, Any]], grown: dict[str, float]) -> str:
    """Million moves a second by size, the ratio to the plain program, peak memory, and the exponent of the growth."""
    sizes = [f"10^{math.log10(r['moves']):.2g}" for r in results]
    head = f"{'million moves/s':<28}" + "".join(f"{size:>12}" for size in sizes) + f"{'growth':>10}"
    lines = [head]
    for name in results[0]["seconds"]:
        cells = ""
        for result in results:
            seconds = result["seconds"].get(name)
            ratio = result["ratios"].get(name)
            cell = "" if seconds is None else f"{result['counts'][name] / seconds / 1e6:.2f}"
            cells += f"{cell + ('' if ratio is None else f' ({ratio:.0f}x)'):>12}"
        lines.append(f"{name:<28}{cells}" + (f"{f'n^{grown[name]:.2f}':>10}" if name in grown else ""))
    memory = "".join(f"{max(r['peak_mb'].values()):>12.0f}" for r in results)
    return "\n".join([*lines, f"{'peak memory, MB':<28}{memory}"])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--moves", type=int, nargs="+", default=SIZES, help="sizes, in moves")
    parser.add_argument("--repeats", type=int, default=3)
    parser.add_argument("--json", action="store_true", help="print JSON")
    parser.add_argument("--picture", type=Path, help="also draw rates against sizes (needs matplotlib)")
    parser.add_argument("--one", type=int, help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.one:
        keep_memory()
        print(json.dumps(measure(options.one, options.repeats)))
        return
    if options.picture and importlib.util.find_spec("matplotlib") is None:
        parser.error("--picture needs matplotlib: pip install -e '.[bench]'")
    results = [in_a_process(moves, options.repeats) for moves in sorted(options.moves)]
    grown = exponents(results)
    judged = verdicts(results, grown)
    if options.json:
        targets = [{"target": what, "figure": figure, "met": met} for what, figure, met in judged]
        print(json.dumps({"python": platform.python_version(), "sizes": results, "growth": grown, "targets": targets}))
    else:
        print(table(results, grown), end="\n\n")
        for what, figure, met in judged:
            print(f"{'met' if met else 'not met':<8} {what}: {figure}")
    if options.picture:
        from benchmarks.throughput_picture import draw

        draw(results, options.picture)


if __name__ == "__main__":
    main()
