"""The folder of a cut file that was made elsewhere: what `tune` made of it, its air cut, certificate, job and sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.handover.atomic_write import about, claim_folder, listed_in, sha256, write_claimed
from pathkit.handover.report import as_json
from pathkit.jobs.sources import TUNED
from pathkit.motion.program import Dwell
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.model.job import Job
    from pathkit.model.tool import Tool
    from pathkit.passes.measuring import Measured
    from pathkit.posting import Posted
    from pathkit.proof.result import Proof
    from pathkit.tuning import Tuned

SHEET: Final = "sheet.html"
JOB: Final = "job.json"
_NOTE: Final = "tuned"
_SPINDLE: Final = "spindle off"
"""The check of the reader that is answered by who says how fast the spindle turns."""
LEFT_ON: Final = ("G91 left on", "G92 left on")
"""Checks of the reader that speak of what comes after the file that was read: the new one leaves nothing on."""
_OF_WOOD: Final = frozenset({"holding", "room"})
"""Checks whose findings, where they are no errors, speak of what the bits leave of the board."""


@dataclass(frozen=True)
class Told:
    """What whoever asked has told of the file: ``name`` and ``data`` are its own bare name and bytes.

    ``bits`` are the bits that are known, ``flutes`` the names of those whose flutes are. ``board`` and ``place``: the
    size of the board, and where zero is and which way the axes run. ``fit``: how far arcs may lie beside its short
    lines (mm). ``spindle``: its speed (rpm), where the file does not switch it on. ``clear``: no clamp stands on the
    board. ``steady``: the shares of the file's own feeds within which they follow the load. ``source`` is the machine
    that the file is read for.
    """

    name: str
    data: bytes
    source: Machine
    bits: tuple[Tool, ...] = ()
    flutes: frozenset[str] = frozenset()
    board: bool = False
    place: bool = False
    fit: float | None = None
    spindle: float | None = None
    clear: bool = False
    steady: tuple[float, float] | None = None

    def knows(self, tool: Tool) -> bool:
        """Whether this bit of a lifted job is one that was told of."""
        return any(tool.name == bit.name for bit in self.bits)


@dataclass(frozen=True)
class TunedFolder:
    """What is handed over: ``files`` maps bare names to bytes; none are to be written unless it is ``ok``.

    ``chips`` are the thickest chips (mm a tooth) by the bit's name, in the file and now, where the flutes are known.
    """

    tuned: Tuned
    told: Told
    files: Mapping[str, bytes]
    cut_files: tuple[str, ...]
    air_files: tuple[str, ...]
    twin_proof: Proof
    chips: Mapping[str, tuple[float, float]]
    say: Language = ENGLISH

    @property
    def ok(self) -> bool:
        return self.tuned.proof.ok and self.twin_proof.ok

    @property
    def waits(self) -> float:
        """Seconds that the new file stands longer than the one that was read, for the spindle to come up to speed."""
        programs = self.tuned.program, self.tuned.lifted.program
        now, before = (sum(e.seconds for e in each.event if isinstance(e, Dwell)) for each in programs)
        return max(0.0, now - before)

    @property
    def understood(self) -> tuple[Finding, ...]:
        """What was assumed of the file that was read, and left out; lines without a file are those of this one."""
        answered = () if self.told.spindle is None else (_SPINDLE,)
        return tuple(each for each in self.tuned.findings if each.check not in answered)

    @property
    def knows_wood(self) -> bool:
        """Whether board and bits are known, so that what the bits leave of the board is."""
        return self.told.board and all(self.told.knows(tool) for tool in self.tuned.job.tools)

    @property
    def proved(self) -> tuple[Finding, ...]:
        """What is to be said of the files that were made, without what is only true of a board and of bits that were
        assumed."""
        found = (*self.tuned.posted.findings, *self.tuned.proof.findings, *self.twin_proof.findings)
        if self.knows_wood:
            return found
        return tuple(each for each in found if each.severity == "error" or each.check not in _OF_WOOD)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All that was assumed, left out and found."""
        return (*self.understood, *self.proved)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        from pathkit.handover.pages.cautions import cautions
        from pathkit.tuning.tune import NOT_PROVED

        tuned = self.tuned
        return {
            "ok": self.ok,
            "machine": tuned.machine.name,
            "from": {"file": self.told.name, "sha256": sha256(self.told.data)},
            "cut_files": list(self.cut_files),
            "air_files": list(self.air_files),
            "files": sorted(self.files),
            "cuts": tuned.lifted.cuts,
            "kept_order": tuned.kept_order,
            "before": {"lines": tuned.lines[0], **_measures(tuned.before)},
            "after": {"lines": tuned.lines[1], **_measures(tuned.after)},
            "chip_mm": {name: dict(zip(("before", "after"), both, strict=True)) for name, both in self.chips.items()},
            "checks": tuned.proof.as_dict()["checks"],
            "findings": [finding.as_dict() for finding in self.findings],
            "not_proved": list(NOT_PROVED),
            "cautions": list(cautions()),
        }


def _measures(measured: Measured) -> dict[str, float | int | None]:
    def rounded(value: float | None, digits: int) -> float | None:
        return None if value is None else round(value, digits)

    return {
        "travel_mm": rounded(measured.travel, 3), "vertical_mm": rounded(measured.vertical, 3),
        "retracts": measured.retracts, "run_time_s": rounded(measured.run_time, 2),
    }  # fmt: skip


def tuned_folder(tuned: Tuned, told: Told, say: Language = ENGLISH) -> TunedFolder:
    """All files of the folder, made and proved in memory; of a file whose proof has failed none but its proof."""
    from pathkit import api
    from pathkit.handover.pages.tuned_sheet import tuned_page
    from pathkit.proof.several_files import join_proofs

    posted = tuned.posted
    cuts, twin = posted.each_file, api.air_cut(posted, tuned.machine)
    airs = twin.each_file
    twins = tuple(api.verify_twin(air, cut, tuned.machine) for air, cut in zip(airs, cuts, strict=True))
    folder = TunedFolder(
        tuned, told, {}, tuple(file.name for file in posted.files), tuple(file.name for file in twin.files),
        join_proofs(twins), _chips(tuned, told), say,
    )  # fmt: skip
    if not folder.ok:
        return folder
    files = {file.name: file.data for file in (*posted.files, *twin.files)} | _certified(tuned, told, cuts, airs, twins)
    folder = replace(folder, files=files)
    folder = replace(folder, files=files)
    return replace(folder, files={**files, SHEET: tuned_page(folder)})


def write_tuned(folder: TunedFolder, source: Path, out: Path, *, force: bool = False) -> None:
    """Put the files into ``out``, all of them or none. ``source`` is the file that was read.

    Files that an earlier run made of the same file for the same machine are replaced. Raises `InputError` for any
    others that are there unless ``force``, and always if the file that was read would be replaced; `OutputError` if
    something cannot be written, and then the folder is as it was.
    """
    assert folder.ok
    made = {"sha256": sha256(folder.told.data), "machine": folder.tuned.machine.name}
    with claim_folder(out, force=force) as claim:
        if mine := [name for name in folder.files if _is_same(claim / name, source)]:
            what = f"{str(source)!r} is the file that was read, and {mine[0]!r} would replace it"
            raise InputError([Finding(check="folder", what=what, fix="choose another folder with --out")])
        listed = listed_in(claim)
        again = about(claim).get(_NOTE) == made
        if listed and not again and not force:
            what = "holds what was made of another file, or for another machine"
            fix = "choose another folder, or use --force, which replaces files of the same name"
            raise InputError([Finding(check="folder", what=what, fix=fix, file=str(claim))])
        kept = () if again else tuple(listed)
        write_claimed(claim, folder.files, force=force, kept=kept, notes={_NOTE: made})


def _is_same(place: Path, source: Path) -> bool:
    try:
        return place.exists() and place.samefile(source)
    except OSError:
        return False


def _certified(
    tuned: Tuned, told: Told, cuts: tuple[Posted, ...], airs: tuple[Posted, ...], twins: tuple[Proof, ...]
) -> dict[str, bytes]:
    """The job, and a certificate beside each cut file."""
    from pathkit.model.codec import dumps
    from pathkit.proof.certificate import certificate_name, certify
    from pathkit.registry import capabilities_of

    job_text = dumps(tuned.job).encode("utf-8")
    files = {JOB: job_text}
    capabilities = capabilities_of(tuned.machine)
    warnings = [finding.as_dict() for finding in (*tuned.findings, *tuned.posted.findings)]
    for number, (cut, air, twin_proof) in enumerate(zip(cuts, airs, twins, strict=True), 1):
        sealed = certify(
            tuned.proof, twin_proof, cut, air, tuned.machine, capabilities, tuned.job, tuned.posted.setup, job_file=JOB,
            ordinal=(number, len(cuts)) if len(cuts) > 1 else None, files=tuned.posted.files, job_text=job_text,
        )  # fmt: skip
        report = {
            **sealed,
            "sources": {"files": [], "without": TUNED},
            "tuned": {"file": told.name, "sha256": sha256(told.data)},
            "warnings": warnings,
        }
        files[certificate_name(cut.files[0].name)] = as_json(report)
    return files


def _chips(tuned: Tuned, told: Told) -> dict[str, tuple[float, float]]:
    """Of each bit whose flutes are known the thickest chip in the file, and now, at the feed that was asked for."""
    return {
        tool.name: (_thickest(tuned.lifted.job, tool), _thickest(tuned.job, tool))
        for tool in tuned.job.tools
        if tool.name in told.flutes
    }


def _thickest(job: Job, tool: Tool) -> float:
    """mm a tooth: the greatest of all cuts of a bit, moves above the wood not among them."""
    from pathkit.feeds.chips import chip_load_of

    found = [0.0]
    for path in job.toolpaths:
        if path.tool.name != tool.name or path.cutting.spindle <= 0.0:
            continue
        feeds = path.feed_of_spans
        if path.curve.is_trace and len(feeds):
            spans = path.curve.spans
            feeds = feeds[(spans.start[:, 2] < job.stock.top) | (spans.end[:, 2] < job.stock.top)]
        fastest = float(feeds.max(initial=0.0)) if path.curve.is_trace else path.cutting.feed
        found.append(chip_load_of(fastest, path.cutting.spindle, tool.flutes))
    return max(found)
