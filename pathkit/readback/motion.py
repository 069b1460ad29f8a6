"""The moves of a block: straight, round, or a drill cycle written out row by row."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import isnan, nan, pi, sqrt
from typing import Final

from pathkit.machine.grammar import Grammar
from pathkit.motion.program import Cycle, Dwell, Lift
from pathkit.readback.arcs import centre_of, goes_round, left_open, misses, sweep_of
from pathkit.readback.blocks import Block
from pathkit.readback.chords import MOST_CHORDS, Chords, chords_of
from pathkit.readback.columns import Row, arc, line, rapid
from pathkit.readback.faults import Doubt, Refusal, Unread
from pathkit.readback.rules import ARCS, CYCLES, PROBES
from pathkit.readback.state import Place, Point, changed, scale_of
from pathkit.tolerances import ROUNDING

FARTHEST: Final = 1e6
"""mm: beyond a kilometre a number is a mistake, and sums of such numbers lose their decimals."""

_NEEDS_OF_RAPIDS: Final = ("units", "distance", "offset")
_NEEDS_OF_FEEDS: Final = (*_NEEDS_OF_RAPIDS, "feed mode")
_PLACE_FIX: Final = "begin with Z alone to a safe height, then a rapid to X and Y, with G90"
_OPEN: Final = Doubt(
    "open turn",
    "a whole turn that this controller's 32-bit floats may take for none: it then skips the turn without an error",
    fix="write it as two halves",
)
_PLANES: Final[Mapping[str, tuple[int, int, int, str, str]]] = {
    "G17": (0, 1, 2, "I", "J"), "G18": (2, 0, 1, "K", "I"), "G19": (1, 2, 0, "J", "K"),
}  # fmt: skip
"""Of each plane: its two axes and the third one, right-handed, and the words of a centre along the two."""
_CHORDS: Final = Doubt("other plane", "arcs outside the XY plane are read as short lines, at most 0.001 mm beside them")
_MOST_PECKS: Final = 10_000
_MOST_REPEATS: Final = 1_000


@dataclass(slots=True)
class Plan:
    """What one block does: ``rows`` (with dwells and lifts between them), and where the bit is afterwards.

    ``needs`` names the modal groups that the block relied on. ``unread`` says why it could not be followed; ``doubts``
    are about moves that were followed in part. ``cycles`` count rows from the first of this plan.
    """

    place: Place
    rows: list[Row | Dwell | Lift | Chords] = field(default_factory=list)
    needs: tuple[str, ...] = ()
    cycles: list[Cycle] = field(default_factory=list)
    sticky: dict[str, float] = field(default_factory=dict)
    unread: Unread | None = None
    doubts: list[Doubt] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Mover:
    """Plans moves by one grammar; ``seconds`` is one unit of a P word in a dwell, ``homed`` whether the machine knows
    its own coordinates. ``wide``: what a program holds only as short lines is read, too."""

    grammar: Grammar
    seconds: float
    homed: bool = False
    wide: bool = False

    def plan(
        self, block: Block, motion: str, modes: Mapping[str, str], place: Place, feed: float, sticky: dict[str, float]
    ) -> Plan:
        """The plan of a block whose axis words belong to ``motion``. Raises `Refusal` for an impossible arc."""
        if motion in CYCLES:
            return self._cycle(block, motion, modes, place, feed, sticky)
        if not (block.axes or motion in ARCS):
            return Plan(place)
        needs = _NEEDS_OF_RAPIDS if motion == "G0" else _NEEDS_OF_FEEDS
        scale = scale_of(modes)
        if block.codes.get("non-modal") == "G53":
            return self._machine_move(block, motion, scale, place, feed)
        target = place.target(block.values, scale, modes.get("distance") != "G91")
        if motion in ARCS:
            return self._arc(block, motion, modes, place, target, feed, (*needs, "plane"))
        if _beyond(*target):
            return Plan(place.lost(), needs=needs, unread=too_far())
        plan = Plan(place._replace(at=target), needs=needs, doubts=_doubts(block, motion, modes, place))
        if motion in PROBES:
            moved = "".join(axis for axis in "XYZ" if axis in block.values)
            plan.place = plan.place.lost(moved)
            plan.rows.append(line(plan.place.at, nan))
            plan.doubts.append(Doubt("unknown state", "probing stops where it touches, which the file does not say"))
        elif motion == "G0":
            plan.rows.append(rapid(target))
        else:
            plan.rows.append(line(target, _feed(feed, modes, _distance(place.at, target))))
        return plan

    def _machine_move(self, block: Block, motion: str, scale: float, place: Place, feed: float) -> Plan:
        moved = "".join(axis for axis in "XYZ" if axis in block.values)
        if self.homed and motion == "G0" and moved == "Z" and abs(block.values["Z"] * scale) <= FARTHEST:
            lift = Lift(block.values["Z"] * scale)
            return Plan(place.lost("Z")._replace(lifted=True), [lift], needs=("units",))
        plan = Plan(place.lost(moved), needs=("units",))
        plan.rows.append(rapid(plan.place.at) if motion == "G0" else line(plan.place.at, feed))
        plan.doubts.append(Doubt("machine coordinates", "G53 moves to a place that only a homed machine knows"))
        return plan

    def _arc(
        self, block: Block, motion: str, modes: Mapping[str, str], place: Place, target: Point, feed: float,
        needs: tuple[str, ...],
    ) -> Plan:  # fmt: skip
        flat = self._is_flat(modes)
        if not (flat or self.wide):
            plane = "XZ" if modes.get("plane") == "G18" else "YZ"
            what, fix = f"an arc in the {plane} plane: arcs are read in the XY plane only", "write it as short lines"
            return Plan(place.lost(), needs=needs, unread=Unread(what, fix, block.place(motion)))
        u, v, w, *_ = _PLANES[modes.get("plane", "G17")]
        x, y, to_x, to_y = place.at[u], place.at[v], target[u], target[v]
        if isnan(x) or isnan(y) or isnan(to_x) or isnan(to_y):
            what, fix = "an arc from or to a place that is not known", "move to a known X and Y first"
            if not flat:
                fix = f"move to a known {'XYZ'[min(u, v)]} and {'XYZ'[max(u, v)]} first"
            unread = Unread(what, fix, block.place(motion), check="unknown state", place=True)
            return Plan(place.lost(), needs=needs, unread=unread)
        clockwise = motion == "G2"
        cx, cy = self._centre(block, modes, place, target, clockwise)
        if _beyond(*target, cx, cy):
            return Plan(place.lost(), needs=needs, unread=too_far())
        plan = Plan(place._replace(at=target), needs=needs, doubts=_doubts(block, motion, modes, place))
        if "R" not in block.values and block.codes.get("arc distance", modes.get("arc distance")) == "G90.1":
            plan.needs = (*needs, "arc distance")
        radius = sqrt((x - cx) * (x - cx) + (y - cy) * (y - cy))
        if radius < ROUNDING:
            plan.rows.append(line(target, _feed(feed, modes, _distance(place.at, target))))
            return plan
        full_turn = self.grammar.arc.full_turn
        sweep = sweep_of(x - cx, y - cy, to_x - cx, to_y - cy, clockwise, full_turn)
        if self.grammar.arc.single and left_open(x, y, to_x, to_y, cx, cy, clockwise, full_turn):
            plan.doubts.append(_OPEN)
            scale = scale_of(modes)
            if not goes_round(x, y, to_x, to_y, cx - x, cy - y, scale, clockwise, full_turn):
                # The rest of the turn is shorter than a chord.
                plan.rows.append(line(target, _feed(feed, modes, _distance(place.at, target))))
                return plan
            sweep = (-2.0 if clockwise else 2.0) * pi
        length = _distance((radius * sweep, 0.0, place.at[w]), (0.0, 0.0, target[w]))
        rate = _feed(feed, modes, length)
        if flat:
            plan.rows.append(arc(target, (cx, cy), sweep, rate))
        elif (chords := chords_of(place.at, target, (cx, cy), sweep, (u, v, w), rate)) is None:
            what = f"an arc that would become more than {MOST_CHORDS} short lines"
            return Plan(place.lost(), needs=needs, unread=Unread(what, "check its radius", block.place(motion)))
        else:
            plan.rows.append(chords)
            plan.doubts.append(_CHORDS)
        if modes.get("feed mode") == "G93" and not self.grammar.inverse_time_arcs:
            plan.doubts.append(Doubt("unknown state", "this controller times arcs wrongly under G93"))
        return plan

    def _centre(
        self, block: Block, modes: Mapping[str, str], place: Place, target: Point, clockwise: bool
    ) -> tuple[float, float]:
        """Absolute centre, along the axes of the arc's plane. Raises `Refusal` if the end does not lie on the circle,
        or the radius does not reach."""
        scale, values, rule = scale_of(modes), block.values, self.grammar.arc
        u, v, _, first, second = _PLANES[modes.get("plane", "G17")]
        x, y, to_x, to_y = place.at[u], place.at[v], target[u], target[v]
        dx, dy = to_x - x, to_y - y
        if "R" in values:
            if dx == 0.0 and dy == 0.0:
                raise Refusal("arc target", block.place("R"), "R")
            i, j = centre_of(dx, dy, values["R"] * scale, clockwise)
            if isnan(i) and 0.5 * sqrt(dx * dx + dy * dy) - abs(values["R"] * scale) <= rule.short_radius:
                i, j = 0.5 * dx, 0.5 * dy
            if isnan(i):
                raise Refusal("arc radius", block.place("R"), f"R{values['R']:g}")
            return x + i, y + j
        if modes.get("arc distance") == "G90.1":
            # A missing centre word is then 0 in the file's numbers, as an absolute word would be.
            cx, cy = values.get(first, 0.0) * scale + place.base[u], values.get(second, 0.0) * scale + place.base[v]
        else:
            cx, cy = x + values.get(first, 0.0) * scale, y + values.get(second, 0.0) * scale
        slack = rule.slack if scale == 1.0 else rule.slack_inch
        start = sqrt((x - cx) * (x - cx) + (y - cy) * (y - cy))
        end = sqrt((to_x - cx) * (to_x - cx) + (to_y - cy) * (to_y - cy))
        if misses(start, end, slack, rule.relative, rule.limit):
            raise Refusal("arc target", block.place(first) or block.place(second))
        return cx, cy

    def _is_flat(self, modes: Mapping[str, str]) -> bool:
        """Whether the plane is XY; one that nothing has set is that plane only to a reader that may assume so."""
        return modes.get("plane", "G17" if self.wide else "") == "G17"

    def _cycle(
        self, block: Block, motion: str, modes: Mapping[str, str], place: Place, feed: float, sticky: dict[str, float]
    ) -> Plan:
        """A drill cycle written out (NISTIR 6556, 3.5.16): across, down to R, to the bottom by pecks, back up."""
        needs = ("units", "distance", "offset", "feed mode", "plane", "return")
        level = self._is_flat(modes)
        if motion not in ("G81", "G82", "G83") or not level or modes.get("feed mode") == "G93":
            what = f"{motion} is not followed" if level else f"{motion} is not followed outside the XY plane"
            return Plan(place.lost(), needs=needs, unread=Unread(what, "write G0 and G1 moves", block.place(motion)))
        if not (place.known or (self.wide and _goes_to_known(block, modes, place))):
            unread = Unread("a drill cycle from a place that is not known", "move to a known X, Y and Z first",
                            block.place(motion), check="unknown state", place=True)  # fmt: skip
            return Plan(place.lost(), needs=needs, unread=unread)
        scale, incremental = scale_of(modes), modes.get("distance") == "G91"
        words = {**sticky, **{k: v * scale for k, v in block.values.items() if k in "ZRQ"}}
        words.update({k: v for k, v in block.values.items() if k == "P"})
        for word in ("R", "Z", *({"G82": "P", "G83": "Q"}.get(motion, ""))):
            if word not in words:
                raise Refusal("value missing", block.place(motion), motion)
        if motion == "G83" and words["Q"] <= 0.0:
            raise Refusal("negative value", block.place("Q"), "Q")
        top = words["R"] + (place.at[2] if incremental else place.base[2])
        bottom = words["Z"] + (top if incremental else place.base[2])
        repeats = block.values.get("L", 1.0)
        pecks = (top - bottom) / words["Q"] if motion == "G83" else 1.0
        if bottom > top or not 1.0 <= repeats <= _MOST_REPEATS or pecks > _MOST_PECKS:
            what = "a drill cycle with impossible numbers: bottom above R, or too many holes or pecks"
            return Plan(place.lost(), needs=needs, unread=Unread(what, "correct R, Z, Q or L", block.place(motion)))
        plan = Plan(place, needs=needs, sticky=words)
        if place.at[2] > top + ROUNDING and not self.grammar.codes & {"G98", "G99"}:
            what = "how far this controller retracts after a drill cycle is not known"
            plan.doubts.append(Doubt("unknown state", what, fix="begin the cycle at its R plane"))
        clear = top if modes.get("return") == "G99" else max(top, place.at[2])
        for _ in range(int(repeats)):
            flat = {k: v for k, v in block.values.items() if k in "XY"}
            across = plan.place.target(flat, scale, not incremental)
            if _beyond(*across, top, bottom, clear, words.get("P", 0.0)):
                return Plan(place.lost(), needs=needs, unread=too_far())
            self._hole(plan, across, (top, bottom, clear), motion, words, feed)
        return plan

    def _hole(
        self, plan: Plan, across: Point, heights: tuple[float, float, float], motion: str, words: dict[str, float],
        feed: float,
    ) -> None:  # fmt: skip
        top, bottom, clear = heights
        height = plan.place.at[2]
        if height < top:
            plan.rows.append(rapid(changed(plan.place.at, {"Z": top})))
            height = top
        plan.rows.append(rapid(changed(across, {"Z": height})))
        first = len(plan.rows)
        if height > top:
            plan.rows.append(rapid(changed(across, {"Z": top})))
        bite = words["Q"] if motion == "G83" else top - bottom
        depth = top
        while depth > bottom:
            if depth < top:
                plan.rows.append(rapid(changed(across, {"Z": clear})))
                plan.rows.append(rapid(changed(across, {"Z": depth + self.grammar.peck_clearance})))
            depth = depth - bite if depth - bite > bottom + ROUNDING else bottom
            plan.rows.append(line(changed(across, {"Z": depth}), feed))
        dwell = words["P"] * self.seconds if motion == "G82" else 0.0
        if motion == "G82":
            plan.rows.append(Dwell(dwell))
        plan.rows.append(rapid(changed(across, {"Z": clear})))
        dwells = sum(isinstance(row, Dwell) for row in plan.rows[:first])
        peck = bite if motion == "G83" else None
        last = len(plan.rows) - 1 - dwells - (motion == "G82")
        plan.cycles.append(Cycle(first - dwells, last, top, bottom, feed, peck, dwell))
        plan.place = plan.place._replace(at=changed(across, {"Z": clear}))


def _doubts(block: Block, motion: str, modes: Mapping[str, str], place: Place) -> list[Doubt]:
    """Why it is unsafe to start this move from where the bit may be."""
    if place.known:
        return []
    known = [not isnan(value) for value in place.at]
    if motion != "G0":
        return [Doubt("unknown state", "a feed move from a place that is not known", True, _PLACE_FIX)]
    words = [axis in block.values for axis in "XYZ"]
    if modes.get("distance") == "G91" and any(word and not sure for word, sure in zip(words, known, strict=True)):
        return [Doubt("unknown state", "an increment from a place that is not known", True, _PLACE_FIX)]
    if (words[0] or words[1]) and not (known[2] or place.lifted):
        return [Doubt("unknown state", "a rapid across while the height is not known", True, _PLACE_FIX)]
    return []


def _goes_to_known(block: Block, modes: Mapping[str, str], place: Place) -> bool:
    """Whether the height is known, and where the block's own X and Y lead."""
    absolute = modes.get("distance") != "G91"
    x, y, z = (not isnan(value) for value in place.at)
    return z and (x or (absolute and "X" in block.values)) and (y or (absolute and "Y" in block.values))


def _beyond(*numbers: float) -> bool:
    return any(abs(n) > FARTHEST for n in numbers)


def too_far() -> Unread:
    """The report for a number beyond `FARTHEST`."""
    return Unread("a number that no machine reaches", "check the decimal point and the units", check="out of range")


def _distance(a: Point, b: Point) -> float:
    dx, dy, dz = a[0] - b[0], a[1] - b[1], a[2] - b[2]
    return sqrt(dx * dx + dy * dy + dz * dz)


def _feed(feed: float, modes: Mapping[str, str], length: float) -> float:
    """mm/min; under G93 the F word is how often a minute the move could be made."""
    if modes.get("feed mode") != "G93":
        return feed
    return feed * length if feed * length > 0.0 else nan
