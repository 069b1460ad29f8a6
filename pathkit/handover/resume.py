"""Starting again at a toolpath: a new file for the rest of a job, after a broken bit or a power cut.

The rest is lowered, posted, proved and certified like any other job. So it sets its whole state, rises before it goes
anywhere, starts the spindle and enters each cut as that cut always does. It is refused if it would be safe only in wood
that earlier cuts have opened: a mistake about what has been cut must not cost the bit.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from pathkit.curves.regions import swept_by
from pathkit.errors import InputError, Refused, UnknownName
from pathkit.findings import Finding, errors_of
from pathkit.model.job import Job, Part, Setup
from pathkit.model.stock import Stock
from pathkit.model.toolpath import Toolpath
from pathkit.texts.language import ENGLISH, Language
from pathkit.tolerances import COARSE_CHORDS, CUT_ALREADY, SAME_HEIGHT

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

    from pathkit.handover.recheck import HandedOver
    from pathkit.machine.profile import Machine
    from pathkit.posting import Posted
    from pathkit.proof.result import Proof

_SHOWN: Final = 12


@dataclass(frozen=True)
class Resumed:
    """The rest of a job, ready to be written: ``files`` maps bare names to bytes, a page that shows the cut among them;
    ``assumed`` names what the file assumes to be cut already, in the order in which it was cut."""

    machine: Machine
    setup: Setup
    job: Job
    files: Mapping[str, bytes]
    cut_file: str
    air_file: str
    report_file: str
    job_file: str
    assumed: tuple[str, ...]
    proof: Proof
    twin_proof: Proof
    findings: tuple[Finding, ...]
    say: Language = ENGLISH

    @property
    def before_you_resume(self) -> tuple[str, ...]:
        """What only the person at the machine can ensure."""
        from pathkit.handover.pages.sheet import before_a_start

        return (
            self.say("resume-where-they-were"),
            *([] if self.job.by_beam else [self.say("resume-new-bit")]),
            *before_a_start(self.job, self.machine, self.say),
            self.say("resume-air-cut"),
        )

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "ok": self.proof.ok and self.twin_proof.ok,
            "machine": self.machine.name,
            "cut_file": self.cut_file,
            "air_file": self.air_file,
            "report_file": self.report_file,
            "job_file": self.job_file,
            "toolpaths": len(self.job.toolpaths),
            "assumed_cut": list(self.assumed),
            "findings": [finding.as_dict() for finding in (*self.findings, *self.proof.findings)],
            "before_you_resume": list(self.before_you_resume),
        }


def resume(file: str | Path, toolpath: str, name: str, say: Language = ENGLISH) -> Resumed:
    """The file called ``name`` that does what ``file`` does from ``toolpath`` on; nothing is written yet.

    Its page, and what to do before, are in the language of ``say``.

    Machine, set-up and job come from the certificate beside ``file`` and the files it names. Raises `InputError` if
    these are missing or were changed, `UnknownName` for a toolpath that is not in the job, `Refused` if the rest needs
    an earlier cut or cannot be proved.
    """
    from pathkit.handover.recheck import handed_over

    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9 ._+-]{0,120}", name):
        raise InputError(f"the new file's name {name!r} holds more than letters, digits and . - _ +; choose another")
    given = handed_over(file)
    index = _index_of(given.job, toolpath)
    needed = needs(given.job, index)
    if needed:
        raise Refused(needed)
    return _made(given, index, name, say)


def rest_of(job: Job, index: int) -> Job:
    """The job from its toolpath ``index`` on.

    Finished shapes that the left-out cuts belong to are dropped: the rest cannot be compared with them.
    """
    dropped, kept = job.toolpaths[:index], job.toolpaths[index:]
    names = {path.name for path in kept}
    pairs = tuple(pair for pair in job.precedence if names.issuperset(pair))
    begun = {path.part for path in dropped}
    parts = tuple(part for part in job.parts if part.name not in begun)
    if None in begun and parts:
        import shapely

        loose = shapely.union_all([swept_by(path) for path in dropped if path.part is None])
        parts = tuple(p for p in parts if shapely.distance(_shapes_of(p), loose) > 2.0 * CUT_ALREADY)
    return Job(f"{job.name} from {kept[0].name}", job.stock, kept, pairs, parts)


def needs(job: Job, index: int) -> tuple[Finding, ...]:
    """Why the job cannot be started at toolpath ``index``: cuts that go down into room that only earlier cuts have
    made. Each finding names the toolpath to start from instead."""
    found = _needed(job, index)
    if not found:
        return ()
    start = min(found.values())
    while earlier := _needed(job, start):
        start = min(earlier.values())
    fix = f"start from {job.toolpaths[start].name!r}; cutting air once more costs only time"
    return tuple(
        Finding(
            check="resume",
            what=f"it goes down into what {job.toolpaths[maker].name!r} has cut, which this file would not cut",
            fix=fix,
            toolpath=name,
        )
        for name, maker in found.items()
    )


def _needed(job: Job, index: int) -> dict[str, int]:
    """Toolpath that is kept → index of the first left-out toolpath that it needs."""
    found: dict[str, int] = {}
    for at in range(index, len(job.toolpaths)):
        makers = _makers(job.toolpaths[at], job.toolpaths[:index], job.toolpaths[index:at], job.stock)
        if makers:
            found[job.toolpaths[at].name] = min(makers)
    return found


def _makers(path: Toolpath, dropped: Sequence[Toolpath], before: Sequence[Toolpath], stock: Stock) -> list[int]:
    """Indices of the left-out toolpaths that this cut needs: they removed what is above its top or, for a wall, the
    wood of which it takes more at once than they did."""
    import shapely

    if path.curve.is_trace:
        return []
    if path.top is not None and path.top < stock.top - SAME_HEIGHT:
        gone = [swept_by(other) for other in before if other.lowest <= path.top + SAME_HEIGHT]
        lacking = shapely.difference(swept_by(path), shapely.buffer(shapely.union_all(gone), CUT_ALREADY))
        if lacking.area > CUT_ALREADY:
            return [
                k
                for k, other in enumerate(dropped)
                if other.lowest <= path.top + SAME_HEIGHT and shapely.intersects(swept_by(other), lacking)
            ]
    if path.role == "finish":
        bite = path.deepest_bite(stock)
        return [
            k
            for k, other in enumerate(dropped)
            if other.role == "pocket"
            and other.lowest <= path.lowest + SAME_HEIGHT
            and bite > other.deepest_bite(stock) + SAME_HEIGHT
            and shapely.intersects(swept_by(other), swept_by(path))
        ]
    return []


def _shapes_of(part: Part) -> BaseGeometry:
    """The plan of a part; if its outline is not known, of the shapes in it."""
    import shapely

    features = [feature.curve for feature in (*part.recesses, *part.holes)]
    curves = features if part.outline is None else [part.outline]
    area: BaseGeometry = shapely.union_all([shapely.Polygon(curve.flattened(COARSE_CHORDS)) for curve in curves])
    return area


def _made(given: HandedOver, index: int, name: str, say: Language) -> Resumed:
    from pathkit import api
    from pathkit.handover.report import as_json
    from pathkit.handover.watching import preview_of_rest
    from pathkit.jobs.sources import RESUMED
    from pathkit.lowering.lower import lower
    from pathkit.model.codec import dumps
    from pathkit.posting import File
    from pathkit.proof.certificate import certificate_name, certify
    from pathkit.registry import capabilities_of

    machine, setup, job = given.machine, given.setup, rest_of(given.job, index)
    assumed = tuple(path.name for path in given.job.toolpaths[:index])
    stem, suffix = Path(name).stem, Path(name).suffix
    air_name, job_name = f"{stem}-air{suffix}", f"{stem}.job.json"
    program = lower(job, machine, setup)
    whole = api.post(program, machine, setup, mark=given.mark or "")
    ordinal = (1, len(whole.files)) if len(whole.files) > 1 else None
    # If each bit has its own file, those of later bits are there already: only the first is made again.
    posted = _renamed(whole.each_file[0], name, File)
    twin = _renamed(api.air_cut(posted, machine), air_name, File)
    proof = api.verify_files(replace(whole, files=(*posted.files, *whole.files[1:])), program, machine, job=job,
                               setup=setup)[0]  # fmt: skip
    twin_proof = api.verify_twin(twin, posted, machine)
    if broken := errors_of((*proof.findings, *twin_proof.findings)):
        raise Refused(broken)
    certificate = certify(
        proof, twin_proof, posted, twin, machine, capabilities_of(machine), job, setup, job_file=job_name,
        ordinal=ordinal, mark=given.mark, language=say.code,
    )  # fmt: skip
    origin = {"file": given.file.name, "sha256": given.sha256, "from": job.toolpaths[0].name, "assumed": list(assumed)}
    findings = (*_cautions(given.job, index), *_later_files(len(whole.files)), *posted.findings)
    without = {"files": [], "without": RESUMED}
    report = {**certificate, "resumed": origin, "sources": without, "warnings": [f.as_dict() for f in findings]}
    report_name = certificate_name(name)
    files = {
        name: posted.files[0].data,
        air_name: twin.files[0].data,
        job_name: dumps(job).encode("utf-8"),
        report_name: as_json(report),
        **preview_of_rest(job, machine, setup, given.mark or "", posted, proof, program, say),
    }
    return Resumed(
        machine, setup, job, files, name, air_name, report_name, job_name, assumed, proof, twin_proof, findings, say
    )  # fmt: skip


def _later_files(count: int) -> tuple[Finding, ...]:
    if count == 1:
        return ()
    what = f"it ends where its bit does; the files of {count - 1} later bits follow it"
    return (Finding(check="resume", what=what, fix="run those of the folder after it, in order", severity="warning"),)


def _renamed(posted: Posted, name: str, file: Any) -> Posted:
    return replace(posted, files=(file(name, posted.files[0].data),))


def _cautions(job: Job, index: int) -> tuple[Finding, ...]:
    """What the new file takes for granted."""
    tool = job.toolpaths[index].tool
    bit = Finding(
        check="resume", what=f"it starts with the bit {tool.name!r}", fix="put it in, and set Z", severity="warning"
    )
    bits = () if job.by_beam else (bit,)
    if index == 0:
        return bits
    names = [repr(path.name) for path in job.toolpaths[:index]]
    listed = ("…, " if len(names) > _SHOWN else "") + ", ".join(names[-_SHOWN:])
    what = f"what comes before it ({len(names)} toolpaths) is taken to be cut already: {listed}"
    fix = "look at the board; start earlier if one of them is not done"
    return Finding(check="resume", what=what, fix=fix, severity="warning"), *bits


def _index_of(job: Job, toolpath: str) -> int:
    names = [path.name for path in job.toolpaths]
    if toolpath in names:
        return names.index(toolpath)
    near = get_close_matches(toolpath, names, 3)
    fix = f"did you mean {' or '.join(map(repr, near))}?" if near else f"the first is {names[0]!r}" if names else ""
    raise UnknownName([Finding(check="resume", what=f"no toolpath of this job is called {toolpath!r}", fix=fix)])
