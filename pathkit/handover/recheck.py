"""Proving handed-over files again: from their text, and from what lies beside them.

A certificate beside a cut file names its machine, set-up and job; nothing that it claims is believed. The file is read
again, the job is lowered again, and the two are compared. The air-cut twin is compared with the cut file.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from pathkit.errors import InputError
from pathkit.files import read_bytes, read_gcode
from pathkit.findings import Finding, errors_of
from pathkit.handover.atomic_write import below
from pathkit.handover.report import verdict_of
from pathkit.handover.stored_once import stored
from pathkit.handover.telling import Progress, Teller
from pathkit.model.job import Job, Setup
from pathkit.texts.language import ENGLISH, LANGUAGES, Language

if TYPE_CHECKING:
    from pathkit.machine.profile import Machine
    from pathkit.motion.program import Program
    from pathkit.proof.certificate import Certificate, Sealed
    from pathkit.proof.result import Proof

_SUFFIX: Final = ".proof.json"
_NOTHING: Final[tuple[bytes, Any]] = (b"", None)


@dataclass(frozen=True)
class Rechecked:
    """The result for one file. ``added`` are findings about its surroundings (seals, missing files), ``units`` those of
    its machine."""

    file: str
    machine: str
    job: str | None
    proof: Proof
    added: tuple[Finding, ...] = ()
    units: str = "mm"

    @property
    def findings(self) -> tuple[Finding, ...]:
        return (*self.proof.findings, *self.added)

    @property
    def ok(self) -> bool:
        return not errors_of(self.findings)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        values = self.proof.as_dict()
        values |= {
            "ok": self.ok,
            "proved": self.ok and self.proof.proved,
            "file": self.file,
            "machine": self.machine,
            "job": self.job,
        }
        if self.added:
            values["findings"] = [finding.as_dict() for finding in self.added]
        return values

    def summary(self) -> tuple[str, ...]:
        """A few lines for people: compared with what, how far off, and what was not proved."""
        checks = self.proof.checks
        counts = [
            f"{sum(c.status == status for c in checks)} {status}"
            for status in ("passed", "failed", "not proved", "not run")
            if any(c.status == status for c in checks)
        ]
        lines = [
            f"machine {self.machine}, job {self.job or 'none'}",
            f"{len(checks)} checks: {', '.join(counts)}",
            f"proved: {verdict_of(self.ok, self.proof.unproved)}",
        ]
        if self.proof.deviation == self.proof.deviation:
            lines.append(f"largest deviation {self.proof.deviation:.4f} mm")
        lines += [
            f"{c.name}: {c.status} ({c.reason or c.limits})" for c in checks if c.status in ("not proved", "not run")
        ]
        return tuple(lines)


@dataclass(frozen=True)
class HandedOver:
    """A cut file and what lies beside it, with every seal intact."""

    file: Path
    sha256: str
    machine: Machine
    setup: Setup
    job: Job
    mark: str | None = None


def handed_over(path: str | Path) -> HandedOver:
    """What the certificate beside a cut file names. Raises `InputError` if something is missing or was changed."""
    path = Path(path)
    read_gcode(path)
    certificate_file = _certificate_for(path)
    if certificate_file is None:
        raise InputError(f"no certificate beside {str(path)!r}; build the folder again")
    certificate = certificate_at(certificate_file)
    if certificate.file.name != path.name:
        raise InputError(f"{str(path)!r} is the air cut; name the cut file {certificate.file.name!r}")
    if certificate.job is None:
        raise InputError(f"{str(certificate_file)!r} names no job; build the folder again")
    found = list(_broken_seal(path, certificate.file))
    job, _ = _sealed_job(path.parent, certificate.job, found)
    if found or job is None:
        raise InputError(found)
    return HandedOver(path, certificate.file.sha256, certificate.machine, certificate.setup, job, certificate.mark)


def recheck(
    path: str | Path,
    *,
    machine: Machine | None = None,
    job: Job | None = None,
    setup: Setup | None = None,
    rules_only: bool = False,
    progress: Progress | None = None,
) -> tuple[Rechecked, ...]:
    """Prove a cut file or an air-cut twin, or in a folder every file that a certificate names, each with its twin.

    ``machine``, ``job`` (as it is cut, after its passes) and ``setup`` override those of the certificate. Without any
    job the file cannot be compared, which is an error unless ``rules_only``. ``progress(done, total, message)`` is
    called before each check of each file.

    Raises `InputError` for what cannot be read, is not G-code, or has neither certificate nor ``machine``.
    """
    path = Path(path)
    if path.is_dir():
        beside = below(path, _SUFFIX)
        if not beside:
            raise InputError(f"no certificate (*{_SUFFIX}) below {str(path)!r}; name a file, and its machine")
        tellers = (Teller(progress, each.parent.name, k, len(beside)) for k, each in enumerate(beside))
        return tuple(
            one
            for each, told in zip(beside, tellers, strict=True)
            for one in _certified(each, machine, job, setup, rules_only, told)
        )
    if (certificate_file := _certificate_for(path)) is not None:
        results = _certified(certificate_file, machine, job, setup, rules_only, Teller(progress, path.name, 0, 1))
        found = tuple(one for one in results if one.file == str(path))
        if not found:
            raise InputError(f"{str(certificate_file)!r} speaks of {results[0].file!r}, not of {str(path)!r}")
        return found
    if machine is None:
        read_gcode(path)  # what is not there, or is no cut file, is no file of any machine
        raise InputError(f"no certificate beside {str(path)!r}; say for which machine it is with --machine")
    return (_proved(path, machine, job, setup, rules_only, told=Teller(progress, path.name, 0, 1)),)


def read_motion(path: str | Path, machine: Machine) -> Program:
    """The moves in a cut file, in the controller's axes. Raises `InputError` for what is not its G-code."""
    from pathkit import api, registry
    from pathkit.readback import interpret

    read = api.reader_of(machine) or interpret
    reading = read(read_gcode(Path(path)), registry.capabilities_of(machine), file=str(path))
    refused = [f for f in reading.findings if f.severity == "error" and f.check == "controller"]
    if refused:
        raise InputError(refused)
    return reading.program


def certified(path: Path) -> tuple[Certificate, Job | None] | None:
    """The certificate beside a file, and the job that it names if that is intact; None if there is no certificate.

    It is not checked whether the file itself is still the one that was certified.
    """
    certificate_file = _certificate_for(path)
    if certificate_file is None:
        return None
    certificate = certificate_at(certificate_file)
    if certificate.job is None:
        return certificate, None
    found: list[Finding] = []
    job, _ = _sealed_job(path.parent, certificate.job, found)
    if found:
        raise InputError(found)
    return certificate, job


def language_beside(path: str | Path) -> Language:
    """The language of the pages that were made with a cut file: that of the certificate beside it, else English.

    Raises `InputError` for a certificate that cannot be read.
    """
    beside = _certificate_for(Path(path))
    code = None if beside is None else certificate_at(beside).language
    return next((Language(each) for each in LANGUAGES if each == code), ENGLISH)


def certificate_at(path: Path) -> Certificate:
    """The certificate in a file. Raises `InputError` for what cannot be read or is not a certificate."""
    from pathkit.proof.certificate import LARGEST, read_certificate

    return read_certificate(read_bytes(path, LARGEST), str(path))


def _certificate_for(path: Path) -> Path | None:
    """The certificate beside a cut file, or the one that names the file as its twin."""
    from pathkit.proof.certificate import certificate_name

    own = path.with_name(certificate_name(path.name))
    if own.is_file():
        return own
    for other in sorted(path.parent.glob(f"*{_SUFFIX}")) if path.parent.is_dir() else []:
        try:
            certificate = certificate_at(other)
        except InputError:
            continue
        if certificate.twin is not None and certificate.twin.name == path.name:
            return other
    return None


def _certified(
    certificate_file: Path, machine: Machine | None, job: Job | None, setup: Setup | None, rules_only: bool,
    told: Teller,
) -> tuple[Rechecked, ...]:  # fmt: skip
    certificate = certificate_at(certificate_file)
    folder = certificate_file.parent
    given, written = job, _NOTHING
    machine, setup = machine or certificate.machine, setup or certificate.setup
    found: list[Finding] = []
    if job is None and certificate.job is not None:
        job, written = _sealed_job(folder, certificate.job, found)
    cut = stored(folder / certificate.file.name)
    seals = _broken_seal(cut, certificate.file)
    judged = None if rules_only else job
    proved = _proved(cut, machine, judged, setup, rules_only, (*found, *seals), certificate=certificate, told=told)
    told.say("job file", 1)
    results = [proved if rules_only else _audited(proved, folder, certificate, (machine, setup), given, written)]
    if certificate.twin is not None:
        told.say("air cut", 1)
        results.append(_twin(folder, certificate, machine, job, setup))
    return tuple(results)


def _proved(
    path: Path, machine: Machine, job: Job | None, setup: Setup | None, rules_only: bool, added: Sequence[Finding] = (),
    *, told: Teller, certificate: Certificate | None = None,
) -> Rechecked:  # fmt: skip
    from pathkit import api, registry
    from pathkit.lowering.lower import lower
    from pathkit.proof.several_files import verify_several
    from pathkit.proof.verify import verify

    told.say("reading")
    checks = told.told(api.every_check())
    text, capabilities, reader = read_gcode(path), registry.capabilities_of(machine), api.reader_of(machine)
    program = None if job is None or rules_only else lower(job, machine, setup)
    proof: Proof | None
    if program is not None and certificate is not None and certificate.ordinal is not None:
        number, of = certificate.ordinal
        names: list[str | None] = [sealed.name for sealed in certificate.files] or [None] * of
        files: list[bytes | None] = [_whole_file(path.parent, sealed) for sealed in certificate.files] or [None] * of
        files[number - 1], names[number - 1] = text, str(path)
        proof = verify_several(
            files, program, machine, capabilities, job=job, setup=setup, names=names, checks=checks,
            reader=reader,
        )[number - 1]  # fmt: skip
        assert proof is not None
    else:
        proof = verify(
            text, program, machine, capabilities, job=job, setup=setup, file=str(path), rules_only=rules_only,
            checks=checks, reader=reader,
        )  # fmt: skip
    return Rechecked(str(path), machine.name, None if job is None else job.name, proof, tuple(added), machine.units)


def _audited(
    one: Rechecked, folder: Path, certificate: Certificate, where: tuple[Machine, Setup], job: Job | None,
    written: tuple[bytes, Any],
) -> Rechecked:  # fmt: skip
    """The file's proof, with the audit against the job file."""
    from pathkit.jobs.audit import not_run
    from pathkit.jobs.sources import OTHER, audited_again

    if job is not None or where != (certificate.machine, certificate.setup):
        return replace(one, proof=replace(one.proof, checks=(*one.proof.checks, *not_run(OTHER))))
    results, found = audited_again(folder, certificate, stored, written)
    return replace(one, proof=replace(one.proof, checks=(*one.proof.checks, *results)), added=(*one.added, *found))


def _whole_file(folder: Path, sealed: Sealed) -> bytes | None:
    """A file of the same job, if it is still the one that was sealed; else None."""
    try:
        data = read_gcode(stored(folder / sealed.name))
    except InputError:
        return None
    return data if sealed.holds(data) else None


def _twin(
    folder: Path, certificate: Certificate, machine: Machine, job: Job | None, setup: Setup
) -> Rechecked:  # fmt: skip
    from pathkit import api, registry
    from pathkit.proof.result import Proof
    from pathkit.proof.twin.words import verify_twin

    assert certificate.twin is not None
    path, cut = stored(folder / certificate.twin.name), stored(folder / certificate.file.name)
    added = _broken_seal(path, certificate.twin)
    if job is None:
        what = "the job is missing, so the height that the twin needs is not known"
        lost = Finding(check="certificate", what=what, fix="put the job file back", file=str(path))
        return Rechecked(
            str(path), machine.name, None, Proof((), float("nan"), str(path)), (*added, lost), machine.units
        )
    proof = verify_twin(
        read_gcode(path), read_gcode(cut), machine, registry.capabilities_of(machine), setup=setup, stock=job.stock,
        reader=api.reader_of(machine),
    )  # fmt: skip
    return Rechecked(str(path), machine.name, job.name, proof, added, machine.units)


def _sealed_job(folder: Path, sealed: Sealed, found: list[Finding]) -> tuple[Job | None, tuple[bytes, Any]]:
    """The job beside the certificate, with its text and the JSON in that; None, with the reason in ``found``, if it is
    missing."""
    from pathkit.model.codec import decoded, job_in

    path = stored(folder / sealed.name)
    if not path.is_file():
        fix = "put it back, or name the job with --job"
        found.append(Finding(check="certificate", what="the job file is not there", fix=fix, file=str(path)))
        return None, _NOTHING
    found += _broken_seal(path, sealed)
    text = read_bytes(path)
    data = decoded(text, str(path))
    return job_in(data, str(path)), (text, data)


def _broken_seal(path: Path, sealed: Sealed) -> tuple[Finding, ...]:
    if sealed.holds(read_bytes(path)):
        return ()
    what = "these are not the bytes that were proved: the file was changed since"
    return (Finding(check="certificate", what=what, fix="build the folder again", file=str(path)),)
