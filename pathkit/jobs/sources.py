"""The inputs of a build, handed over with its output: job file, drawings, tool table, the machine's profile.

Each folder holds copies under plain, safe names, sealed in its certificate, so that the audit of job file and job can
be repeated anywhere. A certificate comes from outside and is not trusted: only plain names in its own folder are ever
read, and bytes that do not match the seal are an error.
"""

from __future__ import annotations

import hashlib
import json
import pickle
import re
import tomllib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from pathkit.errors import InputError
from pathkit.findings import Finding, errors_of
from pathkit.once import Once

if TYPE_CHECKING:
    from pathkit.jobs.order import Order
    from pathkit.jobs.reading import JobFile
    from pathkit.machine.profile import Machine
    from pathkit.proof.certificate import Certificate, Source
    from pathkit.proof.result import CheckResult

PREFIX: Final = "asked-"
"""Prefix of the names of these files, so that none is taken for a cut file."""

WITHOUT: Final = "there was no job file: the job was given as toolpaths"
RESUMED: Final = "the file begins in the middle of a job: what the job file asks is judged only for the whole job"
TUNED: Final = "there is no job file: the job was understood from a cut file that was made elsewhere"
OLDER: Final = "made by an older version: what the job file asks is not judged"
OTHER: Final = "the job, machine or set-up given is not the one that the folder was built with"

_LONGEST: Final = 80


@dataclass(frozen=True)
class Sources:
    """The bytes that a job was made from: the job file (``name``, ``job``) and the files that it names.

    ``beside`` holds their bytes, ``roles`` is ``"tools"`` or ``"drawing"``, both by name as in the job file.
    """

    name: str
    job: bytes
    beside: Mapping[str, bytes] = field(default_factory=dict)
    roles: Mapping[str, str] = field(default_factory=dict)


def sources_of(file: JobFile) -> Sources:
    """The sources of a job file. Raises `InputError` for a file that is no longer there."""
    from pathkit.drawings.drawing import LARGEST
    from pathkit.files import read_bytes

    roles: dict[str, str] = {}
    if file.form.tool_table is not None:
        roles[file.form.tool_table] = "tools"
    shapes = [shape for part in file.form.part for shape in part.shapes.values()]
    shapes += [zone.shape for board in file.form.board for zone in board.zones]
    roles |= {name: "drawing" for shape in shapes if (name := shape.svg or shape.dxf) is not None}
    beside = {name: read_bytes(file.folder / name, LARGEST) for name in roles}
    return Sources(Path(file.source).name, file.text.encode("utf-8"), beside, roles)


def source_files(sources: Sources | None, machine: Machine) -> tuple[dict[str, bytes], list[dict[str, Any]]]:
    """The files to hand over, by plain name, and how the certificate lists them."""
    if sources is None:
        return {}, []
    from pathkit.proof.certificate import machine_as_dict

    profile = (json.dumps(machine_as_dict(machine), indent=1, sort_keys=True, default=list) + "\n").encode("ascii")
    given = [("job", sources.name, sources.job), ("machine", f"{machine.slug}.json", profile)]
    given += [(sources.roles[name], name, data) for name, data in sources.beside.items()]
    files: dict[str, bytes] = {}
    listed: list[dict[str, Any]] = []
    for role, called, data in given:
        name = _safe(called, files)
        files[name] = data
        seal = {"name": name, "sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)}
        listed.append({"role": role, "called": called, **seal})
    return files, listed


def sealed_sources(order: Order, boards: Sequence[tuple[int, ...]], listed: list[dict[str, Any]]) -> dict[str, Any]:
    """What the certificate says of the inputs: the files, what was asked besides, and every board of this machine."""
    if order.sources is None:
        return {"files": [], "without": WITHOUT}
    return {
        "files": listed,
        "bits": list(order.recipe.get("bits", ())),
        "left_out": list(order.recipe.get("left_out", ())),
        "tabs": bool(order.recipe.get("tabs", True)),
        "board": order.recipe.get("board"),
        "boards": [list(board) for board in boards],
        "times": order.times,
        "last": order.is_last,
    }


def boards_of(orders: Iterable[Order], order: Order) -> tuple[tuple[int, ...], ...]:
    """(copies, times) of every board that the machine of ``order`` cuts, followed by the copies of each part if parts
    are laid out one by one."""
    return tuple(
        (1 if each.layout is None else each.layout.count, each.times, *getattr(each.layout, "counts", ()))
        for each in orders
        if each.machine.name == order.machine.name
    )


def audited(
    order: Order, boards: Sequence[tuple[int, ...]], job: bytes, known: Once | None = None
) -> tuple[CheckResult, ...]:
    """The audit of an order; ``job`` is its job as it is cut (JSON).

    ``known`` keeps verdicts: the same inputs and the same job, for machines that the audit cannot tell apart, have one.
    """
    from pathkit.jobs.audit import Asked, Made, audit, not_run

    if order.sources is None:
        return not_run(WITHOUT)
    asked = Asked(
        order.sources.job, order.sources.beside, tuple(order.recipe.get("bits", ())),
        bool(order.recipe.get("tabs", True)), _machine_for_audit(order.machine, order.sources.job), order.setup.turn,
        tuple(order.recipe.get("left_out", ())), order.recipe.get("board"),
    )  # fmt: skip
    rest = order.times, tuple(boards), order.is_last

    def work_out() -> tuple[CheckResult, ...]:
        return audit(asked, Made(json.loads(job), *rest))

    if known is None:
        return work_out()
    return known(hashlib.sha256(pickle.dumps((asked, rest, job))).digest(), work_out)


@lru_cache(maxsize=4)
def _machines_listed(job: bytes) -> frozenset[str]:
    """The names of the machines that a job file lists: many variants ask for those of one file."""
    from pathkit.jobs.audit.strength import name_of

    listed = tomllib.loads(job.decode("utf-8", "replace")).get("machine", [])
    return frozenset(name_of(str(each["profile"])) for each in listed)


def _machine_for_audit(machine: Machine, job: bytes) -> dict[str, Any]:
    """A machine as the audit sees it, and no more: its name, if the job file lists it, its room and its limits."""
    motion = machine.motion
    return {
        "name": machine.name if machine.name in _machines_listed(job) else "",
        "travel": {"x": machine.travel.x, "y": machine.travel.y},
        "axes": {"x": "right" if machine.axes.x in ("left", "right") else "away"},
        "motion": {"feed_limit": list(motion.feed_limit), "acceleration": list(motion.acceleration)},
    }


def audited_again(
    folder: Path, certificate: Certificate, stored: Callable[[Path], Path] = lambda path: path,
    known: tuple[bytes, Any] = (b"", None),
) -> tuple[tuple[CheckResult, ...], tuple[Finding, ...]]:  # fmt: skip
    """The audit of a folder from the files in it, and what is wrong with their seals. ``stored`` says where a file of
    it is. ``known`` is a JSON text and what the standard library finds in it, not to be decoded again."""
    from pathkit.jobs.audit import Asked, Made, audit, not_run
    from pathkit.proof.certificate import machine_as_dict

    sources = certificate.sources
    if sources is None:
        return not_run(OLDER), ()
    if sources.without:
        return not_run(sources.without), ()
    data, lost, found = _read(folder, sources.files, stored)
    job = _bytes(stored(folder / certificate.job.name)) if certificate.job is not None else None
    if errors_of(found):
        return not_run("changed since the build: " + ", ".join(f.file or "" for f in found)), tuple(found)
    if lost or job is None:
        return not_run("missing: " + ", ".join(lost or ["the job as it is cut"])), ()
    asked_job = next((data[each.name] for each in sources.files if each.role == "job"), None)
    if asked_job is None:
        return not_run("the certificate names no job file"), ()
    machine = machine_as_dict(certificate.machine)
    found += _same_machine(folder, sources.files, data, machine)
    beside = {each.called: data[each.name] for each in sources.files if each.role in ("tools", "drawing")}
    asked = Asked(
        asked_job, beside, sources.bits, sources.tabs, machine, certificate.setup.turn, sources.left_out,
        sources.board,
    )  # fmt: skip
    try:
        _refuse_depth(data, sources.files)
    except InputError as error:
        return not_run("the job file or tool table cannot be read"), (*found, *error.findings)
    made = Made((known[1] if job == known[0] else _decoded(job)) or {}, sources.times, sources.boards, sources.last)
    if sources.left_out:
        what = f"left out, as asked: {', '.join(map(repr, sources.left_out))}; these parts are not finished"
        found.append(Finding(check="certificate", what=what, severity="warning", file=str(folder)))
    return audit(asked, made), tuple(found)


def _read(
    folder: Path, files: Sequence[Source], stored: Callable[[Path], Path]
) -> tuple[dict[str, bytes], list[str], list[Finding]]:  # fmt: skip
    """Bytes by plain name, names of missing files, and errors for changed files."""
    data: dict[str, bytes] = {}
    lost: list[str] = []
    found: list[Finding] = []
    for each in files:
        read = _bytes(stored(folder / each.name))
        if read is None:
            lost.append(each.name)
        elif hashlib.sha256(read).hexdigest() != each.sha256:
            what = "these are not the bytes that the files were made from: the file was changed since"
            fix = "put it back, or build the folder again"
            found.append(Finding(check="certificate", what=what, fix=fix, file=str(folder / each.name)))
        else:
            data[each.name] = read
    return data, lost, found


def _bytes(path: Path) -> bytes | None:
    """The bytes of a file; None if there is none, or if it is a link."""
    from pathkit.files import LARGEST, read_bytes

    if path.is_symlink():
        return None
    try:
        return read_bytes(path, LARGEST)
    except InputError:
        return None


def _same_machine(folder: Path, files: Sequence[Source], data: Mapping[str, bytes], machine: Any) -> list[Finding]:
    for each in files:
        if each.role == "machine" and _decoded(data[each.name]) != json.loads(json.dumps(machine, default=list)):
            what = "it is not the machine that the certificate names"
            return [Finding(check="certificate", what=what, fix="build the folder again", file=str(folder / each.name))]
    return []


def _decoded(data: bytes) -> Any:
    """The value in a JSON text; None if it is not JSON, or is nested too deeply."""
    try:
        return json.loads(data)
    except (ValueError, RecursionError):
        return None


def _refuse_depth(data: Mapping[str, bytes], files: Sequence[Source]) -> None:
    """Raises `InputError` for a job file or tool table that cannot be honest: nested so deeply that reading it takes
    hours. The audit itself reads the content, from the same bytes."""
    from pathkit.toml_source import parse_toml

    for each in files:
        if each.role in ("job", "tools"):
            parse_toml(data[each.name].decode("utf-8-sig", errors="replace"), each.name)


def _safe(called: str, taken: Mapping[str, Any]) -> str:
    """A plain file name that is safe on any system and differs from those already ``taken``."""
    last = re.split(r"[/\\]", called)[-1]
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", last).strip(".-")[-_LONGEST:].lstrip(".-") or "file"
    lower = {name.lower() for name in taken}
    name, number = f"{PREFIX}{plain}", 2
    while name.lower() in lower:
        name, number = f"{PREFIX}{number}-{plain}", number + 1
    return name
