"""The profile of a new machine, from its operator's answers: a TOML file with explanations."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Final, get_args

from pathkit.errors import InputError
from pathkit.machine.profile import Axes, Corner, Machine, Sideways, Upright
from pathkit.starters import comments
from pathkit.texts.language import ENGLISH, Language

CORNERS: Final[tuple[Corner, ...]] = get_args(Corner)
SIDES: Final[tuple[Sideways, ...]] = get_args(Sideways)
BESIDE: Final = 30.0
"""mm off the board's corner at which the bit is out of the way there (common practice, no source)."""

_LONGEST: Final = 60


@dataclass(frozen=True)
class Answers:
    """What an operator can say about a machine; lengths in mm, ``bed`` the travel along X, Y and Z, ``park`` where the
    bit stands at the end, ``change`` where it is changed (there too unless given), in work coordinates; ``rpm`` the
    slowest and the fastest speed of the spindle."""

    name: str
    dialect: str
    corner: Corner
    x: Sideways
    y: Sideways
    z: Upright
    bed: tuple[float, float, float]
    spindle: str = "words"
    units: str = "mm"
    left_handed: bool = False
    park: tuple[float, float] | None = None
    change: tuple[float, float] | None = None
    rpm: tuple[float, float] = (8000.0, 24000.0)


def beside_the_board(answers: Answers) -> tuple[float, float] | None:
    """Work coordinates of a place beside the board's corner, `BESIDE` mm off it along both axes, so that the corner is
    free; None if zero is in the middle, where that depends on the board."""
    if answers.corner == "centre":
        return None
    inward = ("away" if "front" in answers.corner else "toward", "right" if "left" in answers.corner else "left")
    x, y = (-BESIDE if word in inward else BESIDE for word in (answers.x, answers.y))
    return x, y


def checked_name(name: str) -> str:
    """The name, if a machine may have it. Raises `InputError`."""
    if not 0 < len(name.strip()) <= _LONGEST or not name.isprintable():
        raise InputError(f"the name {name!r}: give one of 1 to {_LONGEST} letters")
    return name


def refuse_frame(ways: tuple[Sideways, Sideways, Upright], *, left_handed: bool) -> None:
    """Raises `ProfileError` for impossible axes (X, Y, Z), `InputError` where they are not of the hand that is said."""
    axes = Axes(*ways)
    if axes.left_handed and not left_handed:
        raise InputError(
            f"X {axes.x}, Y {axes.y}, Z {axes.z} make a left-handed frame, which is rare: jog X+, Y+ and Z+ once more."
            " If it is left-handed, confirm with --left-handed; if not, the parts would come out mirrored"
        )
    if left_handed and not axes.left_handed:
        raise InputError(f"X {axes.x}, Y {axes.y}, Z {axes.z} make a right-handed frame; leave out --left-handed")


def profile_text(answers: Answers, say: Language = ENGLISH) -> str:
    """The profile, its comments in a language. Raises `ProfileError` for impossible axes, `InputError` for an
    unexpected frame.

    The text is read back by the same reader as every profile, with every finding.
    """
    checked_name(answers.name)
    axes = Axes(answers.x, answers.y, answers.z)
    refuse_frame((answers.x, answers.y, answers.z), left_handed=answers.left_handed)
    text = comments.told(TEMPLATE, say).format(
        name=_quoted(answers.name), dialect=_quoted(answers.dialect), corner=answers.corner,
        left_handed=str(axes.left_handed).lower(), x=axes.x, y=axes.y, z=axes.z,
        bed_x=f"{answers.bed[0]:g}", bed_y=f"{answers.bed[1]:g}", bed_z=f"{answers.bed[2]:g}",
        spindle=_quoted(answers.spindle), slowest=f"{answers.rpm[0]:g}", fastest=f"{answers.rpm[1]:g}",
        units=_quoted(answers.units),
    )  # fmt: skip
    if answers.park is not None:
        text += comments.told(PARK, say).format(x=f"{answers.park[0]:g}", y=f"{answers.park[1]:g}")
    if answers.change is not None:
        text += comments.told(CHANGE, say).format(x=f"{answers.change[0]:g}", y=f"{answers.change[1]:g}")
    Machine.from_toml(text, "profile")
    return text


def _quoted(text: str) -> str:
    """A TOML string: for printable text JSON's escapes are TOML's."""
    return json.dumps(text, ensure_ascii=False)


TEMPLATE: Final = """\
name = {name}
dialect = {dialect}
# The corner of the board that the controller calls X0 Y0, as you stand at the front.
origin = "{corner}"
left_handed = {left_handed}

# Where the bit goes over the board as each number grows; a table that moves goes the other way.
[axes]
x = "{x}"
y = "{y}"
z = "{z}"

# How far each axis moves, mm.
[travel]
x = {bed_x}
y = {bed_y}
z = {bed_z}

# Careful guesses for X, Y and Z. Put in your controller's settings: run times depend on them, the path does not.
[motion]
rapid = [3000, 3000, 1000]        # mm/min
feed_limit = [3000, 3000, 800]    # mm/min
acceleration = [200, 200, 100]    # mm/s2

# "words": the file starts the spindle. "manual": it has its own switch, and the file pauses for it.
[spindle]
control = {spindle}
min = {slowest}        # rpm
max = {fastest}
spin_up = 4.0     # seconds

[output]
units = {units}
"""

PARK: Final = """
# Where the bit stands at the end, X and Y from the zero, mm: beside the board, so that its corner is free.
[park]
x = {x}
y = {y}
"""

CHANGE: Final = """
# Where bits are changed by hand, X and Y from the zero, mm; the bit waits there with the spindle off.
[change]
x = {x}
y = {y}
height = 5    # mm higher than it travels anywhere on the board
"""
