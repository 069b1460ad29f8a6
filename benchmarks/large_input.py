"""How reading large drawings grows with their size: CPU seconds, peak memory, exponent.

``python -m benchmarks.large_input`` prints a table; ``--json FILE`` writes the figures. Every size runs in a process of
its own, so that its peak memory is its own. The exponent is the slope of log seconds over log size.
"""

from __future__ import annotations

import argparse
import json
import math
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

SHARES = (1 / 8, 1 / 4, 1 / 2, 1.0)
MOST_SECONDS = 5.0
SIDES = 100
PAGE = '<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000" stroke="black">'
SIZES = {"circles": 20_000, "segments": 100_000}
STEP = 10.0
"""mm between circles; polygons take four times as much."""


def circles(count: int) -> str:
    across = math.ceil(math.sqrt(count))
    places = ((STEP * (1 + k % across), STEP * (1 + k // across)) for k in range(count))
    return PAGE + "".join(f'<circle cx="{x}" cy="{y}" r="3"/>' for x, y in places) + "</svg>"


def segments(count: int) -> str:
    """Polygons of `SIDES` sides, each side a line by itself."""
    rings = count // SIDES
    across = math.ceil(math.sqrt(rings))
    turns = [2.0 * math.pi * k / SIDES for k in range(SIDES + 1)]
    lines: list[str] = []
    for ring in range(rings):
        x, y = 4.0 * STEP * (1 + ring % across), 4.0 * STEP * (1 + ring // across)
        places = [(x + 15.0 * math.cos(t), y + 15.0 * math.sin(t)) for t in turns]
        lines += [f'<line x1="{a:.6f}" y1="{b:.6f}" x2="{c:.6f}" y2="{d:.6f}"/>' for (a, b), (c, d) in pairwise(places)]
    return PAGE + "".join(lines) + "</svg>"


def measured(case: str, count: int) -> dict[str, Any]:
    """Seconds and memory of one drawing: read, looked at for lines drawn twice, joined, nested."""
    import resource

    from pathkit.drawings.drawing import named_loops
    from pathkit.drawings.svg import read_svg
    from pathkit.jobs.overlaps import refuse_drawn_twice
    from pathkit.jobs.shapes import nested

    def once(size: int) -> int:
        shapes = read_svg(data[size], "large.svg").shapes
        refuse_drawn_twice(shapes, "large.svg")
        return len(nested([each.curve for each in named_loops(shapes, "large.svg")]))

    make = {"circles": circles, "segments": segments}[case]
    # The first drawing loads the libraries.
    data = {size: make(size).encode() for size in (SIDES, count)}
    once(SIDES)
    begin = time.process_time()
    outlines = once(count)
    taken = time.process_time() - begin
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    return {"case": case, "size": count, "outlines": outlines, "seconds": taken, "memory_mib": memory}


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--case", choices=sorted(SIZES), help="only this one")
    parser.add_argument("--size", type=int, help="measure this size in this process, and print it as JSON")
    parser.add_argument("--json", type=Path, help="file to write the figures to")
    options = parser.parse_args(arguments)
    if options.size is not None:
        print(json.dumps(measured(options.case or "circles", options.size)))
        return 0
    found: list[dict[str, Any]] = []
    print(f"{'case':10} {'size':>8} {'CPU':>8} {'memory':>10}")
    for case in [options.case] if options.case else sorted(SIZES):
        rows = []
        for share in SHARES:
            command = [sys.executable, "-m", "benchmarks.large_input", "--case", case]
            command += ["--size", str(int(SIZES[case] * share))]
            row = json.loads(subprocess.run(command, capture_output=True, check=True, text=True).stdout)
            print(f"{case:10} {row['size']:8d} {row['seconds']:7.2f}s {row['memory_mib']:6.0f} MiB", flush=True)
            rows.append(row)
        sizes, seconds = (np.log([row[key] for row in rows]) for key in ("size", "seconds"))
        exponent = float(np.polyfit(sizes, seconds, 1)[0])
        met = rows[-1]["seconds"] <= MOST_SECONDS
        print(f"{case:10} exponent {exponent:.2f}; target {MOST_SECONDS:g} s {'met' if met else 'NOT met'}", flush=True)
        found.append({"case": case, "exponent": exponent, "met": met, "rows": rows})
    if options.json is not None:
        options.json.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
