"""How many of so many good jobs does the proof find fault with? None is the target.

    python benchmarks/false_alarms.py 2000 [--seed 1]

Boards are drawn by `pathkit.testing.boards`, taken through the standard passes, lowered, posted for each of the
machines that come with the dialects in turn, and proved. Every alarm is printed; the exit code is 1 if there is one.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter

from hypothesis import HealthCheck, Phase, given, seed, settings

import pathkit as pk
from pathkit.testing.boards import boards

MACHINES = ("grbl-back-right", "grbl-front-left", "portrait-inch")


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("count", type=int, nargs="?", default=2000)
    words.add_argument("--seed", type=int, default=1)
    asked = words.parse_args()
    profiles = [pk.load_machine(name) for name in MACHINES]
    passes = [
        pk.MergeStepdowns(),
        pk.HoldTabs(count=2, width=6.0, height=2.0),
        pk.RampEntries(angle=3.0),
        pk.OrderTravel(effort=0, seed=0),
    ]
    seen: Counter[str] = Counter()
    alarms: list[str] = []

    @settings(
        max_examples=asked.count, deadline=None, database=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip
    @seed(asked.seed)
    @given(job=boards())
    def prove(job: pk.Job) -> None:
        machine = profiles[seen["jobs"] % len(profiles)]
        done = pk.Pipeline(passes).run(job, machine).job
        program = pk.lower(done, machine)
        proof = pk.verify(pk.post(program, machine), program, machine, job=done)
        seen["jobs"] += 1
        seen["moves"] += len(program)
        seen["parts"] += len(job.parts)
        seen["remarks"] += sum(f.severity != "error" for f in proof.findings)
        alarms.extend(f"{machine.name}: {f.check}: {f}" for f in proof.findings if f.severity == "error")

    begun = time.perf_counter()
    prove()
    for alarm in alarms[:50]:
        print(alarm)
    taken = time.perf_counter() - begun
    print(f"{seen['jobs']} jobs, {seen['parts']} parts, {seen['moves']} moves in {taken:.0f} s: {len(alarms)} alarms")
    print(f"{seen['remarks']} remarks that are no errors (waste that comes loose on boards without tape)")
    return 1 if alarms else 0


if __name__ == "__main__":
    sys.exit(main())
