"""Random job files: what a careful maker might write, so that none of them may raise an alarm."""

from __future__ import annotations

import math
import random

BITS = (3.0, 4.0, 6.0)


def honest_job(seed: int) -> str:
    """A job file (TOML) of one part: an outline that is not always a rectangle, with or without a lead, a recess, holes
    as wide as the bit or 0.01 to 2 mm wider, lines engraved with a flat bit of 3 to 13 mm, and often chamfered edges.
    Zero on the top or on the bed, tolerances of the board and of the underlay. The same seed gives the same text."""
    chance = random.Random(seed)
    bit, mark = chance.choice(BITS), round(chance.uniform(3.0, 13.0), 1)
    tolerance = chance.choice((0.0, 0.2, 0.5))
    thickness = chance.choice((6.0, 9.0, 12.0))
    loose = chance.choice((0.0, 0.2))
    shapes, width, depth = _outline(chance)
    wider = chance.choice((0.0, 0.01, 0.3, round(chance.uniform(0.01, 2.0), 2)))
    hole = bit + wider
    centre = "true" if wider < 1.5 or chance.random() < 0.5 else "false"
    inset = round(3.0 * bit + hole, 2)
    lead = chance.choice((0.0, 0.0, 1.5, bit))
    # The marks must show on every board: with zero on the bed, the thinnest has its top lower by both tolerances.
    marked = round(tolerance + loose + chance.choice((0.3, 1.0)), 2)
    parts = [
        'name = "honest"',
        "[stock]",
        f"thickness = {thickness}",
        f'z_zero = "{chance.choice(("top", "bed"))}"',
        f"thickness_tolerance = {tolerance}",
        f"underlay = {2.0 * tolerance + 0.3 + loose + chance.choice((0.2, 2.0))}",
        f"underlay_tolerance = {loose}",
        f"[[board]]\nwidth = {width + 60}\ndepth = {depth + 60}",
        f'[tools."cutter"]\ndiameter = {bit}\nnumber = 1\ncentre_cutting = {centre}',
        f'[tools."marker"]\ndiameter = {mark}\nnumber = 2\ncentre_cutting = true',
        f"[cutting.wood]\nfeed = {chance.choice((900, 1500))}\nplunge = 300\nspindle = 16000",
        '[[part]]\nname = "plate"\nzones = [{ kind = "tape", shape = "tape" }]',
        "[part.shapes]",
        *shapes,
        f"recess.rectangle = {{ corner = [{width / 2 - 8}, {depth / 2 - 8}], width = 16, depth = 16, radius = "
        f"{chance.choice((0.0, bit / 2.0, 5.0))} }}",
        f"hole.circle = {{ centre = [{width / 2 + 20}, {inset}], radius = {hole / 2.0} }}",
        f"line.line = [[{width / 2 - 25}, {depth / 2 - 16}], [{width / 2 - 4}, {depth / 2 - 13}]]",
        f"tape.rectangle = {{ corner = [{width / 2 - 10}, {depth / 2 - 10}], width = 20, depth = 20 }}",
        *_operation("pocket", "recess", "cutter", f"bottom.from_top = {thickness / 3.0}\nstepdown = 2"),
        *_operation("engrave", "line", "marker", f"bottom.from_top = {marked}"),
    ]
    inside = chance.random() < 0.5 and wider >= 0.3
    kind, rest = ("contour", 'side = "inside"\nstepdown = 2') if inside else ("drill", "stepdown = 2")
    parts += _operation(kind, "hole", "cutter", f"bottom.through = true\n{rest}")
    parts += _operation("contour", "outline", "cutter", f"bottom.through = true\nstepdown = 3\nlead = {lead}")
    if chance.random() < 0.6:
        bevel, edges = _bevelled(chance, tolerance + loose)
        parts.insert(parts.index('[[part]]\nname = "plate"\nzones = [{ kind = "tape", shape = "tape" }]'), bevel)
        parts += edges
    parts.append("[layout]\nmargin = 14\ncopies = 1")
    return "\n".join(parts) + "\n"


def _bevelled(chance: random.Random, spread: float) -> tuple[str, list[str]]:
    """A vee, and the edges of the plate, the recess and the hole bevelled by it, on every board within ``spread``."""
    angle = chance.choice((60, 90, 120))
    slope = math.tan(math.radians(angle) / 2.0)
    width = round(slope * spread + chance.choice((0.3, 0.6)), 2)
    vee = f'[tools."vee"]\ndiameter = {chance.choice((8.0, 12.0))}\nnumber = 3\nkind = "vee"\nangle = {angle}\n'
    vee += f"centre_cutting = {chance.choice(('true', 'false'))}"
    rest = f'width = {width}\ndirection = "{chance.choice(("climb", "conventional"))}"'
    edges = _operation("chamfer", "outline", "vee", rest)
    for shape in chance.choice(((), ("recess",), ("recess", "hole"))):
        edges += _operation("chamfer", shape, "vee", f'{rest}\nside = "inside"')
    return vee, edges


def _outline(chance: random.Random) -> tuple[list[str], float, float]:
    """An L, a rounded plate, a plate with a pointed side, or a disc; with its width and depth."""
    width, depth = float(chance.randint(80, 110)), float(chance.randint(70, 90))
    which = chance.randint(0, 3)
    if which == 0:
        x, y = round(width * 0.75, 1), round(depth * 0.75, 1)
        points = [[0, 0], [width, 0], [width, y], [x, y], [x, depth], [0, depth]]
        return [f"outline.polygon = {points}"], width, depth
    if which == 1:
        radius = chance.choice((2.0, 8.0, 20.0))
        return [f"outline.rectangle = {{ width = {width}, depth = {depth}, radius = {radius} }}"], width, depth
    if which == 2:
        points = [[0, 0], [width, 0], [width + 15, depth / 2], [width, depth], [0, depth]]
        return [f"outline.polygon = {points}"], width + 15.0, depth
    return [f"outline.circle = {{ centre = [{width / 2}, {width / 2}], radius = {width / 2} }}"], width, width


def _operation(kind: str, shape: str, tool: str, rest: str) -> list[str]:
    return ["[[part.operations]]", f'kind = "{kind}"', f'shape = "{shape}"', f'tool = "{tool}"', rest]
