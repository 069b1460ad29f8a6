"""What an operation's form asks of the edge that it cuts: relieved corners for square pegs, a last lap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pathkit.curves.regions import refusal
from pathkit.jobs import schema
from pathkit.jobs.fit import Fit
from pathkit.model.curve import Curve
from pathkit.operations import relieve
from pathkit.operations.finishing import Finish


def finish_of(form: schema.Contour) -> Finish | None:
    """The last lap that a contour's wall gets, if any."""
    return None if form.finish is None else form.finish.value()


def relieved(
    ring: Curve, form: schema.Contour | schema.Pocket, radius: float, title: str, *, outside: bool = False,
    open_edges: Sequence[Curve] = (),
) -> Curve:  # fmt: skip
    """The ring with its corners relieved for square pegs if the form asks for it, else the same ring.

    ``radius`` (mm) is the bit's; ``outside`` says that the bit runs round the outside of the ring. Along ``open_edges``
    there is no wall.
    """
    if not form.relief:
        return ring
    found = relieve(ring, radius, name=title, outside=outside, open_edges=open_edges)
    return ring if len(found.sweeps) == len(ring.sweeps) else found


@dataclass
class Walls:
    """The rings of one operation as its bit, of ``radius`` mm, finishes them. ``bitten`` says that one of them has been
    relieved."""

    form: schema.Contour | schema.Pocket
    radius: float
    fit: Fit
    bitten: bool = False

    def wall(self, ring: Curve, title: str, *, outside: bool = False) -> Curve:
        """A ring as the job's fit moves it, its corners relieved; ``outside``: the bit runs round it."""
        moved = self.fit.wall(ring, title, stays=outside)
        return self._bitten(moved, title, outside=outside)

    def opened(self, ring: Curve, edges: Sequence[Curve], title: str) -> tuple[Curve, tuple[Curve, ...]]:
        """The same of a recess that has no wall along the lines ``edges``, and those lines as the fit has them."""
        moved, mouths = self.fit.opened(ring, edges, title)
        return self._bitten(moved, title, open_edges=mouths), mouths

    def _bitten(self, ring: Curve, title: str, **where: Any) -> Curve:
        bitten = relieved(ring, self.form, self.radius, title, **where)
        self.bitten = self.bitten or bitten is not ring
        return bitten


def refuse_partly_relieved(name: str, form: schema.Contour, *, through: bool) -> None:
    """Raises `InputError` for a contour called ``name`` that relieves the part's outline, and does not cut it from the
    board's top right ``through``."""
    if form.top is not None or not (form.skin or through):
        what = "relief of the part's outline must go right through from the board's top; this contour does not"
        fix = "set relief on the contour with bottom.through = true and no top, and cut the whole outline with it"
        raise refusal(name, what, fix)
