"""The certificate beside a cut file: what was proved, of which bytes, and all that is needed to prove it again.

It names files by bare names and seals them by SHA-256; it embeds machine, set-up and dialect. It holds no time of day:
the same files give the same certificate. What is read back is not trusted: `read_certificate` takes from it only what
it has checked, and proof is always made again from the text.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Annotated, Any, Final, Literal

from annotated_types import Ge, Le, Len

from pathkit.errors import InputError
from pathkit.fields import Text, plain
from pathkit.findings import Finding
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.proof.result import Proof
from pathkit.texts.language import ENGLISH
from pathkit.toml_source import TomlSource

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pathkit.forms import Filled
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


Bare = Annotated[str, Text(r"^[A-Za-z0-9][A-Za-z0-9 ._+-]{0,200}$")]
Digest = Annotated[str, Text(r"^[0-9a-f]{64}$")]


@dataclass(frozen=True)
class Sealed:
    """A file beside the certificate: its bare name and what its bytes must hash to (SHA-256, hexadecimal)."""

    name: Bare
    sha256: Digest

    def holds(self, data: bytes) -> bool:
        """Whether these are the bytes that were sealed."""
        return hashlib.sha256(data).hexdigest() == self.sha256


@dataclass(frozen=True)
class Source:
    """A file that the job was made from: its ``role`` (job, tools, drawing, machine), its bare name in the folder, what
    it is ``called`` by whoever names it, and its SHA-256."""

    role: Literal["job", "tools", "drawing", "machine"]
    name: Bare
    called: Annotated[str, Text(longest=4096)]
    sha256: Digest


@dataclass(frozen=True)
class SealedSources:
    """What was asked: the files, bits to build for, whether tabs were wanted, (copies, times) of every board of the
    machine and how often this one is cut, operations that were left out. ``without`` says why there are no files."""

    files: Annotated[tuple[Source, ...], Len(0, 9999)]
    bits: Annotated[tuple[str, ...], Len(0, 99)] = ()
    tabs: bool = True
    boards: Annotated[tuple[Annotated[tuple[int, ...], Len(2)], ...], Len(0, 9999)] = ()
    times: int = 1
    last: bool = False
    without: Annotated[str, Text(longest=200)] = ""
    left_out: Annotated[tuple[str, ...], Len(0, 999)] = ()
    board: Annotated[int, Ge(0), Le(999)] | None = None


@dataclass(frozen=True)
class Certificate:
    """What it takes to prove a file again. ``ok`` is only what the certificate claims.

    ``ordinal``: which (from 1) of how many files it is, where each bit has one of its own; ``job`` is the whole and
    ``files`` are all of them in the order in which they are run. ``sources`` None: made before there were any.
    ``mark``: of which revision of the job it claims to be. ``language``: the code (BCP 47) of that of the pages made
    with it; None is English.
    """

    ok: bool
    file: Sealed
    twin: Sealed | None
    job: Sealed | None
    machine: Machine
    setup: Setup
    ordinal: tuple[int, int] | None = None
    files: Annotated[tuple[Sealed, ...], Len(0, 999)] = ()
    sources: SealedSources | None = None
    mark: Annotated[str, Text(r"^[0-9a-f]{10}$")] | None = None
    language: Annotated[str, Text(r"^[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8}){0,3}$")] | None = None


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
    job_text: bytes | None = None,
    language: str = ENGLISH.code,
) -> dict[str, Any]:
    """The certificate as plain values, ready for JSON; deterministic.

    ``capabilities`` are the controller's, the profile's ``[output]`` applied. ``job`` is the job after its passes,
    written to ``job_file`` (a bare name) by `pathkit.model.codec.dumps`; ``job_text`` is that text, if it is known.
    ``posted`` is one file, number ``ordinal`` of ``files``. ``language`` is that of the pages beside it, and
    stands there if it is not English.
    """
    from pathkit.model.codec import dumps

    setup = setup or posted.setup
    profile = machine_as_dict(machine)
    text = dumps(job).encode("utf-8") if job_text is None else job_text
    values: dict[str, Any] = {
        "pathkit": "certificate",
        "version": VERSION,
        "ok": proof.ok and (twin_proof is None or twin_proof.ok),
        "file": _sealed(posted.files[0].name, posted.files[0].data),
        "twin": None if twin is None else _sealed(twin.files[0].name, twin.files[0].data),
        "job": None if job_file is None else _sealed(job_file, text),
        "deviation_mm": round(proof.deviation, 6) if math.isfinite(proof.deviation) else None,
        "checks": proof.as_dict()["checks"],
        "twin_checks": [] if twin_proof is None else twin_proof.as_dict()["checks"],
        "not_proved": list(NOT_PROVED),
        "dialect": {"name": machine.dialect, "capabilities": capabilities.as_dict()},
        "machine": profile,
        "machine_sha256": _hash_of(profile),
        "setup": plain(setup),
    }
    if mark is not None:
        values["mark"] = mark
    if language != ENGLISH.code:
        values["language"] = language
    if ordinal is not None:
        values["part"] = {"number": ordinal[0], "of": ordinal[1]}
        values["files"] = [_sealed(each.name, each.data) for each in files]
    ready: dict[str, Any] = json.loads(json.dumps(plain(values), allow_nan=False))
    return ready


def read_certificate(text: str | bytes, source: str | None = None) -> Certificate:
    """The certificate in a JSON text (with whatever else stands beside its keys).

    Raises `InputError` with every finding; ``source`` names the file in them.
    """
    from pathkit.forms import read

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
    found: list[Finding] = []
    form = read(_form(), TomlSource(data, {}, source or ""), "certificate", found)
    if form is None:
        raise InputError(_finding(each.what, source, path=each.path) for each in found)
    if _hash_of(data["machine"]) != form.machine_sha256:
        what = "the machine in the certificate is not the one that was sealed"
        raise InputError([_finding(what, source, path="$.machine")])
    read_back: Certificate = form.value()
    files, ordinal = read_back.files, read_back.ordinal
    if files and (ordinal is None or len(files) != ordinal[1] or files[ordinal[0] - 1] != read_back.file):
        raise InputError([_finding("its list of files does not fit the file itself", source, path="$.files")])
    return read_back


def machine_as_dict(machine: Machine) -> dict[str, Any]:
    """The profile with the keys that it has as a file; `read_certificate` builds the same machine from it.

    What was seen in a rehearsal is no part of it.
    """
    values: dict[str, Any] = plain(machine, lambda field, value: value is None or field.name == "rehearsed")
    if (rate := values.pop("bytes_per_second", None)) is not None:
        values["link"] = {"bytes_per_second": rate}
    if (park := values.pop("park", None)) is not None:
        values["park"] = dict(zip("xy", park, strict=True))
    if not machine.output:
        del values["output"]
    return values


@cache
def _form() -> type[Filled]:
    """The form of a certificate; made when the first is read, for it takes a heavy library."""
    from pydantic import ConfigDict

    from pathkit.forms import Filled, Table, filled, fills
    from pathkit.machine.profile_file import ProfileFile

    class Beside(Filled):
        # How long the file is stands there for people.
        model_config = ConfigDict(extra="ignore")

    @fills(Sealed)
    class SealedTable(Beside):
        pass

    @fills(Source)
    class SourceTable(Beside):
        pass

    @fills(Setup, needed=("turn", "zero_at", "offset"))
    class SetupTable(Filled):
        pass

    class PartTable(Table):
        number: Annotated[int, Ge(1), Le(999)]
        of: Annotated[int, Ge(1), Le(999)]

    forms: dict[Any, type[Filled]] = {Machine: ProfileFile, Setup: SetupTable, Sealed: SealedTable, Source: SourceTable}

    @fills(Certificate, "ordinal", types={kind: filled(form) for kind, form in forms.items()})
    class CertificateTable(Filled):
        model_config = ConfigDict(extra="ignore")
        machine_sha256: str
        part: PartTable | None = None

        def elsewhere(self) -> Mapping[str, Any]:
            return {"ordinal": None if self.part is None else (self.part.number, self.part.of)}

    return CertificateTable


def _sealed(name: str, data: bytes) -> dict[str, Any]:
    return {"name": name, "sha256": hashlib.sha256(data).hexdigest(), "bytes": len(data)}


def _hash_of(value: Any) -> str:
    """The hash of the value's JSON with sorted keys, so that it does not depend on how a file is laid out."""
    text = json.dumps(value, sort_keys=True, allow_nan=False)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def _finding(what: str, source: str | None, *, line: int | None = None, path: str | None = None) -> Finding:
    fix = "build the folder again"
    return Finding(check="certificate", what=what, fix=fix, file=source, line=line, path=path)


def _refuse(name: str) -> Any:
    raise ValueError(f"{name} is not a number that a certificate may hold")
