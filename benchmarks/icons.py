"""Do drawings that nobody here made build, and where one cannot be cut, does the refusal say what is too fine for what?

    python -m benchmarks.icons FOLDER … [--count 40] [--size 48] [--bit 1] [--seed 1] [--uses recess profile marks]

Nothing is fetched: FOLDER holds SVG files, of an icon set from a package registry, say. Of each folder so many are
drawn by chance, brought to a size (mm of the page's longer side), and built: as a recess in a plate, as a profile cut
right through, and as marks. A refusal is *plain* where each of its findings stands at a line of the job file, names a
place (x, y) or the element of the drawing, and says what to change; else it is *obscure*. The exit code is 1 where one
is, where a file that was made is not proved, or where anything but a refusal is raised.
"""

from __future__ import annotations

import argparse
import random
import re
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

import pathkit as pk
from pathkit.errors import PathkitError
from pathkit.findings import Finding
from pathkit.handover.build import build_orders
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of

PLATE = """
plate.rectangle = { corner = [6, 6], width = 60, depth = 60, radius = 4 }
[[part.operations]]
kind = "contour"
shape = "plate"
tool = "3 mm end mill"
bottom.through = true
stepdown = 2
"""
CUT = '[[part.operations]]\nshape = "icon"\ntool = "icon bit"\n'
USES = {
    "recess": PLATE + CUT + 'kind = "pocket"\nbottom.from_top = 1.5\nstepdown = 1',
    "profile": CUT + 'kind = "contour"\nbottom.through = true\nstepdown = 1',
    "marks": PLATE + CUT + 'kind = "engrave"\nbottom.from_top = 0.5',
}
JOB = """
name = "signs"
[stock]
thickness = 4
underlay = 2
[[board]]
width = 72
depth = 72
[tools."icon bit"]
diameter = {bit}
centre_cutting = true
[tools."3 mm end mill"]
diameter = 3
centre_cutting = true
[cutting.plywood]
feed = 900
plunge = 300
spindle = 18000
[[part]]
name = "sign"
[part.shapes]
icon = {{ svg = "{name}", units = "mm", scale = {scale:.6f}, at = [12, 12] }}
{use}
"""


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("folders", type=Path, nargs="+")
    words.add_argument("--count", type=int, default=40)
    words.add_argument("--size", type=float, default=48.0)
    words.add_argument("--bit", type=float, default=1.0)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--uses", nargs="+", choices=tuple(USES), default=tuple(USES))
    asked = words.parse_args()
    machine = pk.load_machine("grbl-front-left")
    wrong = 0
    for folder in asked.folders:
        every = sorted(folder.glob("*.svg"))
        icons = random.Random(asked.seed).sample(every, min(asked.count, len(every)))
        for use in asked.uses:
            seen: Counter[str] = Counter()
            begin = time.perf_counter()
            for icon in icons:
                came, said = build(icon, use, asked.size, asked.bit, machine)
                seen[came] += 1
                for line in said:
                    print(f"  {icon.stem}, {use}: {came}: {line}")
            wrong += len(icons) - seen["proved"] - seen["refused plainly"]
            told = ", ".join(f"{count} {what}" for what, count in seen.most_common())
            print(f"{folder.name}, {use}: of {len(icons)}: {told}; {time.perf_counter() - begin:.0f} s", flush=True)
    return 1 if wrong else 0


def build(icon: Path, use: str, size: float, bit: float, machine: pk.Machine) -> tuple[str, list[str]]:
    """What came of one icon, and what was said of it."""
    text = JOB.format(bit=bit, name=icon.name, scale=size / page_of(icon), use=USES[use])
    try:
        orders = orders_of(job_file_of(text, "signs.toml", icon.parent), [machine], effort=0)
        with tempfile.TemporaryDirectory() as out:
            result = build_orders(orders, Path(out) / "signs")
    except PathkitError as error:
        plain = all(map(is_plain, error.findings))
        return "refused plainly" if plain else "refused obscurely", [str(f) for f in error.findings]
    except Exception:
        return "raised", traceback.format_exc().splitlines()[-3:]
    if not result.ok:
        return "not proved", [str(f) for f in result.findings if f.severity == "error"]
    left = [name for folder in result.folders for name in folder.unproved]
    return ("proved", []) if not left else (f"proved but {', '.join(left)}", [])


def page_of(icon: Path) -> float:
    """Units of the longer side of the page."""
    found = re.search(r'viewBox="([^"]+)"', icon.read_text(encoding="utf-8"))
    if found is None:
        raise SystemExit(f"{icon}: no viewBox")
    return max(float(number) for number in found[1].replace(",", " ").split()[2:])


def is_plain(finding: Finding) -> bool:
    placed = finding.line is not None and (finding.file or "").endswith(".toml")
    what = re.search(r"\(-?[\d.]+, -?[\d.]+\)|'[^']+'|without an id", finding.what) is not None
    return placed and what and bool(finding.fix)


if __name__ == "__main__":
    sys.exit(main())
