"""Program → Job: what a file cuts, so that it can be improved and written for another machine."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import NoneType
from typing import Any, Final

import numpy as np

from pathkit.door import expect
from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.lifting.board import assumed_board, is_clear_of_zero, nothing_cut
from pathkit.lifting.chains import CHECK, Chain, chains_of
from pathkit.lifting.freedom import with_freedom
from pathkit.lifting.order import meetings
from pathkit.lifting.recognise import toolpath_of
from pathkit.lifting.stacks import stacked
from pathkit.lifting.ways_in import entered, level_by_level
from pathkit.machine.orientation import to_bench
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.model.toolpath import Toolpath
from pathkit.motion.program import Program

WIDEST: Final = 25.4
"""mm: an inch. A bit of unknown diameter is taken to be that wide, wider than small routers turn (common practice, no
source), so that cuts that may touch keep their order."""

Bits = Tool | Mapping[int, Tool] | Mapping[int | None, Tool]


@dataclass(frozen=True)
class Lifted:
    """A ``job`` that cuts what a program cuts, and what was assumed or left out on the way (``findings``).

    ``program`` is what was lifted, in the bench frame; ``height`` the z (mm) of its highest move. ``cuts`` counts what
    runs between two moves above the board.

    >>> lifted = pk.lift(pk.lower(job, machine), machine)
    >>> len(lifted.job.toolpaths), lifted.height
    (1, 8.0)
    """

    job: Job
    program: Program
    height: float
    cuts: int
    findings: tuple[Finding, ...] = ()

    def __repr__(self) -> str:
        made = len(self.job.toolpaths)
        return f"Lifted({self.job.name!r}, {self.cuts} cuts -> {made} toolpaths, findings: {len(self.findings)})"


def lift(
    program: Program,
    machine: Machine,
    setup: Setup | None = None,
    *,
    bits: Bits | None = None,
    stock: Stock | None = None,
    spindle: float | None = None,
    reversible: bool = False,
    name: str = "lifted",
) -> Lifted:
    """Understand a program as a job: toolpaths, their depths, and the order in which they must stay.

    ``program`` is in the bench frame, or in the controller's as it was read; then ``machine`` and ``setup`` say where
    its zero is and which way its axes run. ``stock`` is the board (mm); without it the smallest one is assumed that
    holds all cuts, with zero on its top, and a finding says so. ``bits`` are the bits by their number in the program,
    or one for all; an unknown bit is taken to be an inch wide. ``spindle`` is the speed (rpm) of a spindle that the
    file does not switch.

    A cut runs from one move above the board to the next. Holes become points with their pecks, level laps at growing
    depth one toolpath with levels. Ramps, spirals, helices, pecks and tabs are recognised where a toolpath that has
    them makes the same moves: it is lowered, and held against the file's. All else is a trace, which is cut as it lies.
    Closed laps may begin elsewhere if they were entered where no other cut had made room. Cuts whose ground meets keep
    their order, and so do a cut that frees a piece and those on it. Grooves with wood on both sides, which nothing else
    touches, may run from their other end; with ``reversible`` every level open cut may, where it does not matter to you
    on which side of it the bit climbs.

    Raises `Refused` for a program that is no sound job: with cuts while the spindle is off, from unknown places, in
    several work offsets; `InputError` if the board is needed and not given.

    >>> lifted = pk.lift(pk.lower(job, machine), machine, bits=job.tools[0])
    >>> lifted.job.toolpaths[0].levels
    (-2.0,)
    """
    expect(
        "lift", program=(program, Program), machine=(machine, Machine), setup=(setup, Setup, NoneType),
        stock=(stock, Stock, NoneType), bits=(bits, Tool, Mapping, NoneType), reversible=(reversible, bool),
    )  # fmt: skip
    findings: list[Finding] = []
    stock = stock or program.stock
    assumed = stock is None
    if stock is None:
        widest = max((tool.radius for tool in _listed(bits)), default=0.0)
        stock = assumed_board(program, machine, setup, widest, findings)
    bench = to_bench(program, machine, stock, setup)
    chains = chains_of(bench, stock.top, spindle)
    findings += chains.findings
    if not chains.chains:
        raise nothing_cut()
    if assumed:
        is_clear_of_zero(chains.chains)
    tools = _tools(chains.chains, bits, stock.highest_top, findings)
    paths = list(_toolpaths(chains.chains, tools, stock))
    meeting = meetings(paths, stock)
    free = with_freedom(paths, meeting, stock, reversible=reversible)
    job = stacked(name, stock, free, meeting.pairs)
    return Lifted(job, bench, float(np.nanmax(bench.end[:, 2])), len(chains.chains), tuple(findings))


def _listed(bits: Bits | None) -> Sequence[Tool]:
    if bits is None:
        return ()
    return (bits,) if isinstance(bits, Tool) else tuple(bits.values())


def _toolpaths(chains: Sequence[Chain], tools: Mapping[int | None, Tool], stock: Stock) -> Iterator[Toolpath]:
    """What the cuts are, in their order."""
    number, width = 1, len(str(len(chains)))
    for group in level_by_level(chains):
        tool = tools[group[0].tool]
        names = [_name(at, width, chain) for at, chain in enumerate(group, number)]
        number += len(group)
        one = entered(group, names[0], tool, stock) if len(group) > 1 else None
        if one is not None:
            yield one
        else:
            yield from (toolpath_of(chain, name, tool, stock) for name, chain in zip(names, group, strict=True))


def _name(number: int, width: int, chain: Chain) -> str:
    return f"cut {number:0{width}d}" + (f", line {chain.line}" if chain.line > 0 else "")


def _tools(
    chains: Sequence[Chain], bits: Bits | None, top: float, findings: list[Finding]
) -> dict[int | None, Tool]:  # fmt: skip
    """The bit of each number that the cuts have, with what the file lets it do."""
    found: dict[int | None, Tool] = {}
    for number in dict.fromkeys(chain.tool for chain in chains):
        by_number: Mapping[Any, Tool] = bits if isinstance(bits, Mapping) else {}
        given = bits if isinstance(bits, Tool) else by_number.get(number)
        if given is None and number is None and bits is not None and len(listed := _listed(bits)) == 1:
            (given,) = listed
        called = "the bit" if number is None else f"bit {number}"
        if given is None:
            what = (
                "the diameter of the bit is not known; cuts that may touch for an inch-wide one keep their order"
                if number is None
                else f"the diameter of bit {number} is not known; cuts that may touch for an inch-wide one keep their "
                "order"
            )
            findings.append(Finding(check=CHECK, what=what, fix="say which bit it is", severity="warning"))
            given = Tool(f"{called}, not known", WIDEST, number=number)
        elif isinstance(bits, Tool) and len({chain.tool for chain in chains}) > 1:
            what = "the file changes bits, and one bit is given for all"
            raise InputError([Finding(check=CHECK, what=what, fix="give a bit for each number")])
        # The file itself may send it straight down.
        plunges = any(chain.tool == number and chain.plunges(top) for chain in chains)
        found[number] = replace(given, number=number, centre_cutting=given.centre_cutting or plunges)
        if plunges and not given.plunges:
            what = (
                "the file sends the bit straight down into the wood: it must cut at its centre"
                if number is None
                else f"the file sends bit {number} straight down into the wood: it must cut at its centre"
            )
            findings.append(Finding(check=CHECK, what=what, severity="note"))
    return found
