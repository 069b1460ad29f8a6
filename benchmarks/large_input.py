"""How large drawings and jobs grow with their size: CPU seconds, peak memory, exponent.

``python -m benchmarks.large_input`` prints a table; ``--json FILE`` writes the figures; ``--quick`` measures a tenth of
each size. Drawings are read. Jobs are built by the command line, one of engraved plates also checked and compared:
their CPU seconds hold the start of Python and all its libraries, so their exponent is too low at small sizes. Every
size runs in a process of its own, so that its peak memory is its own. The exponent is the slope of log seconds over log
size.
"""

from __future__ import annotations

import argparse
import json
import math
import re
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

SHARES = (1 / 8, 1 / 4, 1 / 2, 1.0)
MOST_SECONDS = 5.0
BED = """
name = "{name}"
dialect = "rs274ngc"
origin = "front-left"
left_handed = false
[axes]
x = "right"
y = "away"
z = "up"
[travel]
x = 5000
y = 5000
z = 100
[motion]
rapid = [4000, 4000, 1500]
feed_limit = [4000, 4000, 1000]
acceleration = [300, 300, 150]
junction_deviation = 0.01
arc_tolerance = 0.002
[spindle]
control = "words"
min = 5000
max = 24000
spin_up = 5.0
[park]
x = 0
y = 0
[output]
units = "inch"
"""
BENCH = "large-bed"
"""A machine (invented) with room for all of it. It has one file for all bits."""

SIDES = 100
PAGE = '<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" height="2000mm" viewBox="0 0 2000 2000" stroke="black">'
SIZES = {"svg circles": 20_000, "svg segments": 100_000, "dxf circles": 20_000, "dxf segments": 100_000}
JOBS = {"engraved": 20, "holes": 2_000, "parts": 5_000}
"""Engraved plates, holes in one part, parts on one board."""

ENGRAVED_SECONDS = {"check": 4.0, "compare": 15.0}
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


def dxf_circles(count: int) -> str:
    across = math.ceil(math.sqrt(count))
    places = ((STEP * (1 + k % across), STEP * (1 + k // across)) for k in range(count))
    return _dxf("".join(f"0\nCIRCLE\n8\n0\n10\n{x}\n20\n{y}\n30\n0.0\n40\n3.0\n" for x, y in places))


def dxf_segments(count: int) -> str:
    """The same polygons as `segments`, each side a LINE."""
    lines = re.findall(r'x1="(.*?)" y1="(.*?)" x2="(.*?)" y2="(.*?)"', segments(count))
    return _dxf(
        "".join(f"0\nLINE\n8\n0\n10\n{a}\n20\n{b}\n30\n0.0\n11\n{c}\n21\n{d}\n31\n0.0\n" for a, b, c, d in lines)
    )


def _dxf(entities: str) -> str:
    """A drawing in mm of DXF version R12 (group codes of the published DXF reference)."""
    header = "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n"
    return f"{header}0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"


def measured(case: str, count: int) -> dict[str, Any]:
    """Seconds and memory of one drawing: read, looked at for lines drawn twice, joined, nested."""
    import resource

    from pathkit.drawings.drawing import named_loops
    from pathkit.drawings.dxf import read_dxf
    from pathkit.drawings.svg import read_svg
    from pathkit.jobs.overlaps import refuse_drawn_twice
    from pathkit.jobs.shapes import nested

    def once(size: int) -> int:
        source = f"large.{case[:3]}"
        shapes = (read_dxf if case.startswith("dxf") else read_svg)(data[size], source).shapes
        refuse_drawn_twice(shapes, source)
        return len(nested([each.curve for each in named_loops(shapes, source)]))

    make = {"svg circles": circles, "svg segments": segments, "dxf circles": dxf_circles, "dxf segments": dxf_segments}[
        case
    ]
    # The first drawing loads the libraries.
    data = {size: make(size).encode() for size in (SIDES, count)}
    once(SIDES)
    begin = time.process_time()
    outlines = once(count)
    taken = time.process_time() - begin
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    return {"case": case, "size": count, "outlines": outlines, "seconds": taken, "memory_mib": memory}


def job_of(case: str, count: int) -> str:
    """The text of a job file."""
    from benchmarks.jobs import ENGRAVED, engraved

    if case == "engraved":
        return engraved(count)
    across = math.ceil(math.sqrt(count))
    hole = '[[part.operations]]\nkind = "drill"\nshape = "hole"\ntool = "3 mm end mill"\ndiameter = 3.0\n'
    hole += "bottom.through = true\nstepdown = 2\n"
    contour = '[[part.operations]]\nkind = "contour"\nshape = "outline"\ntool = "3 mm end mill"\n'
    contour += "bottom.through = true\nstepdown = 4\n"
    side = 40.0 + STEP * across if case == "holes" else 20.0
    board = side + 40.0 if case == "holes" else 40.0 + 30.0 * across
    head = ENGRAVED[: ENGRAVED.index("[[part]]")].format(width=board, depth=board).replace("engraved cable", case)
    shapes = f"[part.shapes]\noutline.rectangle = {{ corner = [0, 0], width = {side}, depth = {side}, radius = 2 }}\n"
    if case == "parts":
        return f'{head}[[part]]\nname = "tile"\nquantity = {count}\n{shapes}{contour}'
    places = [[STEP * (2 + k % across), STEP * (2 + k // across)] for k in range(count)]
    return f'{head}[[part]]\nname = "sieve"\n{shapes}hole.points = {places}\n{hole}{contour}'


def measured_job(case: str, count: int) -> dict[str, Any]:
    """CPU seconds of building a job, and of checking the file of an engraved one and comparing it with itself."""
    import resource
    import tempfile

    def seconds(*command: str) -> float:
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run([sys.executable, "-m", "pathkit", *command], check=True, capture_output=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime

    with tempfile.TemporaryDirectory() as folder:
        job, out = Path(folder) / "large.toml", Path(folder) / "out"
        job.write_text(job_of(case, count), encoding="utf-8")
        machine = Path(folder) / f"{BENCH}.toml"
        machine.write_text(BED.format(name=BENCH), encoding="utf-8")
        built = seconds("build", str(job), "--machine", str(machine), "--effort", "0", "--out", str(out))
        found: dict[str, Any] = {"case": case, "size": count, "seconds": built}
        cut = str(next(each for each in (out / BENCH).glob("*.ngc") if not each.stem.endswith("-air")))
        found["bytes"] = Path(cut).stat().st_size
        if case == "engraved":
            found["check"] = seconds("check", cut)
            found["compare"] = seconds("compare", cut, cut)
        found["memory_mib"] = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024.0
    return found


def main(arguments: list[str] | None = None) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--case", choices=sorted(SIZES | JOBS), help="only this one")
    parser.add_argument("--quick", action="store_true", help="a tenth of each size")
    parser.add_argument("--size", type=int, help="measure this size in this process, and print it as JSON")
    parser.add_argument("--json", type=Path, help="file to write the figures to")
    options = parser.parse_args(arguments)
    if options.size is not None:
        case = options.case or "svg circles"
        print(json.dumps((measured_job if case in JOBS else measured)(case, options.size)))
        return 0
    found: list[dict[str, Any]] = []
    print(f"{'case':12} {'size':>8} {'CPU':>8} {'memory':>10}")
    for case in [options.case] if options.case else [*sorted(SIZES), *sorted(JOBS)]:
        rows = []
        for share in SHARES:
            command = [sys.executable, "-m", "benchmarks.large_input", "--case", case]
            command += ["--size", str(max(1, int((SIZES | JOBS)[case] * share * (0.1 if options.quick else 1.0))))]
            row = json.loads(subprocess.run(command, capture_output=True, check=True, text=True).stdout)
            print(f"{case:12} {row['size']:8d} {row['seconds']:7.2f}s {row['memory_mib']:6.0f} MiB", flush=True)
            for step in sorted(ENGRAVED_SECONDS.keys() & row.keys()):
                size, most = row["bytes"] / 1e6, ENGRAVED_SECONDS[step]
                print(f"{case:12} {step} of {size:.2f} MB: {row[step]:.1f} s; target {most:g} s for 4 MB", flush=True)
            rows.append(row)
        sizes, seconds = (np.log([row[key] for row in rows]) for key in ("size", "seconds"))
        exponent = float(np.polyfit(sizes, seconds, 1)[0])
        met = rows[-1]["seconds"] <= MOST_SECONDS if case in SIZES else None
        said = "" if met is None else f"; target {MOST_SECONDS:g} s {'met' if met else 'NOT met'}"
        print(f"{case:12} exponent {exponent:.2f}{said}", flush=True)
        found.append({"case": case, "exponent": exponent, "met": met, "rows": rows})
    if options.json is not None:
        options.json.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
