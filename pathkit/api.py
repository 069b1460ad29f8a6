"""The public functions that need a dialect: each looks it up by the machine's name for it and calls the right room."""

from __future__ import annotations

from types import NoneType
from typing import TYPE_CHECKING

from pathkit import posting, registry
from pathkit.door import expect
from pathkit.errors import InputError
from pathkit.findings import Finding, errors_of
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.motion.program import Program
from pathkit.posting import Posted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from pathkit.dialect.base import Dialect
    from pathkit.findings import Check
    from pathkit.machine.capabilities import Capabilities
    from pathkit.proof.judged import Judged
    from pathkit.proof.result import Proof
    from pathkit.readback.foreign import Read
    from pathkit.readback.interpret import Reading


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
    expect("post", program=(program, Program), machine=(machine, Machine), setup=(setup, Setup, NoneType))
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
    expect("air_cut", posted=(posted, Posted), machine=(machine, Machine))
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


def read(
    text: str | bytes,
    dialect: str | Dialect | Machine,
    start: Sequence[float] | None = None,
    *,
    file: str | None = None,
) -> Reading:
    r"""The moves that a controller of this dialect would make, in its own axes, mm; NaN where a place is not known.

    With a machine instead of a dialect, the text is read as its controller is set up. ``start`` is where the bit is at
    first, in mm and work coordinates; ``file`` names the text in findings. The reading's ``findings`` are whatever a
    careful reader cannot rely on.

    Raises `InputError` with every block that the controller would refuse, as `interpret` finds them.

    >>> reading = pk.read("G21 G90 G94 G17 G54\nG0 Z5\nG0 X0 Y0", "grbl")
    >>> reading.program.end.tolist()
    [[nan, nan, 5.0], [0.0, 0.0, 5.0]]
    """
    reading = interpret(text, dialect, start, file=file)
    if refused := [found for found in errors_of(reading.findings) if found.check == "controller"]:
        raise InputError(refused)
    return reading


def interpret(
    text: str | bytes,
    dialect: str | Dialect | Machine,
    start: Sequence[float] | None = None,
    *,
    file: str | None = None,
) -> Reading:
    r"""As `read` (mm, mm/min), for a text that may be wrong: what the controller would refuse is found and left out.

    Raises `InputError` for a ``start`` that is not three numbers, or that a file says itself.

    >>> pk.interpret("G21 G90\nG0 Z5\nG2", "grbl").findings[-1].check
    'controller'
    """
    from pathkit.dialect.base import Dialect
    from pathkit.readback.interpret import interpret as as_words

    expect("read", text=(text, str, bytes), dialect=(dialect, str, Dialect, Machine))
    found, capabilities = _dialect_and_capabilities(dialect)
    own = _reader(found)
    if own is None:
        return as_words(text, capabilities, start=start, file=file)
    if start is not None:
        raise InputError(f"files of the dialect {found.name!r} say where the bit begins; leave start out")
    return own(text, capabilities, file=file)


def read_any(
    text: str | bytes, dialect: str | Dialect | Machine | None = None, *, file: str | None = None
) -> Reading:  # fmt: skip
    r"""Read a cut file whoever wrote it: its moves in its own axes, mm; NaN where a place is not known.

    It takes the words of ISO 6983 and RS274/NGC (NISTIR 6556): G0 to G3 with centres or radii in all three planes
    (those outside XY become short lines, at most 0.001 mm beside the arc), G20, G21, G70, G71, G90, G91, G90.1, G91.1,
    G80 to G83 with G98 and G99, G4, G40, G43, G43.1, G49, G61, G64, G92, G93, G94, G10 L2 and L20, G54 to G59, S, T,
    M0 to M9, M30, comments in ( ) and behind ``;``, ``%``, N, a leading ``O1234``, ``/``; in capitals or not, with or
    without blanks. Behind G28, G30 and G53 places are not known until the file states them again.

    What no path can be worked out from is refused by its name: radius compensation (G41, G42), parameters,
    expressions, subprograms, probing, further axes, words of lathes.

    Without a ``dialect`` the text is read as the family of controllers has it. Where controllers that are installed
    would take it and not do the same, or none of them takes it, a warning says what each would do. With a dialect, or a
    machine, it is read as that controller would, and refused where that would refuse.

    The reading's ``findings`` (warnings and notes, each with line and column) are what a careful reader cannot rely on:
    a file that seems cut short, units that are mixed or not stated, a bit changed while it is down, a spindle that is
    never started, G91 or G92 left on, and the like. Raises `InputError` with everything that cannot be followed.

    >>> reading = pk.read_any("g20g90g0z.25\nx0y0\nm3s9000\ng1z-.125f20\nx1\ng0z.25\nm5\nm30")
    >>> reading.program.end[-1].tolist(), reading.findings
    ([25.4, 0.0, 6.35], ())
    >>> try:
    ...     pk.read_any("G21 G90\nG1 X5 A90 F300\n")
    ... except pk.InputError as error:
    ...     print(error.findings[0].line, error.findings[0].column, error.findings[0].what.split(":")[0])
    2 7 A90 turns or tilts the work or the head
    """
    from pathkit.dialect.base import Dialect
    from pathkit.readback.elsewhere import Known, read_as, read_of_moves, read_whoever

    expect("read_any", text=(text, str, bytes), dialect=(dialect, str, Dialect, Machine, NoneType))
    if dialect is None:
        every = (provided.value for provided in registry.installed().provided("dialect"))
        worded = [each for each in every if _reader(each) is None and each.capabilities.grammar is not None]
        return read_whoever(text, [Known(d.name, d.title, d.capabilities) for d in worded], file=file)
    found, capabilities = _dialect_and_capabilities(dialect)
    own = _reader(found)
    return read_as(text, capabilities, file=file) if own is None else read_of_moves(text, capabilities, own, file=file)


def _dialect_and_capabilities(dialect: str | Dialect | Machine) -> tuple[Dialect, Capabilities]:
    """The dialect, and what its controller takes as this machine's is set up."""
    if isinstance(dialect, Machine):
        return registry.find_dialect(dialect.dialect), registry.capabilities_of(dialect)
    found = registry.find_dialect(dialect)
    return found, found.capabilities


def every_check() -> tuple[Check, ...]:
    """The proof's own checks, in the order of a report, followed by those of the plugins."""
    from pathkit.proof.verify import with_more

    return with_more(registry.checks())


def verify(
    posted: Posted | str | bytes,
    program: Program,
    machine: Machine,
    setup: Setup | None = None,
    *,
    job: Job | None = None,
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
    setup: Setup | None = None,
    *,
    job: Job | None = None,
    judged: Judged | None = None,
    dialect: str | Dialect | None = None,
) -> tuple[Proof, ...]:
    """`verify`, file by file; findings about all files together are in each of the proofs.

    ``judged`` keeps what was found right about the board, for other files that make the same moves on the bench.
    """
    from pathkit.proof.several_files import verify_several
    from pathkit.proof.verify import verify as prove

    expect(
        "verify", posted=(posted, Posted, str, bytes), program=(program, Program), machine=(machine, Machine),
        job=(job, Job, NoneType), setup=(setup, Setup, NoneType),
    )  # fmt: skip
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

    ``dialect`` as in `post`. Raises `InputError` if they have not the same number of files.

    >>> posted = pk.post(pk.lower(job, machine), machine)
    >>> pk.verify_twin(pk.air_cut(posted, machine), posted, machine).ok
    True
    """
    from pathkit.proof.several_files import join_proofs
    from pathkit.proof.twin.words import verify_twin as prove

    expect("verify_twin", twin=(twin, Posted), posted=(posted, Posted), machine=(machine, Machine))
    found = _of(posted, machine, dialect)
    capabilities, reader = found.capabilities.on(machine), _reader(found)
    if len(twin.files) != len(posted.files):
        raise InputError(f"the twin has {len(twin.files)} files, and what it is to be a twin of {len(posted.files)}")
    pairs = zip(twin.each_file, posted.each_file, strict=True)
    return join_proofs(tuple(prove(air, file, machine, capabilities, reader=reader) for air, file in pairs))
