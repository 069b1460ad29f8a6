"""Random job files of parts that are nested, and of one special wish each: what a careful maker might write, so that
none of them may raise an alarm."""

from __future__ import annotations

import math
import random
from typing import Final, NamedTuple

KINDS: Final = ("nested", "finish", "skin", "core", "rest", "sloped tabs", "weak machine")
"""Unlike parts on one board; a last lap at the wall; a skin under the part; what becomes of a core; a pocket cut by two
bits; sloped tabs; a machine that is asked for a share of feeds and bites."""

MACHINES: Final = ("grbl-back-right", "grbl-front-left", "portrait-inch")
"""Those that a job of a weak machine names."""

WORDS: Final = ("A", "7", "L2", "oak", "B-4")


ROOMY: Final = "in.rectangle = { corner = [10, 10], width = 36, depth = 34 }"


class Bench(NamedTuple):
    """The board and the bit of a job file, drawn at random: all in mm."""

    bit: float
    thickness: float
    tolerance: float
    loose: float
    z_zero: str
    marked: float
    head: tuple[str, ...]


def special_job(kind: str, seed: int) -> str:
    """A job file (TOML) of one of the `KINDS`. The same kind and seed give the same text.

    Zero on the top or on the bed, tolerances of the board and of the underlay, and shapes, depths and ways of cutting
    are drawn as well. Raises `KeyError` for a kind that is none.
    """
    chance = random.Random(f"{kind} {seed}")
    return "\n".join(_MAKERS[kind](chance)) + "\n"


def _bench(chance: random.Random, name: str, width: float = 300, depth: float = 240) -> Bench:
    bit, z_zero = chance.choice((2.0, 3.0, 3.175, 4.0)), chance.choice(("top", "bed"))
    thickness, tolerance = chance.choice((4.0, 6.0, 9.0)), chance.choice((0.0, 0.2, 0.5))
    loose = chance.choice((0.0, 0.2))
    head = (
        f'name = "{name}"',
        "[stock]",
        f"thickness = {thickness}",
        f'z_zero = "{z_zero}"',
        f"thickness_tolerance = {tolerance}",
        f"underlay = {2.0 * tolerance + 0.3 + loose + chance.choice((0.5, 2.0))}",
        f"underlay_tolerance = {loose}",
        f"grain = {chance.choice((0, 0, 15, 90))}",
        f"[[board]]\nwidth = {width}\ndepth = {depth}",
        f'[tools."cutter"]\ndiameter = {bit}\nnumber = 1\ncentre_cutting = true',
        f"[cutting.wood]\nfeed = {chance.choice((900, 1500))}\nplunge = 300\nspindle = 16000",
    )
    # A mark must show on every board: with zero on the bed, the thinnest has its top lower by both tolerances.
    marked = round(tolerance + loose + chance.choice((0.3, 0.6)), 2)
    return Bench(bit, thickness, tolerance, loose, z_zero, marked, head)


# --- unlike parts -----------------------------------------------------------------------------------------------------


def _nested(chance: random.Random) -> list[str]:
    """Two to four parts: one with what differs from copy to copy, one like it, one that lies where it is told."""
    bench = _bench(chance, "unlike parts", chance.choice((240, 280, 300)), chance.choice((180, 220, 240)))
    lines = list(bench.head)
    if marker := chance.choice((0.0, 1.0, 1.5)):
        lines.insert(-1, f'[tools."marker"]\ndiameter = {marker}\nnumber = 2\ncentre_cutting = true')
    tool = "marker" if marker else "cutter"
    outline, x, y = _piece(chance)
    count, lead = chance.randint(1, 3), _lead(chance, bench)
    lines += [
        f'[[part]]\nname = "plate"\nquantity = {count}',
        *_turned(chance),
        "[part.shapes]",
        outline,
        _hole(chance, x, y),
    ]
    lines += _operation("contour", "hole", "cutter", *_cut_hole(chance, bench))
    lines += _mark(chance, bench, tool, (x + 2.0, y - 3.0), count)
    lines += _operation("contour", "outline", "cutter", *_freed(chance, lead))
    if chance.random() < 0.7:
        count = chance.randint(1, 3)
        lines += [f'[[part]]\nname = "lid"\nlike = "plate"\nquantity = {count}', *_turned(chance), "[part.shapes]"]
        lines.append(f"hole.rectangle = {{ corner = [{x - 20.0}, {y - 5.0}], width = 12, depth = 10, radius = 3 }}")
        lines += _operation(
            "pocket", "hole", "cutter", f"bottom.from_top = {bench.thickness / 3.0:.2f}", "stepdown = 1"
        )
        lines += _mark(chance, bench, tool, (x + 1.0, y - 2.5), count)
    if chance.random() < 0.7:
        place = f"at = [{chance.randint(9, 30)}, {chance.randint(9, 30)}]"
        lines += [f'[[part]]\nname = "corner"\n{place}\nturn = {chance.randint(0, 3)}', "[part.shapes]"]
        lines.append("outline.polygon = [[0, 0], [70, 0], [70, 24], [26, 24], [26, 50], [0, 50]]")
        lines += _operation("contour", "outline", "cutter", *_freed(chance, lead))
    if chance.random() < 0.4:
        outline, x, y = _piece(chance)
        lines += [f'[[part]]\nname = "other"\nquantity = {chance.randint(1, 2)}', "[part.shapes]", outline]
        lines += _mark(chance, bench, tool, (x - 8.0, y - 3.0), 0)
        lines += _operation("contour", "outline", "cutter", *_freed(chance, lead))
    # Leads of two parts may lie side by side in a web.
    web = 2.0 * lead + chance.choice((bench.bit, bench.bit + 3.0))
    lines.append("[layout]")
    lines.append(
        chance.choice((f"web = {web}", f"spacing = {2.0 * bench.bit + web}", "" if lead == 0.0 else "web = 9"))
    )
    lines.append(chance.choice(("", "margin = 9", "margin = 12")))
    lines.append(chance.choice(("", 'order = "part"')))
    lines.append(chance.choice(("", "keep_grain = false")))
    return lines


def _turned(chance: random.Random) -> list[str]:
    return [f"turn = {chance.randint(0, 3)}"] if chance.random() < 0.3 else []


def _piece(chance: random.Random) -> tuple[str, float, float]:
    """An outline, and the middle of a circle of 24 mm that lies within it."""
    which = chance.randint(0, 3)
    if which == 0:
        width, depth = chance.randint(56, 90), chance.randint(52, 70)
        radius = chance.choice((0, 3, 12))
        return f"outline.rectangle = {{ width = {width}, depth = {depth}, radius = {radius} }}", width / 2, depth / 2
    if which == 1:
        radius = chance.randint(27, 36)
        return f"outline.circle = {{ centre = [{radius}, {radius}], radius = {radius} }}", radius, radius
    if which == 2:
        width, depth = chance.randint(88, 110), chance.randint(84, 100)
        middle = width * depth / (width + 2.0 * math.hypot(width / 2.0, depth))
        return f"outline.polygon = [[0, 0], [{width}, 0], [{width / 2}, {depth}]]", width / 2, round(middle, 2)
    width, depth = chance.randint(80, 96), chance.randint(72, 84)
    points = [[0, 0], [width, 0], [width, 54], [54, 54], [54, depth], [0, depth]]
    return f"outline.polygon = {points}", 27.0, 27.0


def _hole(chance: random.Random, x: float, y: float) -> str:
    return f"hole.circle = {{ centre = [{x - 13.0}, {y}], radius = {chance.choice((3.5, 5.0, 6.5))} }}"


def _cut_hole(chance: random.Random, bench: Bench) -> tuple[str, ...]:
    bottom = chance.choice(("bottom.through = true", f"bottom.from_top = {bench.thickness / 2.0}"))
    # Too small for tabs.
    return 'side = "inside"', bottom, "stepdown = 2", 'core = "clear"'


def _mark(chance: random.Random, bench: Bench, tool: str, at: tuple[float, float], count: int) -> list[str]:
    """A text: another on each of ``count`` copies where there is a count, or not."""
    texts = [chance.choice(WORDS) for _ in range(count)]
    same = f'text = "{chance.choice(WORDS)}"'
    said = chance.choice((same, f"number_from = {chance.choice((0, 1, 98))}", f"texts = {texts}".replace("'", '"')))
    lines = ['[[part.operations]]\nkind = "engrave"\nname = "mark"', said if count else same, f'tool = "{tool}"']
    lines += [f"text_at = [{at[0]}, {at[1]}]", f"text_height = {chance.choice((4, 5, 6))}"]
    return [*lines, f"bottom.from_top = {bench.marked}"]


# --- one wish each ----------------------------------------------------------------------------------------------------


def _wished(
    chance: random.Random, bench: Bench, *, outline: str = "", opening: str = "", core: str = "", hole: str = ""
) -> list[str]:
    """A part with an opening and a recess; more keys for its outline and for its opening."""
    width, depth = chance.randint(90, 120), chance.randint(70, 90)
    shape = chance.choice((
        f"outline.rectangle = {{ width = {width}, depth = {depth}, radius = {chance.choice((0, 4, 15))} }}",
        f"outline.polygon = [[0, 0], [{width}, 0], [{width + 12}, {depth / 2}], [{width}, {depth}], [0, {depth}]]",
        f"outline.polygon = [[0, 0], [{width}, 0], [{width}, {depth}], [{width - 20}, {depth}],"
        f" [{width - 20}, {depth - 16}], [0, {depth - 16}]]",
    ))  # fmt: skip
    wide, long = chance.randint(20, 32), chance.randint(20, 28)
    hole = hole or chance.choice((
        f"in.rectangle = {{ corner = [12, 12], width = {wide}, depth = {long}, radius = {chance.choice((0, 3, 8))} }}",
        f"in.circle = {{ centre = [28, 26], radius = {chance.choice((10.0, 12.5, 16.0))} }}",
        f"in.polygon = [[12, 12], [{12 + wide}, 12], [{12 + wide}, {14 + long // 2}],"
        f" [24, {12 + long}], [12, {12 + long}]]",
    ))  # fmt: skip
    lines = ['[[part]]\nname = "plate"', "[part.shapes]", shape, hole]
    lines.append(f"tray.rectangle = {{ corner = [52, 12], width = {chance.randint(16, 28)}, depth = 24, radius = 4 }}")
    if chance.random() < 0.5:
        lines += _operation(
            "pocket", "tray", "cutter", f"bottom.from_top = {bench.thickness / 3.0:.2f}", "stepdown = 1"
        )
    way = chance.choice(("", 'direction = "conventional"'))
    # A core that is dropped must not come free by the last level but one, in the thinnest board.
    step = "stepdown = 3" if "drop" in core else "stepdown = 2"
    lines += _operation("contour", "in", "cutter", 'side = "inside"', "bottom.through = true", step, way,
                        opening, core)  # fmt: skip
    lines += _operation("contour", "outline", "cutter", *_freed(chance, _lead(chance, bench)), outline)
    lines.append(f"[layout]\ncopies = {chance.choice((1, 1, 2))}\nmargin = 14")
    return lines


def _finish(chance: random.Random) -> list[str]:
    bench = _bench(chance, "a last lap")

    def lap() -> str:
        depth = chance.choice(("", ", full_depth = false"))
        return f"finish = {{ allowance = {chance.choice((0.1, 0.2, 0.3, 0.5))}{depth} }}"

    both = chance.choice(((lap(), lap()), (lap(), ""), ("", lap())))
    core = chance.choice(("", "", 'core = "keep"', 'core = "clear"'))
    return [*bench.head, *_wished(chance, bench, outline=both[0], opening=both[1], core=core)]


def _skin(chance: random.Random) -> list[str]:
    bench = _bench(chance, "a skin")
    # The tolerances may take less than half of it, and must leave more than what holds nothing.
    spread = bench.loose + (bench.tolerance if bench.z_zero == "top" else 0.0)
    skin = round(2.0 * spread + chance.choice((0.4, 0.5, 0.7)), 2)
    both = chance.choice(((f"skin = {skin}", f"skin = {skin}"), (f"skin = {skin}", "")))
    return [*bench.head, *_wished(chance, bench, outline=both[0], opening=both[1])]


def _core(chance: random.Random) -> list[str]:
    bench = _bench(chance, "cores")
    core = f'core = "{chance.choice(("keep", "clear", "drop"))}"'
    return [*bench.head, *_wished(chance, bench, core=core)]


def _rest(chance: random.Random) -> list[str]:
    bench = _bench(chance, "rest clearing")
    wide = chance.choice((6.0, 8.0))
    lines = list(bench.head[:-1])
    lines.append(f'[tools."wide"]\ndiameter = {wide}\nnumber = 2\ncentre_cutting = true')
    lines.append("[cutting.fast]\nfeed = 1500\nplunge = 300\nspindle = 16000")
    lines.append("[cutting.fine]\nfeed = 700\nplunge = 200\nspindle = 18000")
    width, depth = chance.randint(34, 50), chance.randint(30, 44)
    neck = round(bench.bit * chance.choice((1.2, 1.6)), 2)
    low, high = round(10 + depth / 2 - neck / 2, 2), round(10 + depth / 2 + neck / 2, 2)
    chamber = f"[{12 + width}, {low}], [{16 + width}, {low}], [{16 + width}, {low - 6}], [{26 + width}, {low - 6}],"
    chamber += (
        f" [{26 + width}, {high + 6}], [{16 + width}, {high + 6}], [{16 + width}, {high}], [{12 + width}, {high}]"
    )
    well = chance.choice((
        f"well.rectangle = {{ corner = [12, 10], width = {width}, depth = {depth},"
        f" radius = {chance.choice((0, 1, 2.2))} }}",
        f"well.polygon = [[12, 10], [{12 + width}, 10], {chamber}, [{12 + width}, {10 + depth}], [12, {10 + depth}]]",
        f"well.polygon = [[12, 10], [{12 + width}, 10], [{20 + width}, {10 + depth}], [20, {10 + depth}]]",
    ))  # fmt: skip
    lines += ['[[part]]\nname = "tray"', "[part.shapes]", "outline.rectangle = { width = 96, depth = 68, radius = 5 }"]
    lines += [well, f"land.circle = {{ centre = [{12 + width // 2}, 20], radius = 3 }}"]
    lines += ['[[part.operations]]\nkind = "pocket"\nshape = "well"\ntool = ["wide", "cutter"]']
    lines += ['cutting = ["fast", "fine"]', f"bottom.from_top = {bench.thickness / 2.0:g}"]
    lines.append(chance.choice(("stepdown = 2", "stepdown = [2, 1]", "stepdown = [3, 0.8]")))
    lines.append(chance.choice(("", 'style = "rings"', "angle = 30\nstepover = 0.3", 'direction = "conventional"')))
    lines.append(chance.choice(("", 'islands = ["land"]', "lead = 0", "relief = true")))
    lines += _operation("contour", "outline", "cutter", *_freed(chance, _lead(chance, bench)), 'cutting = "fast"')
    return [*lines, "[layout]\ncopies = 1\nmargin = 14"]


def _sloped(chance: random.Random) -> list[str]:
    bench = _bench(chance, "sloped tabs")
    height = round(bench.thickness * chance.choice((0.25, 0.4)), 2)
    tabs = (
        f'shape = "sloped", count = {chance.choice((2, 2, 3))}, width = {chance.choice((3, 3, 6))}, height = {height}'
    )
    # Around a wide opening there is room for two short tabs with their slopes.
    kept = tabs.startswith('shape = "sloped", count = 2, width = 3,') and chance.random() < 0.7
    core, hole = ('core = "keep"', ROOMY) if kept else ('core = "clear"', "")
    return [*bench.head, *_wished(chance, bench, core=core, hole=hole), f"[passes]\nhold_tabs = {{ {tabs} }}"]


def _weak(chance: random.Random) -> list[str]:
    bench = _bench(chance, "a weak machine")
    names = ("feed", "plunge", "spindle", "stepdown", "stepover")
    picked = chance.sample(names, chance.randint(1, len(names)))
    # No less than half, so that the spindle turns as fast as the slowest that a machine can.
    shares = ", ".join(f'{name} = "{chance.choice((50, 60, 70, 83, 99))}%"' for name in names if name in picked)
    lines = [*bench.head, *_wished(chance, bench)]
    for machine in MACHINES:
        lines.append(f'[[machine]]\nprofile = "{machine}"\ncutting = {{ {shares} }}')
    return lines


def _lead(chance: random.Random, bench: Bench) -> float:
    return chance.choice((0.0, 0.0, 1.5, bench.bit))


def _freed(chance: random.Random, lead: float) -> tuple[str, ...]:
    return "bottom.through = true", chance.choice(("stepdown = 2", "stepdown = 3", "stepdown = 1.3")), f"lead = {lead}"


def _operation(kind: str, shape: str, tool: str, *rest: str) -> list[str]:
    lines = ["[[part.operations]]", f'kind = "{kind}"', f'shape = "{shape}"', f'tool = "{tool}"', *rest]
    return [line for line in lines if line]


_MAKERS: Final = {
    "nested": _nested, "finish": _finish, "skin": _skin, "core": _core, "rest": _rest, "sloped tabs": _sloped,
    "weak machine": _weak,
}  # fmt: skip
