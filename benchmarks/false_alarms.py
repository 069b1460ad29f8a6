"""In how many good jobs does the proof find a fault? The target is none.

    python -m benchmarks.false_alarms 2000 [--files 300] [--drawn 1500] [--seed 1]

Three kinds of job are drawn at random:

- boards (`pathkit.testing.boards`) go through the standard passes, are lowered, posted for the machines that come with
  the dialects, one after the other, and proved;
- job files (`pathkit.testing.job_files`: leads, flat bits that engrave, holes a hair wider than the bit, outlines of
  every kind, ranges of thickness) are built;
- toolpaths that no maker would draw (`pathkit.testing.strategies.jobs`: one over another, with any bit) are lowered and
  proved. They may cut loose pieces of waste that nothing holds: that is a warning, not an alarm.

Every alarm is printed; the exit code is 1 if there is one.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings

import pathkit as pk
from pathkit.errors import Refused
from pathkit.handover.build import build_orders
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.testing.boards import boards
from pathkit.testing.job_files import honest_job
from pathkit.testing.strategies import jobs

MACHINES = ("grbl-back-right", "grbl-front-left", "portrait-inch")


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("count", type=int, nargs="?", default=2000)
    words.add_argument("--files", type=int, default=300)
    words.add_argument("--drawn", type=int, default=1500)
    words.add_argument("--seed", type=int, default=1)
    asked = words.parse_args()
    profiles = [pk.load_machine(name) for name in MACHINES]
    passes = pk.Pipeline(
        [
            pk.MergeStepdowns(),
            pk.HoldTabs(count=2, width=6.0, height=2.0),
            pk.RampEntries(angle=3.0),
            pk.OrderTravel(effort=0, seed=0),
        ]
    )
    seen: Counter[str] = Counter()
    alarms: list[str] = []

    @drawing(asked.count)
    @seed(asked.seed)
    @given(job=boards())
    def prove(job: pk.Job) -> None:
        machine = profiles[seen["jobs"] % len(profiles)]
        program, proof = proved(job, machine, passes)
        seen["jobs"] += 1
        seen["moves"] += len(program)
        seen["parts"] += len(job.parts)
        seen["remarks"] += sum(f.severity != "error" for f in proof.findings)
        alarms.extend(f"{machine.name}: {f.check}: {f}" for f in proof.findings if f.severity == "error")

    begun = time.perf_counter()
    prove()
    for number in range(asked.files):
        told, refused = built(asked.seed * 100_000 + number, profiles[number % len(profiles)])
        seen["files"] += 1
        seen["refused"] += refused
        alarms.extend(told)
    alarms.extend(drawn(asked.drawn, asked.seed, seen))
    for alarm in alarms[:50]:
        print(alarm)
    taken = time.perf_counter() - begun
    print(f"{seen['jobs']} jobs, {seen['parts']} parts, {seen['moves']} moves in {taken:.0f} s: {len(alarms)} alarms")
    print(f"{seen['files']} job files, {seen['refused']} of them refused for webs that would break")
    print(f"{seen['drawn']} drawn jobs of toolpaths")
    print(f"{seen['remarks']} remarks that are no errors (waste that comes loose on boards without tape)")
    return 1 if alarms else 0


def drawing(count: int) -> settings:
    """Hypothesis settings: ``count`` examples, none saved, none shrunk."""
    return settings(
        max_examples=count, deadline=None, database=None, phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )  # fmt: skip


def proved(job: pk.Job, machine: pk.Machine, passes: pk.Pipeline) -> tuple[pk.Program, pk.Proof]:
    """A job taken through the passes, lowered, posted and read back."""
    done = passes.run(job, machine).job
    program = pk.lower(done, machine)
    return program, pk.verify(pk.post(program, machine), program, machine, job=done)


def drawn(count: int, number: int, seen: Counter[str]) -> list[str]:
    """The alarms in ``count`` jobs of random toolpaths."""
    machine = pk.load_machine("grbl-front-left")
    passes = pk.Pipeline([pk.MergeStepdowns(), pk.RampEntries(angle=3.0), pk.OrderTravel(effort=0.1)])
    found: list[str] = []

    @drawing(count)
    @seed(number)
    @given(job=jobs(repeats=False))
    def prove(job: pk.Job) -> None:
        _, proof = proved(job, machine, passes)
        seen["drawn"] += 1
        found.extend(f"drawn job: {f.check}: {f}" for f in proof.findings if f.severity == "error")

    prove()
    return found


def built(seed: int, machine: pk.Machine) -> tuple[list[str], bool]:
    """The alarms in the job file of this seed, and whether the file was refused before anything was made."""
    with tempfile.TemporaryDirectory() as room:
        try:
            orders = orders_of(job_file_of(honest_job(seed), "job.toml", "."), [machine], effort=0)
        except Refused:
            return [], True
        result = build_orders(orders, Path(room) / "out")
    return [f"job file {seed}: {f.check}: {f}" for f in result.findings if f.severity == "error"], False


if __name__ == "__main__":
    sys.exit(main())
