"""In how many good jobs does the proof find a fault? The target is none.

    python -m benchmarks.false_alarms 2000 [--files 300] [--special 140] [--drawn 1500] [--seed 1]

Four kinds of job are drawn at random:

- boards (`pathkit.testing.boards`) go through the standard passes, are lowered, posted for the machines that come with
  the dialects, one after the other, and proved;
- job files (`pathkit.testing.job_files`: leads, flat bits that engrave, holes a hair wider than the bit, outlines of
  every kind, ranges of thickness) are built;
- so are job files of each of the kinds of `pathkit.testing.special_jobs` in turn: unlike parts that are nested, marked
  differently and told where to lie; last laps, skins, cores, pockets cut by two bits, sloped tabs, weak machines;
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
from collections.abc import Iterator
from pathlib import Path

from hypothesis import HealthCheck, Phase, given, seed, settings

import pathkit as pk
from pathkit.errors import PathkitError, Refused
from pathkit.handover.build import build_orders
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.testing.boards import boards
from pathkit.testing.job_files import honest_job
from pathkit.testing.special_jobs import KINDS, MACHINES, special_job
from pathkit.testing.strategies import jobs

THIN = "of wood would stand between"
"""What is said of webs that would break."""


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("count", type=int, nargs="?", default=2000)
    words.add_argument("--files", type=int, default=300)
    words.add_argument("--special", type=int, default=140)
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

    @drawing(max(1, asked.count))
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
    if asked.count:
        prove()
    for title, text in job_files(asked.files, asked.special, asked.seed * 100_000):
        told, refused, remarks = built(title, text, profiles[seen["files"] % len(profiles)])
        seen["files"] += 1
        seen["refused"] += refused
        seen["remarks"] += remarks
        alarms.extend(told)
    if asked.drawn:
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


def job_files(honest: int, special: int, first: int) -> Iterator[tuple[str, str]]:
    """Title and text of so many job files of each sort, drawn from the seeds from ``first`` on."""
    for number in range(first, first + honest):
        yield f"job file {number}", honest_job(number)
    for number in range(special):
        kind, seed = KINDS[number % len(KINDS)], first + number // len(KINDS)
        yield f"job file {kind} {seed}", special_job(kind, seed)


def built(title: str, text: str, machine: pk.Machine) -> tuple[list[str], bool, int]:
    """The alarms in a job file, whether it was refused before anything was made for webs that would break, and how many
    of its findings are warnings. Any other refusal of an honest job is an alarm."""
    with tempfile.TemporaryDirectory() as room:
        try:
            orders = orders_of(job_file_of(text, "job.toml", "."), [machine], effort=0)
            found = build_orders(orders, Path(room) / "out").findings
        except PathkitError as refused:
            if isinstance(refused, Refused) and all(THIN in each.what for each in refused.findings):
                return [], True, 0
            return [f"{title}: refused: {finding}" for finding in refused.findings], False, 0
    alarms = [f"{title}: {f.check}: {f}" for f in found if f.severity == "error"]
    return alarms, False, sum(f.check == "holding" and f.severity == "warning" for f in found)


if __name__ == "__main__":
    sys.exit(main())
