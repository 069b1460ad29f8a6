"""Laws that apply to every dialect. Subclass `DialectTests`, name the dialect, run pytest."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable
from typing import Any, get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis.strategies import SearchStrategy

from pathkit.dialect.claims import claims
from pathkit.dialect.words import COMMENT_PREFIX
from pathkit.errors import CapabilityError, InputError
from pathkit.machine.capabilities import Capabilities
from pathkit.machine.orientation import to_bench
from pathkit.machine.profile import Axes, Corner, Machine, SpindleControl
from pathkit.motion.program import ARC, RAPID, Beam, Coolant, Dwell, Note, Pause, Program, Spindle, Stop, ToolChange
from pathkit.posting import Posted, air_cut, post
from pathkit.proof.twin.words import verify_twin
from pathkit.readback.foreign import guarded
from pathkit.testing.declared import DeclaredLaws
from pathkit.testing.deviations import Deviating
from pathkit.testing.outputs import OutputLaws
from pathkit.testing.programs import (
    HOSTILE,
    STOCK,
    awkward_turns,
    demonstration,
    grid_programs,
    hostile_texts,
    machine_for,
    moving_rows,
    places_along,
    spindle_by_row,
    suited,
    switched,
)
from pathkit.units import MM_PER_UNIT

NOISE = 1e-6
"""mm: numbers on the grid differ by at most the rounding of unit conversion."""


def lawfully(*strategies: SearchStrategy[Any]) -> Callable[[Callable[..., None]], Callable[[], None]]:
    """`given`, without a deadline in any profile: the first call of a kernel compiles it."""

    def decorate(law: Callable[..., None]) -> Callable[[], None]:
        tried: Callable[[], None] = settings(deadline=None)(given(*strategies)(law))
        return tried

    return decorate


class DialectTests(OutputLaws, DeclaredLaws, Deviating):
    """Every law as a test. ``dialect`` is the class, or an instance of it.

    ``deviations`` maps names of tests to the reason why this dialect cannot pass them; each must then fail.
    """

    def __init_subclass__(cls, **rest: Any) -> None:
        super().__init_subclass__(**rest)
        if isinstance(cls.__dict__.get("dialect"), type):
            cls.dialect = cls.__dict__["dialect"]()

    # --- tools ---------------------------------------------------------------------------------------------------

    def capabilities(self, machine: Machine) -> Capabilities:
        return self.tried.capabilities.on(machine)

    def post(self, program: Program, machine: Machine | None = None) -> Posted:
        """In a dialect with a beam, programs for a spindle are burnt instead."""
        suitable = suited(program, self.tried.capabilities)
        return post(suitable, machine or machine_for(self.tried), dialect=self.tried)

    def read(self, text: str | bytes, machine: Machine | None = None) -> Program:
        """The program that the controller makes of a text; a finding of the reader fails the test."""
        capabilities = self.capabilities(machine or machine_for(self.tried))
        if callable(self.tried.reader):
            reading = self.tried.reader(text.encode() if isinstance(text, str) else text, capabilities)
        else:
            from pathkit.readback import interpret

            reading = interpret(text, capabilities)
        assert not reading.findings, [str(finding) for finding in reading.findings]
        program: Program = reading.program
        return program

    def code(self, text: str) -> list[str]:
        """The lines without their comments; empty lines are dropped."""
        marks = self.tried.capabilities.comment
        if marks is not None:
            ending = re.escape(marks[1]) if marks[1] else "(?=\n|$)"
            text = re.sub(rf"{re.escape(marks[0])}[^\n]*?{ending}", "", text)
        return [line.strip() for line in text.splitlines() if line.strip()]

    def same_moves(self, read: Program, meant: Program, tolerance: float = NOISE, *, rested: bool = False) -> None:
        """One row each, in order: kind, end, centre, sense and sweep, feed, spindle.

        Rows of ``meant`` that do not move are skipped unless both have them (``rested``).
        """
        rows = np.arange(len(meant)) if rested else moving_rows(meant)
        assert read.kind.tolist() == meant.kind[rows].tolist()
        end = meant.end[rows]
        if self.tried.capabilities.sets_zero:
            # The file sets its own zero at its beginning, so that nothing is unknown.
            end = np.where(np.isnan(end), 0.0, end)
        np.testing.assert_allclose(read.end, end, atol=tolerance, rtol=0.0)
        arcs = read.kind == ARC
        np.testing.assert_allclose(read.centre[arcs], meant.centre[rows][arcs], atol=2 * tolerance, rtol=0.0)
        np.testing.assert_allclose(read.sweep[arcs], meant.sweep[rows][arcs], atol=max(tolerance, 1e-6) / 2, rtol=0.0)
        cutting = read.kind != RAPID
        feeds = self.feed_tolerance()
        np.testing.assert_allclose(read.feed[cutting], meant.feed[rows][cutting], atol=feeds, rtol=0.0)
        np.testing.assert_allclose(spindle_by_row(read)[cutting], spindle_by_row(meant)[rows][cutting], atol=0.5)

    def feed_tolerance(self) -> float:
        caps = self.tried.capabilities
        return 0.5001 * MM_PER_UNIT[caps.units] / 10.0**caps.feed_decimals

    def count(self, machine: Machine | None = None) -> float:
        """One step of the last decimal, mm."""
        caps = self.capabilities(machine or machine_for(self.tried))
        return MM_PER_UNIT[caps.units] / 10.0**caps.unit_decimals

    # --- laws ----------------------------------------------------------------------------------------------------

    def test_it_is_declared(self) -> None:
        assert re.fullmatch(r"[a-z0-9][a-z0-9-]*", self.tried.name)
        assert self.tried.title
        assert re.fullmatch(r"\.[A-Za-z0-9]+", self.tried.suffix)

    def test_it_can_do_what_it_claims(self) -> None:
        assert not claims(self.tried), [str(finding) for finding in claims(self.tried)]

    def test_what_is_written_reads_back_exactly(self) -> None:
        @lawfully(grid_programs(self.tried.capabilities))
        def law(program: Program) -> None:
            read = self.read(self.post(program).text)
            self.same_moves(read, program)
            waits = [event.seconds for event in program.event if isinstance(event, Dwell)]
            assert [event.seconds for event in read.event if isinstance(event, Dwell)] == pytest.approx(waits)

        law()

    def test_units_can_be_changed(self) -> None:
        for units in self.tried.capabilities.decimals:
            machine = machine_for(self.tried, output={"units": units})
            read = self.read(self.post(demonstration(), machine).text, machine)
            assert np.abs(read.end[1:, :2]).max() == pytest.approx(80.0, abs=0.01)

    def test_same_input_same_bytes(self) -> None:
        @lawfully(grid_programs(self.tried.capabilities))
        def law(program: Program) -> None:
            assert self.post(program).files == self.post(program).files

        law()

    def test_text_is_plain(self) -> None:
        caps = self.tried.capabilities

        @lawfully(grid_programs(caps), hostile_texts())
        def law(program: Program, text: str) -> None:
            program = program.replace(event=(Note(text), *program.event), event_at=[0, *program.event_at])
            posted = self.post(program)
            body = posted.files[0].data
            assert body.endswith(caps.line_end.encode())
            for line in body.decode("ascii").split(caps.line_end):
                assert re.fullmatch(r"[ -}]*", line), line
                assert not re.search(r"[!?~]", line), line
                assert not line.startswith("$"), line
                assert caps.line_length is None or len(line) <= caps.line_length, line
            for word in " ".join(self.code(posted.text)).split():
                assert not re.search(r"\d[eE]|-0(\.0*)?$|\d[a-z]", word), f"{word} is not a plain decimal"
                digits = sum(c.isdigit() for c in word)
                assert caps.significant_digits is None or digits <= caps.significant_digits, word

        law()

    def test_names_do_nothing(self) -> None:
        harmless = demonstration()
        meant = self.code(self.post(harmless).text)

        @lawfully(hostile_texts())
        def law(text: str) -> None:
            events: list[Any] = [Note(text) if isinstance(e, Note) else e for e in harmless.event]
            events = [ToolChange(text, e.number) if isinstance(e, ToolChange) else e for e in events]
            hostile = harmless.replace(title=text, event=events)
            assert self.code(self.post(hostile).text) == meant

        law()
        paused = harmless.replace(title="", event=(Pause(""), *harmless.event), event_at=[0, *harmless.event_at])
        meant_paused = self.code(self.post(paused).text)
        for text in HOSTILE:
            posted = self.post(paused.replace(title=text, event=(Pause(text), *harmless.event)))
            assert self.code(posted.text) == meant_paused
            assert re.fullmatch(r"[A-Za-z0-9.-]+", posted.files[0].name)

    def test_comments_begin_with_a_fixed_word(self) -> None:
        marks = self.tried.capabilities.comment
        if marks is None:
            return
        for line in self.post(demonstration()).text.splitlines():
            if marks[0] in line:
                assert line[line.index(marks[0]) + len(marks[0]) :].startswith(COMMENT_PREFIX.rstrip())

    def test_the_first_motion_is_z_alone(self) -> None:
        @lawfully(grid_programs(self.tried.capabilities))
        def law(program: Program) -> None:
            read = self.read(self.post(program).text)
            assert (
                (read.end[0, :2] == 0.0).all() if self.tried.capabilities.sets_zero else np.isnan(read.end[0, :2]).all()
            )
            assert np.isfinite(read.end[0, 2])
            assert np.isfinite(read.end[1]).all()

        law()

    def test_the_spindle_is_off_at_the_end(self) -> None:
        program = demonstration()
        kept = [k for k, event in enumerate(program.event) if not (isinstance(event, Spindle) and event.sense == 0)]
        running = program.replace(event=[program.event[k] for k in kept], event_at=program.event_at[kept])
        for each in (program, running):
            read = self.read(self.post(each).text)
            assert switched(read) == [1, 0]
            assert isinstance(read.event[-1], Stop)

    def test_a_beam_is_off_on_the_way(self) -> None:
        """For a dialect with a beam: no power in rapids, dynamic power alone, and none above the full."""
        if not self.tried.capabilities.beam:
            return

        @lawfully(grid_programs(self.tried.capabilities))
        def law(program: Program) -> None:
            read = self.read(self.post(program).text)
            assert read.power is not None
            assert not read.power[read.kind == RAPID].any()
            assert (read.power <= 1.0).all()
            assert {event.mode for event in read.event if isinstance(event, Beam)} == {"dynamic", "off"}

        law()
        burning = suited(demonstration(), self.tried.capabilities)
        burning = burning.replace(power=np.ones(len(burning)))
        with pytest.raises(InputError, match="rapid with the beam on"):
            self.post(burning)

    def test_every_orientation(self) -> None:
        """Eight ways to lay X and Y, Z up or down, four corners and the centre: the path on the bench is the same.

        Compared along its length, so that arcs may arrive in parts or as chords, but neither mirrored nor reversed: the
        board is asymmetric.
        """
        program = demonstration()
        meant = places_along(program)
        for x, y, z in _axes():
            for origin in get_args(Corner):
                machine = machine_for(self.tried, axes=Axes(x, y, z), origin=origin)
                read = self.read(self.post(program, machine).text, machine)
                # The bit's first position is not part of the path, even if the file makes it the zero.
                read = to_bench(
                    read.replace(end=np.vstack([[np.nan, np.nan, read.end[0, 2]], read.end[1:]])), machine, STOCK
                )
                np.testing.assert_allclose(read.end[-1], program.end[-1], atol=0.51 * self.count() + NOISE, rtol=0.0)
                allowed = 10 * self.count() + 0.02
                np.testing.assert_allclose(places_along(read), meant, atol=allowed, rtol=0.0)

    def test_arcs_can_be_left_to_chords(self) -> None:
        machine = machine_for(self.tried, output={"arcs": "none"})
        program = demonstration()
        read = self.read(self.post(program, machine).text, machine)
        assert not (read.kind == ARC).any()
        circle = np.hypot(read.end[:, 0] - 75.0, read.end[:, 1] - 30.0)
        allowed = machine.motion.arc_tolerance + 3 * self.count(machine)
        assert np.count_nonzero(np.abs(circle - 5.0) <= allowed) > 40

    def test_no_turn_is_left_open(self) -> None:
        """Small turns, turns that are nearly whole or nearly zero, fine decimals: none is written in a
        block whose turn the controller's own arithmetic may lose."""
        for units in self.tried.capabilities.decimals:
            for decimals in (None, 6):
                output = {"units": units} if decimals is None else {"units": units, "decimals": decimals}
                machine = machine_for(self.tried, output=output)
                read = self.read(self.post(awkward_turns(), machine).files[0].data, machine)
                run = np.hypot(*(read.end[1:, :2] - read.end[:-1, :2]).T)
                turns = read.kind[1:] == ARC
                arms = read.end[1:, :2] - read.centre[1:]
                run[turns] = (np.hypot(*arms.T) * np.abs(read.sweep[1:]))[turns]
                went = float(run[read.kind[1:] != RAPID].sum())
                assert went == pytest.approx(4.0 * math.pi * (0.2 + 0.5 + 1.6 + 6.0 + 25.0), rel=0.01)

    def test_the_air_cut_twin(self) -> None:
        @lawfully(grid_programs(self.tried.capabilities))
        def law(program: Program) -> None:
            machine = machine_for(self.tried)
            posted = self.post(program, machine)
            twin = air_cut(posted, machine, dialect=self.tried)
            reader = guarded(self.tried.name, self.tried.reader) if callable(self.tried.reader) else None
            proof = verify_twin(twin, posted, machine, self.capabilities(machine), reader=reader)
            # The height is not tested here: these programs may lie anywhere.
            others = [str(f) for f in proof.findings if f.check not in ("above the wood", "travel limits")]
            assert not others
            read, air = self.read(posted.text), self.read(twin.text)
            raised = air.end[:, 2] - read.end[:, 2]
            stock = program.stock
            assert stock is not None
            height = stock.thickness + stock.thickness_tolerance + stock.underlay + machine.heights.approach
            assert raised == pytest.approx(height, abs=self.count() + NOISE)
            assert np.ptp(raised) < NOISE
            lowered = air.replace(
                end=air.end - [0.0, 0.0, raised[0]], event=read.event, event_at=read.event_at, power=read.power
            )
            self.same_moves(lowered, read, rested=True)
            assert not switched(air)
            assert air.power is None or not air.power.any()
            assert twin.files[0].name != posted.files[0].name

        law()

    def test_empty_and_one_move_programs(self) -> None:
        whole = demonstration()
        for length in (0, 1):
            short = whole.take(slice(length))
            assert len(self.read(self.post(short).text)) == length

    def test_what_it_lacks_is_refused(self) -> None:
        caps = self.tried.capabilities
        for sense in (1, -1):
            self._allowed(Spindle(8000.0, sense), sense in caps.spindle_senses)
        for kind in ("flood", "mist"):
            self._allowed(Coolant(kind), kind in caps.coolants)
        # No changer can find it, so it is put in by hand.
        self._allowed(ToolChange("unnumbered"), True)
        self._allowed(Spindle(TOO_FAST, 1), False)
        self._allowed(Beam(), caps.beam)
        self._allowed(Beam("constant"), False)
        with pytest.raises(CapabilityError if not caps.beam else InputError):
            self.post(demonstration().replace(power=np.full(len(demonstration()), 2.0)))
        if caps.significant_digits is not None:
            far = demonstration()
            end = far.end.copy()
            end[-1, 0] = 10.0**caps.significant_digits
            with pytest.raises(CapabilityError, match="digits"):
                self.post(far.replace(end=end))

    def _allowed(self, event: Any, allowed: bool) -> None:
        program = suited(demonstration(), self.tried.capabilities)
        program = program.replace(event=(event, *program.event), event_at=[0, *program.event_at])
        if allowed:
            self.read(self.post(program).text)
            return
        with pytest.raises(CapabilityError) as caught:
            self.post(program)
        assert all(finding.what for finding in caught.value.findings)

    def test_pauses_come_with_the_spindle_off(self) -> None:
        program = demonstration()
        at = int(np.flatnonzero(program.event_at == 2)[0])
        events = [*program.event[:at], Pause("look"), *program.event[at:]]
        program = program.replace(event=events, event_at=np.insert(program.event_at, at, 2))
        read = self.read(self.post(program).text)
        turning, pauses = False, 0
        for event in read.event:
            if isinstance(event, Spindle | Beam):
                turning = event not in (Beam("off"), Spindle(0.0, 0))
            elif isinstance(event, Pause):
                pauses += 1
                assert not turning
        assert pauses == 1
        assert (spindle_by_row(read)[read.kind != RAPID] == 18000.0).all()

    def test_a_hand_switched_spindle_has_no_words(self) -> None:
        """And a beam is never switched by hand."""
        machine = machine_for(self.tried, spindle=SpindleControl("manual", 0.0, 24000.0, 2.0))
        if self.tried.capabilities.beam:
            with pytest.raises(CapabilityError, match="by hand"):
                self.post(demonstration(), machine)
            return
        posted = self.post(demonstration(), machine)
        read = self.read(posted.text, machine)
        assert not any(isinstance(event, Spindle) for event in read.event)
        assert any(isinstance(event, Pause) for event in read.event)
        assert any(finding.check == "not proved" for finding in posted.findings)
        twin = self.read(air_cut(posted, machine, dialect=self.tried).text, machine)
        assert not any(isinstance(event, (Spindle, Pause, Dwell)) for event in twin.event)


TOO_FAST = 1e6


def _axes() -> list[tuple[Any, Any, Any]]:
    sideways, forth = ("right", "left"), ("away", "toward")
    pairs = [*itertools.product(sideways, forth), *itertools.product(forth, sideways)]
    return [(x, y, z) for x, y in pairs for z in ("up", "down")]
