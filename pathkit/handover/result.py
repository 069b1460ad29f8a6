"""The result of a build: a folder for each board of each machine, and the whole."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from pathkit.findings import Finding
from pathkit.handover import report as reports
from pathkit.handover.atomic_write import Written
from pathkit.handover.kept import Kept
from pathkit.handover.pages.cautions import cautions
from pathkit.jobs.order import Order
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.passes.earlier_order import CHECK
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from pathkit.machine.kinematics import RunTime
    from pathkit.proof.result import Proof

TOLD: Final = frozenset({"finished shape", CHECK})
"""Checks whose notes are told, too."""


@dataclass(frozen=True)
class Folder:
    """The result of one order: ``files`` maps names within its folder to their bytes; five of them are named.

    ``job`` is the job as it is cut, after its passes. If a machine takes a file for each bit, ``further`` names the cut
    file, air cut and certificate of each later bit; else ``change_lines`` are the lines with which the cut file goes on
    after each change. For a machine that nobody has seen, ``rehearsal`` names the files that draw a letter, go round
    the board and go a known way, and ``quickest`` are the seconds that even the quickest machine takes.
    """

    order: Order
    job: Job
    files: Mapping[str, bytes]
    cut_file: str
    air_file: str
    report_file: str
    job_file: str
    figures: reports.Figures
    proof: Proof
    twin_proof: Proof
    clock: RunTime
    findings: tuple[Finding, ...] = ()
    sheet_file: str = ""
    further: tuple[tuple[str, str, str], ...] = ()
    change_lines: tuple[int, ...] = ()
    rehearsal: tuple[str, ...] = ()
    quickest: float | None = None

    @property
    def cut_files(self) -> tuple[str, ...]:
        """The cut files in the order in which they are run."""
        return (self.cut_file, *(cut for cut, _, _ in self.further))

    @property
    def machine(self) -> Machine:
        return self.order.machine

    @property
    def setup(self) -> Setup:
        return self.order.setup

    @property
    def name(self) -> str:
        """The folder's path: the machine's name in a form for folders, and the board's if there are several."""
        return self.order.folder

    @property
    def ok(self) -> bool:
        return self.proof.ok and self.twin_proof.ok

    @property
    def unproved(self) -> tuple[str, ...]:
        """The checks that were not run, or cannot prove anything about these files."""
        return tuple(dict.fromkeys((*self.proof.unproved, *self.twin_proof.unproved)))

    @property
    def verdict(self) -> str:
        """For a table: yes, NO, or what the proof leaves open."""
        return reports.verdict_of(self.ok, self.unproved)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        from pathkit.handover.pages.sheet import start_height

        return {
            "machine": self.machine.name,
            "folder": self.name,
            "ok": self.ok,
            "proved": self.ok and not self.unproved,
            **({"unproved": list(self.unproved)} if self.unproved else {}),
            "cut_file": self.cut_file,
            **({"cut_files": list(self.cut_files)} if self.further else {}),
            "air_file": self.air_file,
            "report_file": self.report_file,
            "job_file": self.job_file,
            "sheet_file": self.sheet_file,
            "boards": self.order.times,
            "layout": None if self.order.layout is None else self.order.layout.as_dict(),
            "before_you_start": start_height(self.job, self.machine),
            "deviation_mm": self.proof.as_dict().get("deviation_mm"),
            **self.figures.as_dict(),
        }


@dataclass(frozen=True)
class BuildResult:
    """The result of a build. ``written`` is None if nothing was written because a proof failed; ``kept`` are folders of
    other machines that were left as they were."""

    out: Path
    folders: tuple[Folder, ...]
    written: Written | None
    kept: tuple[Kept, ...] = ()

    @property
    def cautions(self) -> tuple[str, ...]:
        """What whoever cuts must know."""
        return self.cautions_in(ENGLISH)

    def cautions_in(self, say: Language) -> tuple[str, ...]:
        """The same in a language."""
        beams = [folder.job.by_beam for folder in self.folders]
        return cautions(say, bit=not beams or not all(beams), beam=any(beams))

    @property
    def ok(self) -> bool:
        """Whether everything was proved, and so written."""
        return self.written is not None

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All findings, each with the folder it belongs to; errors first."""
        every = [finding for folder in self.folders for finding in _placed_findings(folder)]
        ranks = ("error", "warning", "note")
        every += [_of_another(kept) for kept in self.kept if not kept.is_of(self.folders[0].order.mark)]
        return tuple(sorted(dict.fromkeys(every), key=lambda f: ranks.index(f.severity)))

    @property
    def told(self) -> tuple[Finding, ...]:
        """What a person should read now: where all is well no notes but those of what a bit leaves standing, and of
        the order that was to be kept."""
        return tuple(f for f in self.findings if f.severity != "note" or not self.ok or f.check in TOLD)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "ok": self.ok,
            "out": str(self.out),
            "folders": [folder.as_dict() for folder in self.folders],
            "kept": [kept.folder for kept in self.kept],
            "written": None if self.written is None else asdict(self.written),
            "findings": [finding.as_dict() for finding in self.findings],
            "cautions": list(self.cautions),
        }


def _of_another(kept: Kept) -> Finding:
    what = "kept, but made from another revision of the job: the index lists none of its files"
    fix = "build it again for its machine, or remove it with --drop-others"
    return Finding(check="revision", what=what, fix=fix, severity="warning", file=kept.folder)


def _placed_findings(folder: Folder) -> list[Finding]:
    proved = (*folder.proof.findings, *folder.twin_proof.findings)
    placed = [replace(f, file=f"{folder.name}/{f.file or folder.cut_file}") for f in proved]
    noted = [f if f in folder.order.notes else replace(f, file=folder.name) for f in folder.findings]
    return list(folder.order.placed([*placed, *noted]))
