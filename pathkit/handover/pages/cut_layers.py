"""The cuts of a file as layers of a picture: by depth, the deepest over the others, over what the bit sweeps."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from pathkit.handover.pages import path_data
from pathkit.handover.pages.path_data import short
from pathkit.handover.pages.strokes import Floats, Strokes, class_of

if TYPE_CHECKING:
    from pathkit.handover.pages.seen_file import Seen
    from pathkit.model.stock import Zone

LINE: Final = (0.6, 1.4)
"""Thinnest and thickest line of a cut, in units of the picture."""

TAPE: Final = 'fill="#9fb8c4" fill-opacity="0.35" fill-rule="evenodd"'
KEEP_OUT: Final = (
    'fill="#000000" fill-opacity="0.18" fill-rule="evenodd" stroke="#111111" stroke-width="1" stroke-dasharray="1.5 2"'
)


@dataclass(frozen=True)
class Layers:
    """SVG ``elements``, and how finely they are drawn in units of the picture (0: exactly)."""

    elements: tuple[str, ...]
    step: float


def layers_of(
    one: Seen, cuts: Strokes, at: Callable[[Floats], Floats], per_mm: float, key: tuple[Floats, Sequence[str]],
    name: str, exact: bool,
) -> Layers:  # fmt: skip
    """Pieces of the cuts of ``one``, placed by ``at`` (mm on the bench to units of the picture, ``per_mm`` of them).

    ``key`` are floors of depths with their colours; ``name`` begins the names of the elements. What is not drawn
    ``exact`` must have straight pieces only.
    """
    floors, colours = key
    depth = class_of(cuts.low, floors)
    bits, bit = np.unique(one.bits[cuts.row], return_inverse=True)
    number = depth * len(bits) + bit
    numbers = np.unique(number).tolist()
    # The deepest last, over the others.
    each = [cuts.take(number == n) for n in numbers]
    kinds = [(n // len(bits), one.width(int(bits[n % len(bits)]), float(some.low.min())))
             for n, some in zip(numbers, each, strict=True)]  # fmt: skip
    groups = [replace(some.turned(at), radius=some.radius * per_mm) for some in each]
    data, step = ([path_data.exact(group) for group in groups], 0.0) if exact else path_data.coarse(groups)
    names = [f"{name}-{k}-{index}" for index, (k, _) in enumerate(kinds)]
    defined = "".join(f'<path id="{each}" d="{d}"/>' for each, d in zip(names, data, strict=True))
    bands, lines = [], []
    for each_name, (k, wide) in zip(names, kinds, strict=True):
        stroke = f'<use href="#{each_name}" stroke="{colours[k]}"'
        if wide > 0.0:
            bands.append(f'{stroke} stroke-width="{short(wide * per_mm)}"/>')
        lines.append(f"{stroke}/>")
    # Rows of squares leave nothing open between them.
    narrow = min((wide for _, wide in kinds if wide > 0.0), default=0.0) * per_mm / 5.0
    thick = min(max(narrow, LINE[0]), LINE[1]) if narrow > 0.0 else LINE[1]
    thick = max(thick, 1.1 * step if step > path_data.COARSEST else 0.0)
    round_ = 'fill="none" stroke-linecap="round" stroke-linejoin="round"'
    elements = (
        f"<defs>{defined}</defs>", f'<g {round_} opacity="0.3">{"".join(bands)}</g>',
        f'<g {round_} stroke-width="{short(thick)}">{"".join(lines)}</g>',
    )  # fmt: skip
    return Layers(elements, step)


def zones_drawn(zones: Sequence[Zone], at: Callable[[Floats], Floats]) -> str:
    """Tape, clamps and screws, placed by ``at`` (mm on the bench to units of the picture)."""
    out = []
    for zone in zones:
        rings = [np.asarray(ring.coords)[:, :2] for ring in (zone.shape.exterior, *zone.shape.interiors)]
        d = "".join("M" + "L".join(f"{short(x)} {short(y)}" for x, y in at(ring).tolist()) + "Z" for ring in rings)
        out.append(f'<path class="zone" d="{d}" {KEEP_OUT if zone.is_keep_out else TAPE}/>')
    return "".join(out)
