"""The public functions that need a dialect: each looks it up by the machine's name for it and calls the right room."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pathkit import posting, registry
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.model.job import Job, Setup
from pathkit.motion.program import Program

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pathkit.dialect.base import Dialect
    from pathkit.findings import Check
    from pathkit.machine.profile import Machine
    from pathkit.posting import Posted
    from pathkit.proof.judged import Judged
    from pathkit.proof.result import Proof
    from pathkit.readback.foreign import Read


def post(
    program: Program, machine: Machine, setup: Setup | None = None, *, mark: str = "", about: Sequence[str] = (),
    dialect: str | Dialect | None = None,
) -> Posted:  # fmt: skip
    """The files for this machine: its dialect found, the moves oriented, made legal, rounded once and written.

    ``mark``, if given, is a comment at the head of each file: the revision of the job. ``about`` are further lines of
    comment: who made it. ``dialect``, if given, is the name of another dialect than the machine's, or the dialect
    itself, which need not be installed; give the same to `verify`, `air_cut` and `verify_twin`.

    Raises `CapabilityError` for what the controller cannot take, `UnknownName` if no dialect has that name.

    >>> posted = pk.post(pk.lower(job, machine), machine)
    >>> posted.text.splitlines()[1]
    'G21'
    """
    found = registry.find_dialect(dialect or machine.dialect)
    return posting.post(program, machine, setup, dialect=found, mark=mark, about=about)


def air_cut(posted: Posted, machine: Machine, *, dialect: str | Dialect | None = None) -> Posted:
    """The same motion blocks with every Z raised clear of the board and no spindle; prove it with `verify_twin`.

    ``dialect`` as in `post`.

    >>> posted = pk.post(pk.lower(job, machine), machine)
    >>> twin = pk.air_cut(posted, machine)
    >>> "M3" in posted.text, "M3" in twin.text
    (True, False)
    """
    return posting.air_cut(posted, machine, dialect=_of(posted, machine, dialect))


def _of(posted: Posted | str | bytes, machine: Machine, dialect: str | Dialect | None) -> Dialect:
    """The dialect to read or write in. `InputError` if what was posted is written in another one."""
    found = registry.find_dialect(dialect or machine.dialect)
    written = found.name if isinstance(posted, (str, bytes)) else posted.dialect
    if written != found.name:
        what = f"this was posted in the dialect {written!r}, and is to be read as {found.name!r}"
        fix = f"give dialect={written!r}, or the dialect itself"
        raise InputError([Finding(check="dialect", what=what, fix=fix)])
    return found


def reader_of(machine: Machine, dialect: str | Dialect | None = None) -> Read | None:
    """The reader for this machine's files if they are not made of words; None if they are."""
    return _reader(registry.find_dialect(dialect or machine.dialect))


def _reader(dialect: Dialect) -> Read | None:
    if dialect.reader == "words":
        return None
    from pathkit.readback.foreign import guarded

    return guarded(dialect.name, dialect.reader)


def read(text: str | bytes, dialect: str | Dialect, start: Sequence[float] | None = None) -> Program:
    r"""The moves that a controller of this dialect would make, in its own axes, mm; NaN where a place is not known.

    `pathkit.readback.interpret` also returns what the controller would refuse.

    >>> program = pk.read("G21 G90 G94 G17 G54\nG0 Z5\nG0 X0 Y0", "grbl")
    >>> program.end.tolist()
    [[nan, nan, 5.0], [0.0, 0.0, 5.0]]
    """
    from pathkit.readback import interpret

    found = registry.find_dialect(dialect)
    own = _reader(found)
    if own is not None:
        return own(text, found.capabilities).program
    return interpret(text, found.capabilities, start=start).program


def every_check() -> tuple[Check, ...]:
    """The proof's own checks, in the order of a report, followed by those of the plugins."""
    from pathkit.proof.verify import with_more

    return with_more(registry.checks())


def verify(
    posted: Posted | str | bytes,
    program: Program,
    machine: Machine,
    *,
    job: Job | None = None,
    setup: Setup | None = None,
    dialect: str | Dialect | None = None,
) -> Proof:
    """Read the file back and prove that it makes the program's moves safely; see `pathkit.proof`.

    Several files, one a bit, are each proved against their part of the program. ``dialect`` as in `post`.

    >>> program = pk.lower(job, machine)
    >>> posted = pk.post(program, machine)
    >>> pk.verify(posted, program, machine, job=job).ok
    True
    >>> edited = posted.text.replace("X40", "X41")
    >>> pk.verify(edited, program, machine, job=job)["same path"].status
    'failed'
    """
    from pathkit.proof.several_files import join_proofs

    return join_proofs(verify_files(posted, program, machine, job=job, setup=setup, dialect=dialect))


def verify_files(
    posted: Posted | str | bytes,
    program: Program,
    machine: Machine,
    *,
    job: Job | None = None,
    setup: Setup | None = None,
    judged: Judged | None = None,
    dialect: str | Dialect | None = None,
) -> tuple[Proof, ...]:
    """`verify`, file by file; findings about all files together are in each of the proofs.

    ``judged`` keeps what was found right about the board, for other files that make the same moves on the bench.
    """
    from pathkit.proof.several_files import verify_several
    from pathkit.proof.verify import verify as prove

    found = _of(posted, machine, dialect)
    capabilities, reader, checks = found.capabilities.on(machine), _reader(found), every_check()
    files = () if isinstance(posted, (str, bytes)) else posted.each_file
    if len(files) < 2:
        only = prove(
            posted, program, machine, capabilities, job=job, setup=setup, checks=checks, reader=reader, judged=judged
        )
        return (only,)
    proofs = verify_several(files, program, machine, capabilities, job=job, setup=setup, checks=checks, reader=reader)
    return tuple(proof for proof in proofs if proof is not None)


def verify_twin(
    twin: Posted, posted: Posted, machine: Machine, *, dialect: str | Dialect | None = None
) -> Proof:  # fmt: skip
    """Prove that the air-cut twin makes the same motion, raised by one constant, with the spindle left off.

    ``dialect`` as in `post`.

    >>> posted = pk.post(pk.lower(job, machine), machine)
    >>> pk.verify_twin(pk.air_cut(posted, machine), posted, machine).ok
    True
    """
    from pathkit.proof.several_files import join_proofs
    from pathkit.proof.twin.words import verify_twin as prove

    found = _of(posted, machine, dialect)
    capabilities, reader = found.capabilities.on(machine), _reader(found)
    pairs = zip(twin.each_file, posted.each_file, strict=True)
    return join_proofs(tuple(prove(air, file, machine, capabilities, reader=reader) for air, file in pairs))
