"""What a hand-out offers: every choice that a recipient may make, with what is cut for it, or why it is not offered."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final, cast

from pathkit.errors import InputError, PathkitError
from pathkit.findings import Finding
from pathkit.jobs.boards import plain_stock
from pathkit.jobs.fit_piece import FitPiece, fit_piece
from pathkit.jobs.handout_form import Handout
from pathkit.jobs.mark import mark_of_file
from pathkit.jobs.order import Order
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import JobFile
from pathkit.machine.limits import board_fits
from pathkit.machine.profile import Axes, Corner, Machine, Motion, Sideways, SpindleControl, Travel, Upright
from pathkit.model.job import Setup

MOST: Final = 4096
"""The most choices of one hand-out: four corners, sixteen directions, and sixty-four of all the rest together."""


@dataclass(frozen=True)
class Choice:
    """What a recipient says of their machine: the corner where zero is, which way the bit goes as ``x``, ``y`` and
    ``z`` grow, dialect, units, the number of the board in the job file, and the bit (empty: the job's own)."""

    corner: Corner
    x: Sideways
    y: Sideways
    z: Upright
    dialect: str
    units: str
    board: int
    bit: str = ""


@dataclass(frozen=True)
class Offered:
    """A choice, and what is cut for it: one order for each kind of board. With none, ``why`` says why not."""

    choice: Choice
    orders: tuple[Order, ...] = ()
    why: str = ""


@dataclass(frozen=True)
class Pieces:
    """The test pieces for one ``bit``, as a choice has it: the ``piece``, and the order of each choice. With no piece,
    ``why`` says why not."""

    bit: str
    piece: FitPiece | None
    orders: Mapping[Choice, Order]
    why: str = ""


def directions() -> Iterator[str]:
    """The sixteen ways in which three axes can run, as a job file has them: ``right away up`` and so on."""
    for across, along, z in itertools.product(("right", "left"), ("away", "toward"), ("up", "down")):
        yield f"{across} {along} {z}"
        yield f"{along} {across} {z}"


def offered_by(file: JobFile, *, effort: float | None = None, seed: int | None = None) -> tuple[Offered, ...]:
    """Every choice of the [handout] of ``file``, in its order.

    Raises `InputError` if the file has no [handout], for dialects and boards that are not there, and for a job that can
    be cut for nobody.
    """
    form = file.form.handout
    if form is None:
        fix = 'add a [handout] table with a [handout.machine] table in it, or use "pathkit build"'
        raise InputError([file.finding((), "the job file has no [handout]", fix)])
    boards = _boards(file, form)
    _refuse_unknown(file, form)
    whole = [
        Choice(corner, *_ways(words), dialect, units, board, bit)
        for board, bit, dialect, units, words, corner in itertools.product(
            boards, ["", *form.bits], form.dialects, form.units, form.directions or directions(), form.corners
        )
    ]
    if len(whole) > MOST:
        raise InputError([file.finding(("handout",), f"it offers {len(whole)} choices", f"offer at most {MOST}")])
    found: list[Offered] = []
    for (board, bit), some in itertools.groupby(whole, key=lambda choice: (choice.board, choice.bit)):
        found += _offered(file, list(some), board, bit, effort, seed)
    if not any(each.orders for each in found):
        raise InputError([file.finding(("handout",), f"nothing can be offered: {found[0].why}", "mend that")])
    return tuple(found)


def pieces_of(
    file: JobFile, offered: Sequence[Offered], *, effort: float | None = None, seed: int | None = None
) -> tuple[Pieces, ...]:
    """The test pieces for what is offered, for each bit: whatever the board, since it is cut from a piece of one."""
    form = file.form.handout
    assert form is not None
    found: list[Pieces] = []
    for bit in dict.fromkeys(each.choice.bit for each in offered):
        choices = [each.choice for each in offered if each.choice.bit == bit and each.orders]
        machines = {choice: of_piece(machine_of(choice, form, choice.board, 1)) for choice in choices}
        bits = [bit] if bit else []
        try:
            piece = fit_piece(file, bits)
            different = list({machine.name: machine for machine in machines.values()}.values())
            if not different:
                continue
            made = orders_of(piece.file, different, bits=bits, effort=effort, seed=seed)
        except PathkitError as error:
            found.append(Pieces(bit, None, {}, error.findings[0].what))
            continue
        mark = mark_of_file(file)
        by_name = {o.machine.name: _as_piece(replace(o, handout=True), mark) for o in made}
        found.append(Pieces(bit, piece, {choice: by_name[machine.name] for choice, machine in machines.items()}))
    return tuple(found)


def piece_order(file: JobFile, machine: Machine, setup: Setup | None = None, bits: Sequence[str] = ()) -> Order:
    """The order of a job's test piece for one machine, which `of_piece` names. Raises what `fit_piece` and `orders_of`
    raise."""
    (order,) = orders_of(fit_piece(file, bits).file, [machine], bits=bits, setups=setup)
    return _as_piece(order, mark_of_file(file))


def of_piece(machine: Machine) -> Machine:
    """The machine under a name by which its test piece lies in a folder of its own."""
    return replace(machine, name=f"test {machine.name}")


def _as_piece(order: Order, mark: str) -> Order:
    """The order, marked as a test piece and with the mark of the job that it is made for."""
    return replace(order, mark=mark, recipe={**order.recipe, "test_piece": True})


def machine_of(choice: Choice, form: Handout, board: int, boards: int) -> Machine:
    """The least machine of a hand-out, set up as a recipient chose. Raises `ProfileError` for directions in which X and
    Y run along one line."""
    axes, least = Axes(choice.x, choice.y, choice.z), form.machine
    across, away, up = least.travel
    sizes = [across if way in ("right", "left") else away for way in (choice.x, choice.y)]
    name = f"{choice.dialect} {choice.corner} {choice.x} {choice.y} {choice.z} {choice.units}"
    name += f" board {board + 1}" if boards > 1 else ""
    # Names of folders are cut short at their end, so bits are numbered, too.
    name += f" bit {form.bits.index(choice.bit) + 1}" if choice.bit else ""
    rapid, limit, acceleration = (
        (pair[0], pair[0], pair[1]) for pair in (least.rapid, least.feed_limit, least.acceleration)
    )
    spindle = SpindleControl() if least.spindle is None else least.spindle.value()
    return Machine(
        name, choice.dialect, axes, Travel(sizes[0], sizes[1], up), Motion(rapid, limit, acceleration),
        origin=choice.corner, left_handed=axes.left_handed, spindle=spindle,
        output={} if choice.units == "mm" else {"units": choice.units},
    )  # fmt: skip


def _offered(
    file: JobFile, choices: Sequence[Choice], board: int, bit: str, effort: float | None, seed: int | None
) -> list[Offered]:
    form = file.form.handout
    assert form is not None
    machines: dict[Choice, Machine] = {}
    found: dict[Choice, Offered] = {}
    stock = plain_stock(file, board)
    for choice in choices:
        try:
            machine = machine_of(choice, form, board, len(file.form.board))
        except PathkitError as error:
            found[choice] = Offered(choice, (), error.findings[0].what)
            continue
        unfit = [_unwritten(choice), *(finding.what for finding in board_fits(stock, machine))]
        if why := next(filter(None, unfit), ""):
            found[choice] = Offered(choice, (), why)
        else:
            machines[choice] = machine
    orders: dict[str, list[Order]] = {}
    bits = [bit] if bit else []
    # No machines at all would mean those that the file names.
    asked = list(machines.values())
    try:
        for order in orders_of(file, asked, bits=bits, effort=effort, seed=seed, board=board) if asked else ():
            orders.setdefault(order.machine.name, []).append(replace(order, handout=True))
    except PathkitError as error:
        # What a recipient's bit cannot cut is no fault of the job.
        if not bit:
            raise
        found |= {choice: Offered(choice, (), error.findings[0].what) for choice in machines}
        machines = {}
    for choice, machine in machines.items():
        found[choice] = Offered(choice, tuple(orders[machine.name]))
    return [found[choice] for choice in choices]


def _unwritten(choice: Choice) -> str:
    """Why a dialect does not write these units; empty if it does."""
    from pathkit.registry import find_dialect

    known = find_dialect(choice.dialect).capabilities.decimals
    return "" if choice.units in known else f"{choice.dialect} takes no dimensions in {choice.units}"


def _boards(file: JobFile, form: Handout) -> list[int]:
    names = [board.name for board in file.form.board]
    if form.boards is None:
        return list(range(len(names)))
    wrong = [k for k, name in enumerate(form.boards) if name not in names]
    if wrong:
        named = [repr(name) for name in names if name]
        fix = f"boards: {', '.join(named)}" if named else "boards: none has a name"
        raise InputError(
            file.finding(("handout", "boards", k), f"no board is called {form.boards[k]!r}", fix) for k in wrong
        )
    return [names.index(name) for name in form.boards]


def _refuse_unknown(file: JobFile, form: Handout) -> None:
    from pathkit.errors import UnknownName
    from pathkit.registry import find_dialect

    found: list[Finding] = []
    for k, name in enumerate(form.dialects):
        try:
            find_dialect(name)
        except UnknownName as error:
            found += [file.finding(("handout", "dialects", k), f.what, f.fix) for f in error.findings]
    if found:
        raise InputError(found)


def _ways(words: str) -> tuple[Sideways, Sideways, Upright]:
    x, y, z = words.split()
    return cast("Sideways", x), cast("Sideways", y), cast("Upright", z)
