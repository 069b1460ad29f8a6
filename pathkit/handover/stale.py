"""Which files of a handover folder a changed job has made stale, and why.

Nothing is built: every certificate says what its files were made from, and the job file is evaluated again as far as
the job before its passes.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any, Final

from pathkit.errors import InputError, PathkitError
from pathkit.files import read_bytes
from pathkit.findings import Finding
from pathkit.handover.atomic_write import below
from pathkit.handover.stored_once import stored
from pathkit.jobs.handout import piece_order
from pathkit.jobs.order import Order, made_from
from pathkit.jobs.reading import JobFile
from pathkit.jobs.requests import Wishes, is_json, job_file, orders_of_file
from pathkit.model.codec import loads
from pathkit.model.job import Job
from pathkit.proof.certificate import LARGEST, Certificate, machine_as_dict, read_certificate

_SUFFIX: Final = ".proof.json"
_BY_PASSES: Final = frozenset({"tabs", "entry", "levels", "stepdown", "start", "backward", "name"})
_MOST: Final = 12


def stale(out: Path, file: JobFile) -> tuple[Finding, ...]:
    """One error for each folder below ``out`` whose files the job file would no longer make; none if all are fresh.

    Raises `InputError` if ``out`` holds no certificate, and for a job file that is no longer valid.
    """
    beside = below(out, _SUFFIX)
    if not beside:
        raise InputError(f"no certificate (*{_SUFFIX}) below {str(out)!r}; name a folder that was built")
    found: list[Finding] = []
    known: set[str] = set()
    for path in beside:
        name = path.parent.relative_to(out).as_posix()
        if name not in known:
            # A folder with a file for each bit has a certificate for each, all made from the same inputs.
            found += _of_folder(path, name, file)
        known.add(name)
    for name in _expected(file) - known:
        found.append(_finding(str(out / name), "the job makes this folder, but it is not there", "build it"))
    return tuple(found)


def job_or_stale(job: Path, out: Path) -> tuple[Job | None, tuple[Finding, ...]]:
    """For a job in JSON the job itself, to compare a cut file with; for a job file what it has made stale."""
    data = read_bytes(job)
    if is_json(data):
        return Job.from_json(data, str(job)), ()
    if not out.is_dir():
        raise InputError(f"{str(job)!r} is a job file; compare it with a folder, which {str(out)!r} is not")
    return None, stale(out, job_file(job))


def _of_folder(path: Path, name: str, file: JobFile) -> Iterator[Finding]:
    data = read_bytes(path, LARGEST)
    certificate = read_certificate(data, str(path))
    made = json.loads(data).get("made_from")
    if not isinstance(made, dict) or "bits" not in made:
        yield _finding(str(path), "it does not say that it was made from a job file", "build the folder again")
        return
    wishes = _wishes(made, certificate, path)
    if made.get("test_piece"):
        orders: tuple[Order, ...] = (piece_order(file, certificate.machine, certificate.setup, wishes.bits),)
    else:
        orders = orders_of_file(file, [certificate.machine], wishes)
    order = next((each for each in orders if each.folder == name), None)
    if order is None:
        yield _finding(str(path.parent), "the job no longer makes this folder", "build again")
        return
    fresh = json.loads(json.dumps(made_from(order)))
    changed = [*_changes(fresh, made, order, path.parent, certificate), *_profile(file, certificate)]
    if changed:
        files = sorted(each.name for each in path.parent.iterdir() if each.is_file())
        what = f"stale: {', '.join(changed)}"
        yield _finding(str(path.parent), what, f"build again; do not cut from {', '.join(files)}")


def _wishes(made: dict[str, Any], certificate: Certificate, path: Path) -> Wishes:
    bits, tabs, effort, seed = (made.get(key) for key in ("bits", "tabs", "effort", "seed"))
    without, board = made.get("left_out", []), made.get("board")
    sound = (
        all(isinstance(names, list) and all(isinstance(each, str) for each in names) for names in (bits, without))
        and isinstance(tabs, bool)
        and (effort is None or isinstance(effort, (int, float)))
        and (seed is None or isinstance(seed, int))
        and (board is None or isinstance(board, int))
    )
    if not sound or not isinstance(bits, list) or not isinstance(tabs, bool):
        raise InputError(f"{str(path)!r}: what it says it was made from cannot be read; build the folder again")
    return Wishes(certificate.setup, tuple(bits), tabs, effort, seed, tuple(without), board)


def _changes(
    fresh: dict[str, Any], made: dict[str, Any], order: Order, folder: Path, certificate: Certificate
) -> Iterator[str]:
    if fresh.get("times") != made.get("times"):
        yield f"{fresh.get('times')} boards instead of {made.get('times')}"
    if fresh["passes"] != made.get("passes"):
        yield "the passes changed"
    if fresh["job_sha256"] != made.get("job_sha256"):
        yield from _cuts(order.job, folder, certificate)


def _cuts(job: Job, folder: Path, certificate: Certificate) -> list[str]:
    """What differs between the job that was cut and the one that would be, toolpath by toolpath."""
    try:
        assert certificate.job is not None
        old = loads(read_bytes(stored(folder / certificate.job.name)))
    except (PathkitError, AssertionError):
        return ["the job changed"]
    changes = []
    if old.name != job.name:
        changes.append(f"the job is called {job.name!r}")
    if old.stock != job.stock:
        changes.append("the stock changed")
    gone, new = old.by_name.keys() - job.by_name.keys(), job.by_name.keys() - old.by_name.keys()
    changes += [
        f"{len(names)} cuts are {word} ({_some(names)})" for names, word in ((gone, "gone"), (new, "new")) if names
    ]
    for field in fields(next(iter(job.toolpaths))) if job.toolpaths else ():
        if field.name in _BY_PASSES or field.name == "_":
            continue
        changed = [
            name
            for name, path in job.by_name.items()
            if name in old.by_name and getattr(path, field.name) != getattr(old.by_name[name], field.name)
        ]
        if changed:
            changes.append(f"{field.name} of {len(changed)} cuts changed ({_some(changed)})")
    if old.parts != job.parts:
        changes.append("the finished parts changed")
    return changes or ["the order, the precedence or how a cut is entered changed"]


def _profile(file: JobFile, certificate: Certificate) -> Iterator[str]:
    from pathkit.jobs.planning import named_machines

    named = named_machines(file).get(certificate.machine.name)
    if named is not None and machine_as_dict(named[0]) != machine_as_dict(certificate.machine):
        yield "the machine's profile changed"


def _expected(file: JobFile) -> set[str]:
    if not file.form.machine:
        return set()
    return {order.folder for order in orders_of_file(file, (), Wishes())}


def _some(names: Any) -> str:
    ordered = sorted(names)
    return ", ".join(ordered[:_MOST]) + (", …" if len(ordered) > _MOST else "")


def _finding(place: str, what: str, fix: str) -> Finding:
    return Finding(check="stale", what=what, fix=fix, file=place)
