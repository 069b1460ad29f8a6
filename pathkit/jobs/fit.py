"""What `fit` does: every finished wall moves by half of it, as if the bit were that much narrower than it is.

Corners stay corners: the walls beside them meet where they then do.

Along an open edge there is no wall: a recess reaches a whole fit, loose or tight, past where that is drawn.

Openings, recesses, slots and holes become ``fit`` wider across, parts and islands as much narrower. What has its size
from the bit alone keeps it: a slot without a width, a hole at a point without a diameter, whatever a drill makes, a cut
on a line and an engraving. Places stay: parts are laid out by their shapes as drawn.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

import numpy as np

from pathkit.curves.regions import area_of, refusal, turned
from pathkit.geometry.spans import Spans, between
from pathkit.jobs import schema
from pathkit.jobs.shapes import Outline
from pathkit.model.curve import Curve
from pathkit.model.tool import Tool
from pathkit.operations.offset import inset
from pathkit.operations.open_edges import beside, open_stretches, with_wider_mouths
from pathkit.tolerances import ANGLE_ROUNDING, PAST_OPEN_ARC, SAME_PLACE

SHARPEST: Final = 45.0
"""Degrees: in a sharper corner moved walls would meet more than 2.6 times as far off as they are moved."""

NOTED: Final = "fit = "
"""How a note begins that says what a fit does not move."""


@dataclass(frozen=True)
class Fit:
    """``play`` is the job's fit: mm by which openings are wider across, and parts narrower."""

    play: float = 0.0

    @property
    def aside(self) -> float:
        """mm by which each wall moves into the wood that stays."""
        return self.play / 2.0

    def wall(self, ring: Curve, title: str, *, stays: bool) -> Curve:
        """A closed wall as it is finished; ``stays`` says that the wood within it stays.

        Raises `InputError` if nothing is left of what it encloses, or if that falls into pieces.
        """
        if not self.play:
            return ring
        moved = inset((turned(ring, counter_clockwise=True),), self.aside if stays else -self.aside)
        if len(moved) == 1:
            return _with_corners(moved[0], ring, self.aside)
        what = f"fit = {self.play:g} makes its walls meet: it would fall into pieces"
        what = what if moved else f"fit = {self.play:g} closes it"
        raise refusal(title, what, "set fit nearer to 0, or draw it wider there")

    def outline(self, outline: Outline, title: str, *, stays: bool) -> Outline:
        """An outline with its holes, whose wood stays where the outer one's does not.

        Raises `InputError` as `wall`, and if a hole would reach the wall round it.
        """
        if not self.play:
            return outline
        outer = self.wall(outline.outer, title, stays=stays)
        holes = tuple(self.wall(hole, title, stays=not stays) for hole in outline.holes)
        whole = area_of((outer,))
        for k, hole in enumerate(holes, 1):
            if not whole.contains_properly(area_of((hole,))):
                what = f"fit = {self.play:g} leaves nothing between its edge and {outline.described(k)}"
                raise refusal(title, what, "set fit nearer to 0, or draw them further apart")
        return Outline(outer, holes, outline.names)

    def walls(self, rings: Sequence[Curve], title: str, *, stays: bool) -> tuple[Curve, ...]:
        """Several walls, each as `wall` has it."""
        return tuple(self.wall(ring, title, stays=stays) for ring in rings)

    def reaching(self, form: schema.Operation, meant: Tool) -> Tool:
        """The bit that reaches between the walls of an operation as moved what ``meant`` reaches between them as drawn,
        if it is narrower: what the job's bit no longer reaches, the fit has closed."""
        tighter = self.play < 0.0 and isinstance(form, schema.Contour | schema.Pocket)
        return replace(meant, diameter=meant.diameter + self.play) if tighter else meant

    def slot(self, width: float | None, bit: float) -> float:
        """Width (mm) of a finished slot that is to be ``width`` wide; with None it is as wide as the ``bit``."""
        return bit if width is None else width + self.play

    def hole(self, diameter: float, form: schema.Drill, tool: Tool, *, sized: bool) -> float:
        """Diameter (mm) of a finished hole; ``sized`` says that the job gives its size, and not the bit."""
        return diameter + self.play if sized and not self.is_kept(form, tool) else diameter

    @staticmethod
    def is_kept(form: schema.Operation, tool: Tool) -> bool:
        """Whether the bit alone makes all the walls of an operation, so that they do not move."""
        return (isinstance(form, schema.Slot) and form.width is None) or (
            isinstance(form, schema.Drill) and tool.kind == "drill"
        )

    def kept(self, form: schema.Operation, tool: Tool, name: str) -> list[tuple[str, str]]:
        """A note (what, fix) on an operation whose walls do not move."""
        if not self.play or not self.is_kept(form, tool):
            return []
        if isinstance(form, schema.Slot):
            what = f"fit = {self.play:g} does not move the walls of {name!r}: the slot is as wide as its bit"
            return [(what, "give it a width to move them")]
        what = f"fit = {self.play:g} does not move the walls of {name!r}: a drill makes holes of its own size"
        return [(what, "take a drill of another size, or mill the holes")]

    def opened(self, ring: Curve, edges: Sequence[Curve], title: str) -> tuple[Curve, tuple[Curve, ...]]:
        """The closed wall of a recess that has none along the lines ``edges``, as it is finished, and those lines then.

        Beyond an open edge there is no wood, and its end there moves by half the fit, one way or the other. So that no
        splinter is left, the recess reaches the whole of the fit past its open edges, whether that is loose or tight.
        Raises `InputError` as `wall`, and for open edges past which that cannot be.
        """
        drawn = turned(ring, counter_clockwise=True)
        stretches = open_stretches(drawn, edges)
        bent = any(between(drawn.spans, low, high).sweep.any() for low, high in stretches)
        # Without a fit the same line, as two arcs, would leave a splinter between the chords that stand for them.
        past = abs(self.play) or (PAST_OPEN_ARC if bent else 0.0)
        if not stretches or not past:
            return self.wall(ring, title, stays=False), tuple(edges)
        if stretches == [(0.0, drawn.length)]:
            moved = Fit(2.0 * past).wall(drawn, title, stays=False)
            return moved, (moved,)
        wider, mouths = with_wider_mouths(drawn, stretches, past - self.aside, title)
        moved = self.wall(wider, title, stays=False)
        return moved, beside(moved, mouths, abs(self.aside))

    @property
    def way_out(self) -> str:
        """What to add where something cannot be cut."""
        return f"; fit = {self.play:g} has moved its walls" if self.play else ""


def _with_corners(ring: Curve, drawn: Curve, aside: float) -> Curve:
    """A ring that was ``drawn`` and then moved by ``aside`` mm, with corners where that has rounded them: its walls go
    on straight until they meet. Corners sharper than `SHARPEST` stay round, for there they would meet far off."""
    spans = ring.spans
    radius = spans.length / np.maximum(np.abs(spans.sweep), ANGLE_ROUNDING)
    round_ = (np.abs(radius - abs(aside)) < SAME_PLACE) & (np.abs(spans.sweep) < math.pi - math.radians(SHARPEST))
    round_ &= spans.sweep != 0.0
    for k in np.flatnonzero(round_).tolist():
        # An arc of the drawing may have that radius, too.
        round_[k] = np.abs(drawn.points - spans.centre[k]).max(axis=1).min() < SAME_PLACE
    if not round_.any():
        return ring
    points: list[Any] = []
    sweeps: list[float] = []
    count = len(spans.sweep)
    for k in range(count):
        if not round_[k]:
            if not (round_[k - 1] and _goes_on(spans, k, spans.start[k] - spans.centre[k - 1])):
                points.append(spans.start[k])
                sweeps.append(float(spans.sweep[k]))
            continue
        one, other = (at - spans.centre[k] for at in (spans.start[k], spans.end[k]))
        meet = spans.centre[k] + (one + other) / (1.0 + float(one @ other) / aside**2)
        if not _goes_on(spans, k - 1, one):
            points.append(spans.start[k])
            sweeps.append(0.0)
        points.append(meet)
        sweeps.append(0.0)
    return Curve(points, sweeps, closed=True)


def _goes_on(spans: Spans, k: int, arm: Any) -> bool:
    """Whether a span is a straight side of a corner: it lies across the ``arm`` (2,) of the round there."""
    way = spans.end[k] - spans.start[k]
    return bool(spans.sweep[k] == 0.0 and abs(way @ arm) <= SAME_PLACE * math.hypot(*way))
