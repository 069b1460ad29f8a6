"""Codes that change the numbers of a bit that does not move, or send it to places that only the controller knows."""

from __future__ import annotations

from collections.abc import Mapping
from math import isnan, nan

from pathkit.machine.grammar import Grammar
from pathkit.readback.blocks import Block
from pathkit.readback.columns import rapid
from pathkit.readback.faults import Doubt, Unread
from pathkit.readback.motion import FARTHEST, Plan, too_far
from pathkit.readback.state import AXES, Place, changed, scale_of

_STORED = "stored offsets"


def choose_offset(block: Block, place: Place, in_force: str | None) -> Place:
    """G54 …: the first one named is the frame in which the file is read; in another, the bit's numbers are unknown."""
    code = block.codes.get("offset")
    if code is None or in_force is None or code == in_force:
        return place
    # A G92 shift stays in force, but it is counted in the new frame.
    return place.lost()._replace(base=(0.0, 0.0, 0.0))


def choose_length(block: Block, modes: Mapping[str, str], place: Place) -> tuple[Place, list[Doubt]]:
    """G43, G43.1, G49: how a changed length offset changes the numbers of Z."""
    code = block.codes.get("length")
    if code is None:
        return place, []
    if code == "G43":
        return place.lost("Z")._replace(length=nan), [
            Doubt("unknown state", "G43 takes a length from the controller's tool table, which the file does not say")
        ]
    length = block.values["Z"] * scale_of(modes) if code == "G43.1" else 0.0
    if place.length is not None and isnan(place.length):
        what = f"{code} ends a length offset of a size that the file does not say"
        return place.lost("Z")._replace(length=length), [Doubt("unknown state", what)]
    if place.length is not None:
        shift = length - place.length
        return place._replace(base=changed(place.base, {"Z": place.base[2] + shift}), length=length), []
    if code == "G49":
        return place._replace(length=0.0), []
    return place.lost("Z")._replace(length=length), [
        Doubt("unknown state", "G43.1 over a length offset that the file has not set: the position of Z is not known")
    ]


def set_offset(block: Block, modes: Mapping[str, str], place: Place) -> Plan:
    """G10: L2 sets a stored offset to a machine position, L20 to where the bit is."""
    codes = ("G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3")
    system = int(block.values.get("P", 0.0))
    active = system == 0 or codes[system - 1] == modes.get("offset")
    kind = int(block.values.get("L", 0.0))
    name = f"G10 L{kind} P{system}"
    if not active:
        return Plan(place, doubts=[Doubt(_STORED, f"{name} rewrites an offset stored in the controller")])
    given = "".join(axis for axis in AXES if axis in block.values)
    if kind == 20:
        plan = _stand_at(block, modes, place, keep_shift=True)
        plan.needs = ("units", "offset")
        plan.doubts.append(Doubt(_STORED, f"{name} rewrites the offset in force with the bit's position"))
        if any(isnan(place.at[AXES.index(axis)]) for axis in given):
            plan.doubts.append(Doubt("unknown state", f"{name} puts the zero wherever the bit is"))
        return plan
    what = f"{name} moves the offset in force by an amount that the file does not say"
    return Plan(place.lost(given), needs=("units", "offset"), doubts=[Doubt("unknown state", what)])


def shift_zero(block: Block, modes: Mapping[str, str], place: Place, sets_zero: bool) -> Plan:
    """G92: the bit's place gets these numbers. If it was unknown, they define the frame itself."""
    plan = _stand_at(block, modes, place, keep_shift=False)
    plan.needs = ("units",)
    if not sets_zero and any(isnan(place.at[i]) for i, axis in enumerate(AXES) if axis in block.values):
        plan.doubts.append(Doubt("unknown state", "G92 puts the zero wherever the bit is"))
    return plan


def _stand_at(block: Block, modes: Mapping[str, str], place: Place, *, keep_shift: bool) -> Plan:
    """The axes named have the given numbers from here on; the bit does not move."""
    scale = scale_of(modes)
    at, base, shift = list(place.at), list(place.base), list(place.shift)
    for i, axis in enumerate(AXES):
        if axis not in block.values:
            continue
        number = block.values[axis] * scale
        if isnan(at[i]):
            at[i], base[i] = number, 0.0
            shift[i] = shift[i] if keep_shift else nan
        else:
            moved = at[i] - number - base[i]
            base[i] += moved
            shift[i] += 0.0 if keep_shift else moved
    return Plan(place._replace(at=(at[0], at[1], at[2]), base=(base[0], base[1], base[2]),
                               shift=(shift[0], shift[1], shift[2])))  # fmt: skip


def end_shift(code: str, place: Place) -> Plan:
    """G92.1 and G92.2 end the shift of G92; G92.3 restores an earlier one."""
    if code == "G92.3":
        return Plan(place.lost(), doubts=[Doubt("unknown state", "G92.3 restores a shift that the file does not say")])
    unknown = "".join(axis for axis, value in zip(AXES, place.shift, strict=True) if isnan(value))
    bx, by, bz = (b if isnan(s) else b - s for b, s in zip(place.base, place.shift, strict=True))
    plan = Plan(place.lost(unknown)._replace(base=(bx, by, bz), shift=(0.0, 0.0, 0.0)))
    if unknown:
        plan.doubts.append(Doubt("unknown state", f"{code} ends a shift of a size that the file does not say"))
    return plan


def go_home(block: Block, code: str, modes: Mapping[str, str], place: Place, grammar: Grammar) -> Plan:
    """G28, G30: by way of the given point, if there is one, to a place stored in the controller."""
    given = "".join(axis for axis in AXES if axis in block.values)
    plan = Plan(place, needs=("units", "distance", "offset") if given else ())
    if given:
        between = place.target(block.values, scale_of(modes), modes.get("distance") != "G91")
        plan.rows.append(rapid(between))
        plan.place = place._replace(at=between)
    plan.place = plan.place.lost(given if given and not grammar.home_all else AXES)
    plan.rows.append(rapid(plan.place.at))
    plan.doubts.append(Doubt("machine coordinates", f"{code} moves to a place stored in the controller"))
    return plan


def non_modal(block: Block, modes: Mapping[str, str], place: Place, grammar: Grammar, sets_zero: bool) -> Plan | None:
    """What the block's non-modal code does with positions; None if it has no such code."""
    code = block.codes.get("non-modal", "")
    scale = scale_of(modes)
    if code and any(abs(block.values.get(axis, 0.0) * scale) > FARTHEST for axis in AXES):
        return Plan(place.lost(), unread=too_far())
    if code == "G10":
        return set_offset(block, modes, place)
    if code == "G92":
        return shift_zero(block, modes, place, sets_zero)
    if code in ("G28", "G30"):
        return go_home(block, code, modes, place, grammar)
    if code not in ("G92.1", "G92.2", "G92.3", "G28.1", "G30.1"):
        return None
    if block.axes:
        what = f"axis words beside {code} make a separate move"
        return Plan(place.lost(), unread=Unread(what, "put them into two blocks", block.place(code)))
    if code in ("G28.1", "G30.1"):
        return Plan(place, doubts=[Doubt(_STORED, f"{code} rewrites a place stored in the controller")])
    return end_shift(code, place)
