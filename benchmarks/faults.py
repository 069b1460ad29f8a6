"""How many faults between job file and cut file does the proof find? Faults are seeded one at a time.

    python -m benchmarks.faults [--count 150] [--seed 1] [--jobs 2] [--only TEXT]

Each fault gets a process of its own, which builds the files with its proof switched off. A process without a fault then
proves what was written, as ``pathkit check DIR`` does: the folder with the job file, the files, and the job that the
faulty process wrote down. It also compares what is cut with files made without a fault. Three small jobs are tried; a
fault is counted by the worst that it does to any of them:

- *refused*: the faulty process handed nothing over;
- *caught*: the proof finds an error; *by itself*: it also does without the checks that lower the job again and compare;
- *survived*: what is cut, a feed, speed, level, entry, dwell, order or a number on the sheet differs, and the proof
  says nothing; *harmless*: the files differ in none of these; *nothing*: the files are the same.

Survivors are printed with what differs. The exit code is 1 if fewer than 95 % of the faults that change what is cut are
caught.
"""

from __future__ import annotations

import argparse
import importlib
import json
import os
import re
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from typing import Any

from benchmarks.fault_jobs import JOBS
from benchmarks.fault_seeds import Fault, faults, spoil

COMPARING = {"same path", "feeds", "spindle", "tool changes", "events", "end state", "job", "precedence"}
"""Checks that lower the job again and compare the file with that program."""

TARGET = 0.95
PATIENCE = 120
"""Seconds for one build."""


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    words.add_argument("--count", type=int, default=150)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    words.add_argument("--only", default="", help="faults whose text has this in it")
    asked = words.parse_args()
    _load_what_is_not_ours()
    room = Path(tempfile.mkdtemp(prefix="faults-"))
    try:
        chosen = [fault for fault in faults(asked.count, asked.seed) if asked.only in str(fault)]
        for name in [name for name in sys.modules if name.split(".")[0].startswith("pathkit")]:
            del sys.modules[name]
        if _apart(lambda: _sound(room / "honest")) != 0:
            print("without a fault the jobs are not proved")
            return 1
        begun = time.perf_counter()
        results = _all(chosen, room, asked.jobs)
    finally:
        shutil.rmtree(room, ignore_errors=True)
    return _report(results, time.perf_counter() - begun)


def _load_what_is_not_ours() -> None:
    """Load what every child process shares; each child loads the library itself anew."""
    others = (
        "click jinja2 networkx numba numpy pluggy pydantic rich scipy.ndimage scipy.sparse.csgraph shapely.geometry"
    )
    for name in others.split():
        importlib.import_module(name)


def _all(chosen: list[Fault], room: Path, workers: int) -> list[tuple[Fault, str, list[str]]]:
    """Each fault, its verdict and the details, in the order given."""
    waiting = list(enumerate(chosen))
    running: dict[int, tuple[int, Fault]] = {}
    done: dict[int, tuple[Fault, str, list[str]]] = {}
    while waiting or running:
        while waiting and len(running) < workers:
            number, fault = waiting.pop(0)
            pid = _forked(lambda f=fault, k=number: _try(f, room / str(k)))
            running[pid] = (number, fault)
        pid, _ = os.wait()
        number, fault = running.pop(pid)
        report = room / str(number) / "verdict.json"
        verdict, said = json.loads(report.read_text()) if report.is_file() else ("refused", ["it ended without a word"])
        shutil.rmtree(room / str(number), ignore_errors=True)
        done[number] = (fault, verdict, said)
        print(f"{verdict:10} {fault}", flush=True)
    return [done[number] for number in sorted(done)]


RANKS = ("nothing", "harmless", "refused", "caught", "by itself", "survived")


def _try(fault: Fault, room: Path) -> None:
    """One fault on every job. A wrong file that passes is the worst verdict, whatever the other jobs say."""
    room.mkdir(parents=True)
    worst: tuple[str, list[str]] = ("nothing", [])
    for name in JOBS:
        if _apart(lambda job=name: _build(fault, job, room / job)) != 0:
            verdict: tuple[str, list[str]] = ("refused", [])
        else:
            _apart(lambda job=name: _judge(room.parent / "honest" / job, room / job, room / f"{job}.json"))
            told = room / f"{name}.json"
            verdict = tuple(json.loads(told.read_text())) if told.is_file() else ("caught", ["it cannot be read"])
        if RANKS.index(verdict[0]) > RANKS.index(worst[0]):
            worst = (verdict[0], [f"{name}: {line}" for line in verdict[1]])
    (room / "verdict.json").write_text(json.dumps(worst))


def _build(fault: Fault | None, name: str, out: Path) -> None:
    """Write the files of a job without proving them."""
    if fault is not None:
        spoil(fault)
    from pathkit import api
    from pathkit.handover import build
    from pathkit.jobs.requests import Wishes, orders_for
    from pathkit.proof.result import Proof
    from pathkit.registry import load_machine

    nan = float("nan")
    vars(build)["audited"] = lambda *_, **__: ()
    api.verify_files = lambda posted, *_, **__: tuple(Proof((), nan, p.files[0].name) for p in posted.each_file)
    api.verify_twin = lambda *_, **__: Proof((), nan)
    machine, text = JOBS[name]
    out.mkdir(parents=True)
    source = out.parent / f"{name}.toml"
    source.write_text(text, encoding="utf-8")
    made = build.build_orders(orders_for(source, [load_machine(machine)], Wishes(None, (), True, 0, 0)), out)
    if not made.ok:
        raise SystemExit(3)


def _sound(room: Path) -> None:
    """Write the files without a fault and prove every one of them."""
    for name in JOBS:
        _build(None, name, room / name)
    from pathkit.handover.recheck import recheck

    wrong = [str(f) for name in JOBS for result in recheck(room / name) for f in result.findings if not result.ok]
    if wrong:
        print("\n".join(wrong))
        raise SystemExit(3)


def _judge(honest: Path, out: Path, told: Path) -> None:
    from benchmarks.fault_effects import differences
    from pathkit.handover.recheck import recheck

    same = {p.relative_to(honest): p.read_bytes() for p in honest.rglob("*") if p.is_file()} == {
        p.relative_to(out): p.read_bytes() for p in out.rglob("*") if p.is_file()
    }
    if same:
        told.write_text(json.dumps(("nothing", [])))
        return
    failed = {f.check for result in recheck(out) for f in result.findings if f.severity == "error"}
    if failed:
        verdict = "by itself" if failed - COMPARING else "caught"
        told.write_text(json.dumps((verdict, sorted(failed))))
        return
    changed = differences(honest, out)
    told.write_text(json.dumps(("survived" if changed else "harmless", changed)))


def _forked(work: Any) -> int:
    pid = os.fork()
    if pid:
        return pid
    code = 4
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), 2)
        work()
        code = 0
    except SystemExit as stopped:
        code = int(stopped.code or 0)
    except BaseException:
        code = 4
    finally:
        os._exit(code)


def _apart(work: Any) -> int:
    """Run ``work`` in a process of its own for at most `PATIENCE` seconds; returns the exit code."""

    def within_patience() -> None:
        signal.alarm(PATIENCE)
        work()

    _, status = os.waitpid(_forked(within_patience), 0)
    return os.waitstatus_to_exitcode(status)


def _report(results: list[tuple[Fault, str, list[str]]], seconds: float) -> int:
    count = Counter(verdict for _, verdict, _ in results)
    found, lost = count["caught"] + count["by itself"], count["survived"]
    print()
    for fault, verdict, said in results:
        if verdict == "survived":
            print(f"survived: {fault}")
            for line in said[:6]:
                print(f"    {line}")
    print(f"\n{len(results)} faults in {seconds:.0f} s, on the jobs {', '.join(JOBS)}")
    print(", ".join(f"{count[verdict]} {verdict}" for verdict in RANKS))
    share = found / max(found + lost, 1)
    itself = count["by itself"] / max(found + lost, 1)
    print(
        f"of {found + lost} that changed what is cut the proof caught {found} ({share:.1%}), {itself:.1%} without the"
    )
    print("checks that lower the job again; what the faulty process refused to hand over is not counted")
    return 0 if share >= TARGET else 1


if __name__ == "__main__":
    if not re.search("linux|darwin", sys.platform):
        sys.exit("it forks, which this system cannot")
    sys.exit(main())
