"""Read, understand, improve, write, and prove that it still cuts the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from types import NoneType
from typing import TYPE_CHECKING, Any, Final

from pathkit import api, registry
from pathkit.door import expect
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.lifting import Lifted, lift
from pathkit.lifting.lift import Bits
from pathkit.lowering.lower import lower
from pathkit.machine.kinematics import run_time
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock
from pathkit.motion.program import Offset, Program
from pathkit.passes.fit_arcs import FitArcs
from pathkit.passes.measuring import Measured, measured
from pathkit.passes.order_travel import OrderTravel
from pathkit.passes.pipeline import Outcome, Pipeline
from pathkit.proof.result import Proof
from pathkit.tolerances import ARC_LONGER, FITTED, NO_SLOWER
from pathkit.tuning.bit_order import with_bits_in_order
from pathkit.tuning.limits import capped
from pathkit.tuning.machines import held_to, made_for, same_corner
from pathkit.tuning.proved import proved

if TYPE_CHECKING:
    from pathkit.dialect.base import Dialect
    from pathkit.passes.base import Pass, Progress
    from pathkit.passes.steady_load import SteadyLoad
    from pathkit.posting import Posted
    from pathkit.readback.interpret import Reading

SECOND: Final = 1.0
"""Seconds that are worth a word."""

NOT_PROVED: Final = ("clamps", "hold-down", "the bit")
"""What a cut file does not tell of, so that nobody can hold the improved one against it."""


@dataclass(frozen=True, eq=False)
class Tuned:
    """A cut file, improved and written for a machine.

    ``posted`` is what to cut with, ``proof`` holds it against the moves, the board and the file that it was made from.
    ``job`` and ``program`` are what was posted, ``lifted`` what was understood of the file. ``before`` and ``after``
    are travel (mm), retracts and run time (s) on this machine, ``lines`` how many lines both files have.
    ``kept_order`` says that no order was found which this machine runs any faster than the file's own.

    >>> text = pk.post(pk.lower(job, machine), machine).text
    >>> tuned = pk.tune(text, machine, bits=job.tools[0], stock=job.stock)
    >>> tuned.proof.ok, tuned.after.run_time <= tuned.before.run_time
    (True, True)
    """

    posted: Posted
    proof: Proof
    job: Job
    program: Program
    lifted: Lifted
    machine: Machine
    before: Measured
    after: Measured
    lines: tuple[int, int]
    kept_order: bool
    findings: tuple[Finding, ...]

    def __repr__(self) -> str:
        verdict = "same cuts" if self.proof.ok else f"errors: {len(self.proof.findings)}"
        return f"Tuned({self.job.name!r}, {self.lines[0]} -> {self.lines[1]} lines, {verdict})"


def tune(  # noqa: PLR0913 - each is asked for by its name
    text: str | bytes,
    machine: Machine,
    setup: Setup | None = None,
    *,
    source: Machine | None = None,
    dialect: str | Dialect | None = None,
    bits: Bits | None = None,
    stock: Stock | None = None,
    spindle: float | None = None,
    reversible: bool = False,
    fit: float | None = FITTED,
    passes: Sequence[Pass] = (),
    steady: SteadyLoad | None = None,
    clear: bool = False,
    effort: float = 1.0,
    seed: int = 0,
    name: str = "tuned",
    file: str | None = None,
    progress: Progress | None = None,
) -> Tuned:
    r"""Improve a cut file whoever wrote it, and write it for ``machine``.

    ``source`` is the machine that the file was made for: where its zero is and which way its axes run; without it X
    runs to the right, Y away, Z up from the front left corner. ``dialect`` is the one that the file was written in,
    which is needed only where controllers would not do the same. ``bits``, ``stock``, ``spindle`` and ``reversible`` as
    in `lift`.

    Short lines become arcs, and points in line are dropped, within ``fit`` mm (None: nothing of it). Travel is put in a
    better order, as far as cuts may change places (`lift`); ``passes`` run before that: ramps or tabs, say. With
    ``steady`` feeds follow the load along level cuts, within its shares of the file's own feeds. Between cuts the bit
    goes as high as the file's highest move, and no way leads out of the area that the file moved in, unless ``clear``
    says that no clamp stands on the board, or that its zones are all there are. Feeds are held to the machine's limits.
    What makes the file no faster is left as it was.

    The proof reads what was written, runs every check, and holds it against the file: *same cuts*, *no deeper bite*.
    Raises `InputError` for a file that cannot be followed, or that controllers read in unlike ways, and `Refused` as
    `lift` and `lower` do.

    >>> tuned = pk.tune("G21 G90\nS9000 M3\nG0 Z5\nX10 Y10\nG1 Z-1 F300\nX40 F900\nG0 Z5\nM5\nM30", machine)
    >>> tuned.proof["same cuts"].status
    'passed'
    """
    expect("tune", text=(text, str, bytes), machine=(machine, Machine), setup=(setup, Setup, NoneType))
    expect("tune", source=(source, Machine, NoneType), stock=(stock, Stock, NoneType))
    reading = _read(text, dialect, file)
    source, setup = source or made_for(machine), _set_up(reading.program, setup)
    lifted = lift(reading.program, source, bits=bits, stock=stock, spindle=spindle, reversible=reversible, name=name)
    if stock is None:
        same_corner(machine, source)
    on = held_to(machine, lifted, clear=clear)
    findings = [*reading.findings, *lifted.findings]
    ways = _ways(on, passes, fit, OrderTravel(effort=effort, seed=seed), steady)
    job, program, kept = _improved(lifted, on, setup, ways, findings, progress)
    posted = api.post(program, on, setup)
    proof = proved(reading, source, posted, program, job, on, setup, fit=fit or 0.0, altered=bool(passes))
    lines = (_lines(text), sum(_lines(each.data) for each in posted.files))
    before, after = _measured(lifted.program, program, on, setup)
    findings += _slower(before, after, steady)
    return Tuned(posted, proof, job, program, lifted, on, before, after, lines, kept, tuple(findings))


def _set_up(program: Program, setup: Setup | None) -> Setup | None:
    """The set-up; where none is given, with the work offset that the file counts from."""
    named = [event.name for event in program.event if isinstance(event, Offset)]
    last: Any = named[-1] if named else None
    return Setup(offset=last) if setup is None and named else setup


def _read(text: str | bytes, dialect: str | Dialect | None, file: str | None) -> Reading:
    """The file's moves. Raises `InputError` if controllers would not make the same ones."""
    reading = api.read_any(text, dialect, file=file)
    if unsure := [found for found in reading.findings if found.check == "which controller"]:
        raise InputError([replace(found, severity="error") for found in unsure])
    return reading


def _ways(
    machine: Machine, passes: Sequence[Pass], fit: float | None, order: OrderTravel, steady: SteadyLoad | None
) -> list[tuple[Pass, ...]]:  # fmt: skip
    """The passes to run, and what to run instead if that is slower than the file."""
    last = () if steady is None else (steady,)
    if fit is None:
        return [(*passes, order, *last), (*passes, *last)]
    fitted = FitArcs(tolerance=fit, arcs=registry.capabilities_of(machine).arcs != "none")
    return [(*passes, *between, *last) for between in ((fitted, order), (fitted,), (order,), ())]


def _improved(
    lifted: Lifted, machine: Machine, setup: Setup | None, ways: Sequence[tuple[Pass, ...]], findings: list[Finding],
    progress: Progress | None,
) -> tuple[Job, Program, bool]:  # fmt: skip
    """The job after the first of the ``ways`` that makes it no slower, lowered; and whether its order is the file's."""
    given, slowed = capped(lifted.job, machine, setup)
    if slowed:
        what = f"{slowed} cuts are slowed to what the axes of {machine.name!r} can do"
        findings.append(Finding(check="tune", what=what, severity="note"))

    def made(passes: tuple[Pass, ...]) -> tuple[Outcome, Job, Program]:
        order = next((each for each in passes if isinstance(each, OrderTravel)), None)
        begun = given if order is None else with_bits_in_order(given, order, machine, setup)
        outcome = Pipeline(passes).run(begun, machine, setup, progress=progress)
        job, _ = capped(outcome.job, machine, setup)
        return outcome, job, lower(job, machine, setup)

    *faster, last = ways
    plain = made(last)
    at_most = run_time(plain[2], machine, setup).total * (1.0 + ARC_LONGER) + NO_SLOWER
    for passes in faster:
        outcome, job, program = made(passes)
        if run_time(program, machine, setup).total <= at_most:
            findings += outcome.findings
            return job, program, not any(isinstance(each, OrderTravel) for each in passes)
    findings += plain[0].findings
    return plain[1], plain[2], True


def _measured(file: Program, program: Program, machine: Machine, setup: Setup | None) -> tuple[Measured, Measured]:
    """The file and what was made of it on this machine. The file, too, is given the waits that the spindle needs here:
    its own may be other ones."""
    spent, now = run_time(file, machine, setup), run_time(program, machine, setup)
    seconds = spent.total + max(0.0, now.dwelling - spent.dwelling)
    return (
        measured(file, machine, setup, seconds=seconds),
        measured(program, machine, setup, seconds=now.total),
    )


def _slower(before: Measured, after: Measured, steady: SteadyLoad | None) -> list[Finding]:
    lost = (after.run_time or 0.0) - (before.run_time or 0.0)
    if lost < SECOND:
        return []
    what = (
        f"it takes {lost:.0f} s longer than the file: the bit goes down at a feed where the file goes at rapid"
        if steady is None
        else f"it takes {lost:.0f} s longer than the file: feeds are lower where the bit is in more wood, as you asked"
    )
    return [Finding(check="tune", what=what, severity="note")]


def _lines(text: str | bytes) -> int:
    data = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
    return len(data.splitlines())
