"""What a first run costs: ``python -m benchmarks.first_run [--json]`` runs the demo with no compiled code on disk.

Prints the seconds of computing for imports, compiling and the rest, and for each kernel its instances and the seconds
that its own compiling took, without the kernels that it calls. A second run, with the code on disk, shows what is left.
Seconds are processor time of one process; `pathkit` itself compiles in several processes at a time.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
import tempfile
from collections import Counter, defaultdict
from pathlib import Path
from typing import Any

RUN = "import sys; from benchmarks.first_run import run; run(sys.argv[1])"
SHOWN = 25


def run(out: str) -> None:
    """Build the demo into ``out`` in this process and print its figures as one line of JSON."""
    import time

    begin = time.process_time()
    from numba.core import event

    from pathkit.handover.build import build_orders
    from pathkit.jobs.demo import demo_orders

    imports = time.process_time() - begin
    seconds: dict[str, float] = defaultdict(float)
    instances: Counter[str] = Counter()

    class Compiling(event.Listener):
        """Own seconds of each kernel: those of the kernels that it calls are taken off."""

        def __init__(self) -> None:
            self.open: list[list[float]] = []

        def on_start(self, _: Any) -> None:
            self.open.append([time.process_time(), 0.0])

        def on_end(self, ended: Any) -> None:
            began, inner = self.open.pop()
            spent = time.process_time() - began
            if self.open:
                self.open[-1][1] += spent
            function = ended.data["dispatcher"].py_func
            name = f"{function.__module__}.{function.__qualname__}"
            seconds[name] += spent - inner
            instances[name] += 1

    event.register("numba:compile", Compiling())  # type: ignore[no-untyped-call]
    result = build_orders(demo_orders(), Path(out))
    whole = time.process_time() - begin
    dearest = sorted(seconds.items(), key=lambda each: -each[1])
    kernels = {name: {"seconds": round(spent, 3), "instances": instances[name]} for name, spent in dearest}
    compiling = sum(seconds.values())
    figures = {"imports": imports, "compiling": compiling, "the rest": whole - imports - compiling, "whole": whole}
    print(json.dumps({"ok": result.ok, "seconds": figures, "kernels": kernels}))


def measured(folder: Path, kept: Path) -> dict[str, Any]:
    """The figures of a run of its own process, with compiled code kept in ``kept``."""
    environment = {**os.environ, "NUMBA_CACHE_DIR": str(kept), "NUMBA_NUM_THREADS": "1"}
    command = [sys.executable, "-c", RUN, str(folder)]
    done = subprocess.run(command, env=environment, capture_output=True, text=True, check=True)
    found: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--json", action="store_true", help="print JSON")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as room:
        runs = {name: measured(Path(room, name), Path(room, "kept")) for name in ("first", "second")}
    if options.json:
        print(json.dumps(runs, indent=1))
        return
    print(f"{'seconds of computing':22}" + "".join(f"{name:>10}" for name in runs))
    for part in runs["first"]["seconds"]:
        print(f"{part:22}" + "".join(f"{each['seconds'][part]:10.1f}" for each in runs.values()))
    kernels = runs["first"]["kernels"]
    print(f"\n{sum(each['instances'] for each in kernels.values())} instances of {len(kernels)} kernels; the dearest:")
    for name, each in list(kernels.items())[:SHOWN]:
        print(f"{each['seconds']:8.2f} s {each['instances']:3d}  {name}")


if __name__ == "__main__":
    main()
