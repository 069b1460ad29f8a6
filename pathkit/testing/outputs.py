"""Laws about what a machine's profile may change in its files: whatever it changes, the moves are the same."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any, ClassVar

import numpy as np
import pytest

from pathkit.dialect.base import Dialect
from pathkit.errors import CapabilityError, ProfileError
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.profile import Machine
from pathkit.motion.program import LINE, RAPID, Coolant, Cycle, Dwell, Event, Offset, Program, Spindle, Stop, ToolChange
from pathkit.posting import Posted, post
from pathkit.testing.programs import (
    STOCK,
    demonstration,
    machine_for,
    places_along,
    program_of,
    spindle_by_row,
    suited,
    switched,
)
from pathkit.units import MM_PER_UNIT

OVERRIDES: tuple[dict[str, Any], ...] = (
    {"decimals": 2},
    {"line_end": "crlf"},
    {"line_end": "lf"},
    {"line_numbers": True},
    {"line_numbers": True, "line_number_start": 100, "line_number_step": 5},
    {"fixed_decimals": True},
    {"modal": False},
    {"modal_feed": False},
    {"speed": 1000},
    {"file_names": "8.3"},
    {"speed": "percent"},
    {"speed": "byte"},
    {"tool_change": "pause"},
    {"tool_change": "files"},
    {"arcs": "none"},
    {"arcs": "incremental"},
    {"arcs": "absolute"},
    {"arcs": "radius"},
    {"full_circles": False},
    {"helical": False},
    {"drill_cycles": False},
    {"program_end": "M30"},
)
"""Each is followed, or refused by name: by the profile's own check or by the dialect that cannot write it."""


class OutputLaws:
    """Part of `DialectTests`."""

    dialect: ClassVar[Dialect | type[Dialect]]

    @property
    def tried(self) -> Dialect:
        """The instance that the laws are tried on."""
        assert isinstance(self.dialect, Dialect)
        return self.dialect

    def read(self, text: str | bytes, machine: Machine | None = None) -> Program:
        del text, machine
        raise TypeError("subclass DialectTests")

    def test_what_a_profile_changes_leaves_the_path(self) -> None:
        program = suited(demonstration(), self.tried.capabilities)
        meant = places_along(program, 300)
        followed = 0
        for output in OVERRIDES:
            machine = machine_for(self.tried, output=output)
            try:
                posted = post(program, machine, dialect=self.tried)
            except (ProfileError, CapabilityError) as refused:
                unnamed = [finding for finding in refused.findings if not (finding.what and finding.path)]
                if unnamed:
                    pytest.fail(f"{output}: refused without saying what and where: {unnamed}")
                continue
            followed += 1
            read = self.read(posted.files[0].data, machine)
            read = read.replace(end=np.vstack([[np.nan, np.nan, read.end[0, 2]], read.end[1:]]))
            caps = self.tried.capabilities.on(machine)
            allowed = 10.0 * MM_PER_UNIT[caps.units] / 10.0**caps.unit_decimals + 0.02
            np.testing.assert_allclose(places_along(read, 300), meant, atol=allowed, rtol=0.0, err_msg=str(output))
            speed = spindle_by_row(read)[read.kind != RAPID]
            assert (np.abs(speed - 18000.0) <= 0.5 * caps.speed_step + 1e-6).all(), output
            self._spelled(posted, caps)
        assert followed >= 4

    def _spelled(self, posted: Posted, caps: Capabilities) -> None:
        file = posted.files[0]
        body = file.data.decode("ascii")
        assert (body.count("\r\n") if caps.line_end == "\r\n" else body.count("\n")) == body.count("\n")
        assert caps.line_end == "\r\n" or "\r" not in body
        if caps.file_names == "8.3":
            assert re.fullmatch(r"[A-Z0-9-]{1,8}\.[A-Z0-9]{1,3}", file.name)
        if caps.line_numbers:
            lines = [line for line in body.splitlines() if line != "%"]
            assert all(line.startswith(self.tried.words.block) for line in lines)
            first = f"{self.tried.words.block}{caps.line_number_start} "
            assert lines[0].startswith(first)

    def test_each_bit_can_have_a_file(self) -> None:
        machine = machine_for(self.tried, output={"tool_change": "files"})
        posted = post(suited(_holes(bits=3), self.tried.capabilities), machine, dialect=self.tried)
        assert len(posted.files) == len({file.name for file in posted.files}) == 3
        caps = self.tried.capabilities.on(machine)
        drilled, count = [], 1.001 * MM_PER_UNIT[caps.units] / 10.0**caps.unit_decimals
        for file in posted.files:
            read = self.read(file.data, machine)
            assert read.kind[0] == RAPID
            assert abs(read.end[0, 2] - 22.0) <= count
            assert switched(read) == [1, 0]
            assert isinstance(read.event[-1], Stop)
            assert not any(isinstance(event, ToolChange) for event in read.event)
            drilled += _bottoms(read)
        np.testing.assert_allclose(drilled, _bottoms(_holes(bits=3)), atol=count, rtol=0.0)

    def test_drill_cycles_make_the_holes_of_the_moves(self) -> None:
        program = suited(_holes(), self.tried.capabilities)
        for waiting in (False, True):
            meant = suited(_holes(wait=0.5), self.tried.capabilities) if waiting else program
            reads = []
            for cycles in (True, False):
                machine = machine_for(self.tried, output={"drill_cycles": cycles})
                reads.append(self.read(post(meant, machine, dialect=self.tried).text, machine))
            folded, plain = reads
            caps = self.tried.capabilities
            count = 1.001 * MM_PER_UNIT[caps.units] / 10.0**caps.unit_decimals
            for read in reads:
                np.testing.assert_allclose(_bottoms(read), _bottoms(meant), atol=count, rtol=0.0)
                waits = [event.seconds for event in read.event if isinstance(event, Dwell)]
                assert waits == [event.seconds for event in meant.event if isinstance(event, Dwell)]
            assert not plain.cycles
            codes = {_code(cycle) for cycle in folded.cycles}
            assert codes <= self.tried.capabilities.drill_cycles
            wanted = {"G82", "G83"} if waiting else {"G81", "G83"}
            assert codes == wanted & self.tried.capabilities.drill_cycles
            assert all(cycle.peck is None or cycle.peck <= 4.0 + count for cycle in folded.cycles)


def _holes(bits: int = 1, wait: float = 0.0) -> Program:
    """Two plain holes and a pecked one for each bit; controller frame, one row a move, cycles named."""
    nan = math.nan
    rows: list[tuple[Any, ...]] = [(RAPID, (nan, nan, 22.0), None, 0.0, nan)]
    events: list[tuple[int, Event]] = [(0, Offset("G54"))]
    cycles: list[Cycle] = []
    for bit in range(bits):
        events += [(len(rows), ToolChange(f"bit {bit + 1}", bit + 1)), (len(rows), Spindle(9000.0, 1))]
        for hole, peck in enumerate((None, None, 4.0)):
            x, y = 10.0 + 20.0 * hole, 15.0 + 10.0 * bit
            rows += [(RAPID, (x, y, 22.0), None, 0.0, nan)]
            first = len(rows)
            rows += [(RAPID, (x, y, 13.0), None, 0.0, nan)]
            for low in (8.0, 4.0, 1.0) if peck else (1.0,):
                if low < 8.0 and peck:
                    rows += [(RAPID, (x, y, 13.0), None, 0.0, nan), (RAPID, (x, y, low + 4.5), None, 0.0, nan)]
                rows += [(LINE, (x, y, low), None, 0.0, 300.0)]
            if wait and not peck:
                events.append((len(rows), Dwell(wait)))
            rows += [(RAPID, (x, y, 22.0), None, 0.0, nan)]
            cycles.append(Cycle(first, len(rows) - 1, 13.0, 1.0, 300.0, peck, 0.0 if peck else wait))
        events.append((len(rows), Spindle(0.0, 0)))
    events += [(len(rows), Coolant("off")), (len(rows), Stop())]
    program = program_of(rows, events, frame="controller", stock=replace(STOCK), title="holes")
    return program.replace(cycles=tuple(cycles))


def _bottoms(program: Program) -> list[tuple[float, ...]]:
    """Place and depth of every hole, in order."""
    deepest: dict[tuple[float, ...], float] = {}
    for x, y, z in np.round(program.end[program.kind == LINE], 4).tolist():
        deepest[x, y] = min(z, deepest.get((x, y), z))
    return [(*place, z) for place, z in deepest.items()]


def _code(cycle: Cycle) -> str:
    return "G83" if cycle.peck is not None else "G82" if cycle.dwell else "G81"
