"""The process in which a strip is packed: a question on standard input, its answer on standard output, both JSON.

Only the reports and their order decide the answer, never the time at which they come.
"""

from __future__ import annotations

import json
import os
import sys
import threading
import time
from typing import Any

SEED = 1
WORKERS = 2  # searches that the library compares step by step; two get further in the same time than one or three
LONG = 100  # the library's own time limit, as a multiple of the processor time that the search may use
EVERY = 0.02  # seconds between two looks at the reports


def search(asked: dict[str, Any]) -> dict[str, Any] | None:
    """The first strip that is short enough, or the shortest within the number of reports asked for, if there is one."""
    import spyrrow

    items = [
        spyrrow.Item(str(k), [tuple(point) for point in ring], count, angles)
        for k, (ring, count, angles) in enumerate(asked["items"])
    ]
    strip = spyrrow.StripPackingInstance("strip", asked["depth"], items)
    # All the time is for exploring: the phase after it would begin by the clock.
    config = spyrrow.StripPackingConfig(
        early_termination=True, total_computation_time=None, exploration_time=LONG * asked["seconds"],
        compression_time=1, num_workers=WORKERS, seed=SEED,
    )  # fmt: skip
    queue = spyrrow.ProgressQueue()
    thread = threading.Thread(target=strip.solve, args=(config, queue), daemon=True)
    thread.start()
    best: Any = None
    seen = 0
    while True:
        running = thread.is_alive()
        for kind, solution in queue.drain():
            if kind not in (
                spyrrow.ReportType.ExplFeas,
                spyrrow.ReportType.ExplImproving,
                spyrrow.ReportType.ExplInfeas,
            ):
                return _answer(best)
            seen += 1
            if kind == spyrrow.ReportType.ExplFeas and (best is None or solution.width < best.width):
                best = solution
            if seen >= asked["reports"] or (best is not None and best.width <= asked["short_enough"]):
                return _answer(best)
        # Processor time, since what else the machine does must not decide.
        if not running or time.process_time() > asked["seconds"]:
            return _answer(best)
        time.sleep(EVERY)


def _answer(solution: Any) -> dict[str, Any] | None:
    if solution is None:
        return None
    places = [[int(each.id), each.rotation, *each.translation] for each in solution.placed_items]
    return {"length": solution.width, "places": places}


def main() -> None:
    """Answer, and exit at once: the search may still be running, and cannot be stopped otherwise."""
    answer = search(json.load(sys.stdin))
    json.dump(answer, sys.stdout)
    sys.stdout.flush()
    os._exit(0)


if __name__ == "__main__":
    main()
