"""The certificate beside a cut file: what was proved, of which bytes, and all that is needed to prove it again.

It names files by bare names and seals them by SHA-256; it embeds machine, set-up and dialect. It holds no time of day:
the same files give the same certificate. What is read back is not trusted: `read_certificate` takes from it only what
it has checked, and proof is always made again from the text.
"""

from __future__ import annotations

import hashlib
import json
import math
from dataclasses import asdict, dataclass
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.proof.result import Proof

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pydantic import BaseModel

    from pathkit.machine.capabilities import Capabilities
    from pathkit.posting import File, Posted

VERSION: Final = 1
LARGEST: Final = 16_000_000
"""Bytes of a certificate that are read at most."""

NOT_PROVED: Final = (
    "that the board is the material, the size and the flatness that the job says",
    "that the machine is in order and moves as its profile says",
    "that the bit is the one named, whole and sharp",
    "that the board and its parts are held well enough",
    "that feeds, speeds and depths suit bit, material and machine",
)
"""What no proof of a text can show."""


@dataclass(frozen=True)
class Sealed:
    """A file beside the certificate: its bare name and what its bytes must hash to (SHA-256, hexadecimal)."""

    name: str
    sha256: str

    def holds(self, data: bytes) -> bool:
        """Whether these are the bytes that were sealed."""
        return hashlib.sha256(data).hexdigest() == self.sha256


@dataclass(frozen=True)
class Source:
    """A file that the job was made from: its ``role`` (job, tools, drawing, machine), its bare name in the folder, what
    it is ``called`` by whoever names it, and its SHA-256."""

    role: str
    name: str
    called: str
    sha256: str


@dataclass(frozen=True)
class SealedSources:
    """What was asked: the files, bits to build for, whether tabs were wanted, (copies, times) of every board of the
    machine and how often this one is cut. ``without`` says why there are none."""

    files: tuple[Source, ...]
    bits: tuple[str, ...] = ()
    tabs: bool = True
    boards: tuple[tuple[int, ...], ...] = ()
    times: int = 1
    last: bool = False
    without: str = ""


@dataclass(frozen=True)
class Certificate:
    """What it takes to prove a file again. ``ok`` is only what the certificate claims.

    ``ordinal``: which (from 1) of how many files it is, where each bit has one of its own; ``job`` is the whole and
    ``files`` are all of them in the order in which they are run. ``sources`` None: made before there were any.
    ``mark``: of which revision of the job it claims to be.
    """

    ok: bool
    file: Sealed
    twin: Sealed | None
    job: Sealed | None
    machine: Machine
    setup: Setup
    ordinal: tuple[int, int] | None = None
    files: tuple[Sealed, ...] = ()
    sources: SealedSources | None = None
    mark: str | None = None


def certificate_name(cut_file: str) -> str:
    """The certificate's name beside a cut file: ``plates.nc`` has ``plates.nc.proof.json``."""
    return f"{cut_file}.proof.json"


def certify(  # noqa: PLR0913 - each is asked for by its name
    proof: Proof,
    twin_proof: Proof | None,
    posted: Posted,
    twin: Posted | None,
    machine: Machine,
    capabilities: Capabilities,
    job: Job,
    setup: Setup | None = None,
    *,
    job_file: str | None = None,
    ordinal: tuple[int, int] | None = None,
    files: Sequence[File] = (),
    mark: str | None = None,
) -> dict[str, Any]:
    """The certificate as plain values, ready for JSON; deterministic.

    ``capabilities`` are the controller's, the profile's ``[output]`` applied. ``job`` is the job after its passes,
    written to ``job_file`` (a bare name) by `pathkit.model.codec.dumps`. ``posted`` is one file, number ``ordinal`` of
    ``files``.
    """
    from pathkit.model.codec import dumps

    setup = setup or posted.setup
    profile = machine_as_dict(machine)
    job_text = dumps(job).encode("utf-8")
    values: dict[str, Any] = {
        "pathkit": "certificate",
        "version": VERSION,
        "ok": proof.ok and (twin_proof is None or twin_proof.ok),
        "file": _sealed(posted.files[0].name, posted.files[0].data),
        "twin": None if twin is None else _sealed(twin.files[0].name, twin.files[0].data),
        "job": None if job_file is None else _sealed(job_file, job_text),
        "deviation_mm": round(proof.deviation, 6) if math.isfinite(proof.deviation) else None,
        "checks": proof.as_dict()["checks"],
        "twin_checks": [] if twin_proof is None else twin_proof.as_dict()["checks"],
        "not_proved": list(NOT_PROVED),
        "dialect": {"name": machine.dialect, "capabilities": capabilities.as_dict()},
        "machine": profile,
        "machine_sha256": _hash_of(profile),
        "setup": {**asdict(setup), "zero_at": None if setup.zero_at is None else list(setup.zero_at)},
    }
    if mark is not None:
        values["mark"] = mark
    if ordinal is not None:
        values["part"] = {"number": ordinal[0], "of": ordinal[1]}
        values["files"] = [_sealed(each.name, each.data) for each in files]
    plain: dict[str, Any] = json.loads(json.dumps(values, allow_nan=False, default=_plain))
    return plain


def read_certificate(text: str | bytes, source: str | None = None) -> Certificate:
    """The certificate in a JSON text (with whatever else stands beside its keys).

    Raises `InputError` with every finding; ``source`` names the file in them.
    """
    from pydantic import ValidationError

    try:
        if len(text) > LARGEST:
            raise ValueError(f"it is larger than {LARGEST} bytes")
        data = json.loads(text, parse_constant=_refuse)
    except (ValueError, RecursionError) as error:
        what = f"not a certificate: {getattr(error, 'msg', None) or error}"
        line = getattr(error, "lineno", None)
        raise InputError([_finding(what, source, line=line)]) from None
    if not isinstance(data, dict) or data.get("pathkit") != "certificate":
        raise InputError([_finding('not a certificate: "pathkit" is not "certificate"', source, path="$.pathkit")])
    if data.get("version") != VERSION or isinstance(data.get("version"), bool):
        what = f"certificate version {data.get('version')!r} is not known here; this library reads version {VERSION}"
        raise InputError([_finding(what, source, path="$.version")])
    try:
        form: Any = _model().model_validate(data)
    except ValidationError as error:
        found = [
            _finding(f"{'.'.join(map(str, e['loc']))}: {e['msg']}", source, path="$." + ".".join(map(str, e["loc"])))
            for e in error.errors()
        ]
        raise InputError(found) from None
    machine = _machine(data["machine"], source)
    if _hash_of(data["machine"]) != form.machine_sha256:
        what = "the machine in the certificate is not the one that was sealed"
        raise InputError([_finding(what, source, path="$.machine")])
    try:
        zero = form.setup.zero_at
        setup = Setup(form.setup.turn, None if zero is None else (zero[0], zero[1], zero[2]), form.setup.offset)
    except InputError as error:
        raise InputError(f.at(file=source) for f in error.findings) from None
    sealed = (None if s is None else Sealed(s.name, s.sha256) for s in (form.file, form.twin, form.job))
    file, twin, job = sealed
    assert file is not None
    ordinal = None if form.part is None else (form.part.number, form.part.of)
    files = tuple(Sealed(each.name, each.sha256) for each in form.files)
    if files and (ordinal is None or len(files) != ordinal[1] or files[ordinal[0] - 1] != file):
        raise InputError([_finding("its list of files does not fit the file itself", source, path="$.files")])
    return Certificate(form.ok, file, twin, job, machine, setup, ordinal, files, _sources(form.sources), form.mark)


def machine_as_dict(machine: Machine) -> dict[str, Any]:
    """The profile with the keys that it has as a file; `read_certificate` builds the same machine from it."""
    values: dict[str, Any] = {
        "name": machine.name,
        "dialect": machine.dialect,
        "homed": machine.homed,
        "origin": machine.origin,
        "left_handed": machine.left_handed,
    }
    sections: dict[str, Any] = {"axes": machine.axes, "travel": machine.travel, "motion": machine.motion}
    sections |= {"spindle": machine.spindle, "heights": machine.heights}
    for name, section in sections.items():
        values[name] = {
            key: list(value) if isinstance(value, tuple) else value
            for key, value in asdict(section).items()
            if value is not None
        }
    if machine.bytes_per_second is not None:
        values["link"] = {"bytes_per_second": machine.bytes_per_second}
    if machine.park is not None:
        values["park"] = dict(zip("xy", machine.park, strict=True))
    if machine.output:
        values["output"] = dict(machine.output)
    return values


def _machine(data: Any, source: str | None) -> Machine:
    from pathkit.machine.profile_file import machine_from_document
    from pathkit.toml_source import TomlSource

    try:
        return machine_from_document(TomlSource(data, {}, source or "certificate"))
    except InputError as error:
        raise InputError(_finding(f"machine: {f.what}", source, path=f.path) for f in error.findings) from None


def _model() -> type[BaseModel]:
    from pydantic import BaseModel, ConfigDict, Field, StringConstraints

    bare = StringConstraints(pattern=r"^[A-Za-z0-9][A-Za-z0-9 ._+-]{0,200}$")
    digest = StringConstraints(pattern=r"^[0-9a-f]{64}$")

    class SealedForm(BaseModel):
        model_config = ConfigDict(strict=True, extra="ignore")
        name: Annotated[str, bare]
        sha256: Annotated[str, digest]

    class SetupForm(BaseModel):
        model_config = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False)
        turn: Annotated[int, Field(ge=0, le=3)]
        zero_at: Annotated[list[float], Field(min_length=3, max_length=3)] | None
        offset: Literal["G54", "G55", "G56", "G57", "G58", "G59"]

    class PartForm(BaseModel):
        model_config = ConfigDict(strict=True, extra="forbid")
        number: Annotated[int, Field(ge=1, le=999)]
        of: Annotated[int, Field(ge=1, le=999)]

    class SourceForm(SealedForm):
        role: Literal["job", "tools", "drawing", "machine"]
        called: Annotated[str, Field(max_length=4096)]

    class SourcesForm(BaseModel):
        model_config = ConfigDict(strict=True, extra="forbid")
        files: Annotated[list[SourceForm], Field(max_length=9999)]
        bits: Annotated[list[str], Field(max_length=99)] = []
        tabs: bool = True
        boards: Annotated[list[list[int]], Field(max_length=99)] = []
        times: int = 1
        last: bool = False
        without: Annotated[str, Field(max_length=200)] = ""

    class CertificateForm(BaseModel):
        model_config = ConfigDict(strict=True, extra="ignore")
        ok: bool
        file: SealedForm
        twin: SealedForm | None
        job: SealedForm | None
        machine: dict[str, Any]
        machine_sha256: Annotated[str, digest]
        setup: SetupForm
        part: PartForm | None = None
        files: Annotated[list[SealedForm], Field(max_length=999)] = []
        sources: SourcesForm | None = None
        mark: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{10}$")] | None = None

    return CertificateForm


def _sources(form: Any) -> SealedSources | None:
    if form is None:
        return None
    files = tuple(Source(each.role, each.name, each.called, each.sha256) for each in form.files)
    boards = tuple(tuple(board) for board in form.boards if len(board) >= 2)
    return SealedSources(files, tuple(form.bits), form.tabs, boards, form.times, form.last, form.without)


def _sealed(name: str, data: bytes) -> dict[str, Any]:
    return {"name": name, "sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)}


def _hash_of(value: Any) -> str:
    """Of the value's JSON with sorted keys, so that it does not hang on how a file is laid out."""
    text = json.dumps(value, sort_keys=True, allow_nan=False, default=_plain)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _plain(value: Any) -> Any:
    """What JSON does not know by itself: sets, mappings, numpy's numbers."""
    if isinstance(value, (set, frozenset)):
        return sorted(value)
    if hasattr(value, "item"):
        return value.item()
    return dict(value)


def _finding(what: str, source: str | None, *, line: int | None = None, path: str | None = None) -> Finding:
    fix = "build the folder again"
    return Finding(check="certificate", what=what, fix=fix, file=source, line=line, path=path)


def _refuse(name: str) -> Any:
    raise ValueError(f"{name} is not a number that a certificate may hold")
