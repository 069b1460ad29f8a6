"""A job file to begin from, that builds as it is: key tags for a makerspace, or the outline in a drawing.

Feeds come from the usual chips of bit and material (`pathkit.operations.feeds`): a starting point, as the file says.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

from pathkit.errors import InputError, PathkitError
from pathkit.feeds.materials import USUAL, Material
from pathkit.findings import errors_of
from pathkit.jobs.drawn import Drawn, drawn
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.jobs.shapes import area_of
from pathkit.jobs.wrong_unit import inch_findings
from pathkit.machine.limits import board_fits
from pathkit.model.job import Setup
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.operations.feeds import USUAL_SPEED, Suggestion, suggest
from pathkit.starters import comments
from pathkit.starters import job_texts as texts
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from shapely.geometry import Polygon

    from pathkit.machine.profile import Machine

MARGIN: Final = (10.0, 5.0)
"""mm of the board that stay free along its edges: so many, or so many more than the bit is wide if that is more. So no
strip of waste comes loose (common practice, no source)."""
UNDERLAY: Final = 3.0
"""mm of waste under the board."""
TABS: Final = (6.0, 3.0)
"""Width of a tab and its greatest height, mm: those of the standard passes."""
COUNT: Final = 2
"""Tabs of a part: as many as the standard passes leave. What they lack for a wide bit, the tape holds."""
TAB_SHARE: Final = 0.5
"""Share of the board's thickness that a tab of a thin board is high."""
STEP: Final = (0.5, 1.5)
"""How much deeper the bit cuts at a time: that share of its diameter, and so many mm at most. On the careful side, so
that tabs and tape hold what a dull bit pushes (common practice, no source)."""
TAG: Final = (60.0, 30.0)
"""Width and depth, mm, of the key tag; larger for bits wider than `PLAIN_BIT`."""
PLAIN_BIT: Final = 4.0
HOLE: Final = (5.0, 1.75)
"""Diameter of the tag's hole: mm, or so many times the bit's diameter if that is more. Less than twice, and a helix
leaves no core."""
TAPED: Final = (2 / 5, 1 / 5, 1 / 2, 3 / 5)
"""Where tape is under the key tag, clear of hole and edge: left, front, width and depth as shares of the tag's."""
LEAST_TAPE: Final = 2.0
"""mm of radius: a smaller piece of tape holds nothing."""
TAPE_SHARE: Final = 0.75
"""Share of the largest circle within a drawn part under which tape is laid: the bit must not cut the tape."""


@dataclass(frozen=True)
class Wanted:
    """What the file is for. ``board`` is width, depth and thickness, mm; ``bit`` a diameter, mm; ``parts`` how many are
    wanted (None: as many as fit); ``drawing`` names an SVG beside the file, whose outline is the part's. Comments and
    pages are in the language ``say``; keys, values and cut files do not depend on it."""

    name: str
    board: tuple[float, float, float] = (300.0, 200.0, 6.0)
    bit: float = 3.0
    parts: int | None = None
    material: Material = "plywood"
    drawing: str | None = None
    say: Language = ENGLISH


@dataclass(frozen=True)
class Begun:
    """The ``text`` of a job file, and the ``machines`` that it names: those whose bed takes its board."""

    text: str
    machines: tuple[Machine, ...] = field(default=())


def tag_of(bit: float) -> tuple[float, float, float]:
    """Width and depth of the key tag and the diameter of its hole, mm, for a bit (mm)."""
    share = max(1.0, bit / PLAIN_BIT)
    return round(TAG[0] * share, 1), round(TAG[1] * share, 1), round(max(HOLE[0], HOLE[1] * bit), 1)


def job_text(wanted: Wanted, machines: Sequence[Machine] = (), folder: str | Path = ".") -> Begun:
    """The file, read back and planned for every machine that takes its board; a drawing is looked for in ``folder``.

    Raises `InputError` if nothing can be made of it: the drawing cannot be used, or the part does not fit the board.
    """
    tool = Tool(_bit_name(wanted.bit), wanted.bit)
    turns = _turns(wanted, machines)
    taken = [machine for machine in machines if machine.name in turns]
    values = _suggested(tool, wanted, taken)
    text = _written(wanted, tool, values, turns)
    with _as_asked(wanted):
        file = job_file_of(text, "", folder)
        made = drawn(file)
        outline = _outline_of(made)
    _refuse_board(wanted, outline)
    tape = None if wanted.drawing is None else _tape_in(outline)
    # Where they look like inches, lengths have their unit beside them.
    text = _written(wanted, tool, values, turns, tape, "mm" if inch_findings(file, made) else "")
    with _as_asked(wanted):
        file = job_file_of(text, "", folder)
        if taken:
            orders_of(file, taken)
    return Begun(text, tuple(taken))


def _turns(wanted: Wanted, machines: Sequence[Machine]) -> dict[str, int]:
    """Machine → quarter turns of the board, for those whose bed takes it."""
    width, depth, thickness = wanted.board
    stock = Stock(width, depth, thickness, z_zero="bed", underlay=UNDERLAY, thickness_tolerance=_tolerance(thickness))
    fits = {
        machine.name: next((turn for turn in (0, 1) if not board_fits(stock, machine, Setup(turn=turn))), None)
        for machine in machines
    }
    return {name: turn for name, turn in fits.items() if turn is not None}


def _suggested(tool: Tool, wanted: Wanted, machines: Sequence[Machine]) -> Suggestion:
    """Feeds that every machine of the file can run."""
    slowest = max((machine.spindle.min for machine in machines), default=USUAL_SPEED[0])
    fastest = min((machine.spindle.max for machine in machines), default=USUAL_SPEED[1])
    most = min((min(machine.motion.feed_limit[:2]) for machine in machines), default=None)
    down = min((machine.motion.feed_limit[2] for machine in machines), default=None)
    step = min(round(STEP[0] * wanted.bit, 2), STEP[1], wanted.board[2])
    spindle = (max(slowest, 1.0), max(fastest, slowest, 1.0))
    return suggest(tool, wanted.material, spindle, stepdown=step, feed_limit=most, plunge_limit=down)


@contextmanager
def _as_asked(wanted: Wanted) -> Iterator[None]:
    """Makes errors name what was asked for, not places in a file that is not there yet."""
    asked = "" if wanted.drawing is None else f"--svg is {wanted.drawing!r}: "
    try:
        yield
    except PathkitError as error:
        raise InputError(
            replace(each, what=asked + each.what, file=None, line=None, path=None, toolpath=None)
            for each in errors_of(error.findings)
        ) from None


def _outline_of(made: Drawn) -> Polygon:
    """The part within its outline, mm."""
    outlines = made.shapes[0, "outline"].closed("outline")
    plate: Polygon = area_of(outlines[0].outer)
    for hole in outlines[0].holes:
        plate = plate.difference(area_of(hole))
    return plate


def _margin(bit: float) -> float:
    return max(MARGIN[0], bit + MARGIN[1])


def _refuse_board(wanted: Wanted, outline: Polygon) -> None:
    """Raises `InputError` unless the board has room for one part within its margin."""
    width, depth, thickness = wanted.board
    low_x, low_y, high_x, high_y = outline.bounds
    margin = _margin(wanted.bit)
    least = [math.ceil(round(side + 2.0 * margin, 3)) for side in (high_x - low_x, high_y - low_y)]
    if least[0] <= width and least[1] <= depth:
        return
    works = "x".join(f"{max(*sides):g}" for sides in zip(least, (width, depth), strict=True))
    raise InputError(
        f"--board is {width:g} x {depth:g} mm; the part of {high_x - low_x:.4g} x {high_y - low_y:.4g} mm does not fit"
        f" on it with {margin:g} mm free along the edges; as in --board {works}x{thickness:g}"
    )


def _tape_in(plate: Polygon) -> tuple[float, float, float] | None:
    """Centre and radius of a round piece of tape well within a part, mm; None where there is no room for one."""
    from shapely import maximum_inscribed_circle

    (x, y), edge = maximum_inscribed_circle(plate).coords
    radius = round(TAPE_SHARE * math.dist((x, y), edge), 1)
    return (round(x, 1), round(y, 1), radius) if radius >= LEAST_TAPE else None


def _tolerance(thickness: float) -> float:
    """mm by which a board may be thicker or thinner: as unless given, less for a thin one."""
    return min(Stock.thickness_tolerance, round(thickness / 10.0, 2))


def _round(feed: float) -> float:
    """As a person would write it, mm/min: never faster."""
    return math.floor(feed / 10.0) * 10.0 or feed


def _bit_name(diameter: float) -> str:
    return f"{diameter:.4g} mm end mill"


def _written(
    wanted: Wanted, tool: Tool, values: Suggestion, turns: Mapping[str, int],
    tape: tuple[float, float, float] | None = None, unit: str = "",
) -> str:  # fmt: skip
    width, depth, thickness = wanted.board
    say = wanted.say
    return comments.told(texts.TEMPLATE, say).format(
        name=_quoted(wanted.name), language="" if say == ENGLISH else _language(say),
        material=wanted.material, thickness=_length(thickness, unit),
        tolerance=f"{_tolerance(thickness):g}", underlay=f"{UNDERLAY:g}", width=_length(width, unit),
        depth=_length(depth, unit), bit=_quoted(tool.name), diameter=_length(tool.diameter, unit), flutes=tool.flutes,
        flute=math.ceil(thickness + UNDERLAY),
        cautions="\n".join(map(comments.commented, _cautions(wanted, values))),
        feed=f"{values.cutting.feed:g}", plunge=f"{_round(values.cutting.plunge):g}",
        spindle=f"{values.cutting.spindle:g}",
        part=_part_of(wanted, values.stepdown, tape),
        copies='"fill"' if wanted.parts is None else wanted.parts,
        margin=f"{_margin(wanted.bit):g}", web=f"{wanted.bit:g}",
        tabs=COUNT,
        tab_width=f"{TABS[0]:g}", tab_height=f"{_tab_height(thickness):g}",
        machines=_machines_of(turns, say),
    )  # fmt: skip


def _length(value: float, unit: str) -> str:
    return _quoted(f"{value:g}{unit}") if unit else f"{value:g}"


def _language(say: Language) -> str:
    """The key for pages in the language that its comments are in."""
    return comments.told(texts.LANGUAGE, say).format(code=say.code)


def _cautions(wanted: Wanted, values: Suggestion) -> list[str]:
    """What must be known of the feeds, each a sentence."""
    low, high = values.chip_range
    said = [
        (
            f"usual in {wanted.material} for this bit is {low:.3f} to {high:.3f} mm a tooth (common practice, no"
            f" source); the values below take {values.chip_load:.3f}",
        ),
        *((note.what, note.fix) for note in values.notes if note.severity == "warning"),
    ]
    if caution := USUAL[wanted.material].caution:
        said.append((wanted.material.capitalize(), caution))
    lines = (": ".join(in_words(each, wanted.say) for each in parts if each) + "." for parts in said)
    return [line[:1].upper() + line[1:] for line in lines]


def _part_of(wanted: Wanted, step: float, tape: tuple[float, float, float] | None) -> str:
    zones = comments.told(texts.ZONES, wanted.say)
    if wanted.drawing is not None:
        taped = ""
        if tape is not None:
            taped = comments.told(texts.DRAWN_TAPE, wanted.say)
            taped = taped.format(x=f"{tape[0]:g}", y=f"{tape[1]:g}", radius=f"{tape[2]:g}")
        return comments.told(texts.DRAWN, wanted.say).format(
            drawing=_quoted(wanted.drawing), zones=zones if taped else "", tape=taped, step=f"{step:g}"
        )
    width, depth, hole = tag_of(wanted.bit)
    return comments.told(texts.TAG, wanted.say).format(
        width=f"{width:g}", depth=f"{depth:g}", radius=f"{depth / 5.0:g}", x=f"{depth / 2.0:g}", zones=zones,
        hole=f"{hole / 2.0:g}", step=f"{step:g}", tape_x=f"{width * TAPED[0]:.4g}", tape_y=f"{depth * TAPED[1]:.4g}",
        tape_width=f"{width * TAPED[2]:.4g}", tape_depth=f"{depth * TAPED[3]:.4g}",
    )  # fmt: skip


def _tab_height(thickness: float) -> float:
    return min(TABS[1], round(thickness * TAB_SHARE, 1))


def _machines_of(turns: Mapping[str, int], say: Language) -> str:
    if not turns:
        return comments.told(texts.NO_MACHINE, say)
    turned = comments.told(texts.TURNED, say)
    tables = (
        f"[[machine]]\nprofile = {_quoted(name)}" + (f"\nturn = {turn}{turned}" if turn else "")
        for name, turn in turns.items()
    )
    return comments.told(texts.MACHINES, say) + "\n\n".join(tables) + "\n"


def _quoted(text: str) -> str:
    """A TOML string: for printable text JSON's escapes are TOML's."""
    return json.dumps(text, ensure_ascii=False)
