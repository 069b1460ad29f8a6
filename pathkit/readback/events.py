"""What a block switches: spindle, coolant, tool, offset, dwell, pause, end."""

from __future__ import annotations

from collections.abc import Mapping

from pathkit.machine.capabilities import Capabilities
from pathkit.machine.grammar import Grammar
from pathkit.motion.program import Beam, BeamMode, Coolant, Dwell, Offset, Pause, Spindle, Stop, ToolChange
from pathkit.readback.blocks import Block
from pathkit.readback.columns import Columns
from pathkit.readback.faults import Doubt
from pathkit.readback.motion import FARTHEST
from pathkit.readback.state import State

_SENSE = {"M3": 1, "M4": -1, "M5": 0}
_MODE: Mapping[int, BeamMode] = {1: "constant", -1: "dynamic", 0: "off"}
"""GRBL 1.1's laser mode (its wiki, "Grbl v1.1 Laser Mode", from memory): M4 lets the power follow the speed, and S
holds for the moves to come, from the block on that says it."""


class Switches:
    """Writes events into the columns when a block switches something; ``doubts`` are those of the last block."""

    def __init__(self, grammar: Grammar, capabilities: Capabilities, columns: Columns) -> None:
        self._grammar = grammar
        self._milliseconds = capabilities.dwell_unit == "ms"
        self._beam = capabilities.beam
        self._rpm = 1.0 / capabilities.full_speed if self._beam else capabilities.rpm_per_s
        self._columns = columns
        self.doubts: list[Doubt] = []
        self.stopped = False

    def before(self, block: Block, state: State) -> None:
        """What comes before the block's motion, in the controller's order: S, T, M6, spindle, coolant, dwell, G54."""
        self.doubts.clear()
        values, codes, turning = block.values, block.codes, state.turning
        dwells = codes.get("non-modal") == "G4"
        if "T" in values:
            turning.tool = int(values["T"])
        if codes.get("tool") == "M6":
            self._change_tool(state)
        if "S" in values and not (dwells and "S" in self._grammar.dwell_words):
            self._turn(state, values["S"] * self._rpm, turning.sense)
        if "spindle" in codes:
            self._turn(state, turning.speed, _SENSE[codes["spindle"]])
        if "coolant" in codes:
            self._coolant(state, codes["coolant"])
        if dwells:
            self._dwell(values)
        if "offset" in codes and (codes["offset"] != state.modes.get("offset") or "offset" not in state.known):
            self._columns.event(Offset(codes["offset"]))

    def after(self, block: Block, state: State) -> bool:
        """M0, M1, M2, M30, M60; returns True if the program ends."""
        code = block.codes.get("stopping")
        if code is None or code in self._grammar.ignored:
            return False
        if code not in ("M2", "M30"):
            self._columns.event(Pause("M1, if the switch at the controller is on" if code == "M1" else code))
            return False
        # A beam's file is to switch it off by a word of its own: what the end does besides is no excuse.
        if "M5" in self._grammar.end_modes and not self._beam:
            self._turn(state, state.turning.speed, 0)
        if "M9" in self._grammar.end_modes:
            self._coolant(state, "M9")
        self._columns.event(Stop())
        self.stopped = True
        return True

    def _turn(self, state: State, speed: float | None, sense: int) -> None:
        turning = state.turning
        before = (turning.speed, turning.sense)
        turning.speed, turning.sense = speed, sense
        if speed is not None and speed > FARTHEST:
            self.doubts.append(Doubt("out of range", "a speed that no spindle reaches"))
            turning.speed = speed = FARTHEST
        if self._beam:
            self._light(speed, sense, before)
        elif sense == 0:
            if before[1] != 0:
                self._columns.event(Spindle(0.0, 0))
        elif (speed, sense) != before:
            if speed is None:
                self.doubts.append(Doubt("unknown state", "the spindle starts at a speed that the file has not set"))
            self._columns.event(Spindle(speed or 0.0, sense))

    def _light(self, share: float | None, sense: int, before: tuple[float | None, int]) -> None:
        """A beam, whose S is a share of full power."""
        if sense != before[1]:
            self._columns.event(Beam(_MODE[sense]))
        if sense and share is None:
            self.doubts.append(Doubt("unknown state", "the beam is on with a power that the file has not set"))
        self._columns.power_from_here((share or 0.0) if sense else 0.0)

    def _change_tool(self, state: State) -> None:
        if state.turning.tool is None:
            self.doubts.append(Doubt("unknown state", "M6 changes to a tool that the file has not chosen"))
        number = state.turning.tool
        self._columns.event(ToolChange("unknown" if number is None else f"T{number}", number))
        # NISTIR 6556, 3.6.3: when the change is complete the spindle is stopped. Until then it may turn.
        self._turn(state, state.turning.speed, 0)

    def _coolant(self, state: State, code: str) -> None:
        running = state.turning.coolants
        if code == "M9":
            if running:
                running.clear()
                self._columns.event(Coolant("off"))
        elif code not in running:
            running.add(code)
            self._columns.event(Coolant("mist" if code == "M7" else "flood"))

    def _dwell(self, values: Mapping[str, float]) -> None:
        if "P" in values and "P" in self._grammar.dwell_words:
            seconds = values["P"] * (0.001 if self._milliseconds else 1.0)
        else:
            seconds = values.get("S", 0.0)
        if seconds > FARTHEST:
            self.doubts.append(Doubt("out of range", "a dwell of weeks"))
            seconds = FARTHEST
        self._columns.event(Dwell(seconds))
