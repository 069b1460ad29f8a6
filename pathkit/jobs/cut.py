"""What every operation of a job file needs to be cut: a bit, feeds, heights and a stepdown."""

from __future__ import annotations

from collections.abc import Sequence

from pathkit.jobs import schema
from pathkit.jobs.bits import Bits
from pathkit.jobs.depths import bottom_of, height
from pathkit.jobs.edges import finish_of
from pathkit.jobs.fit import Fit
from pathkit.model.curve import Curve
from pathkit.model.stock import Stock
from pathkit.model.tool import Cutting
from pathkit.model.toolpath import Toolpath, wood_above
from pathkit.operations import burn, engrave
from pathkit.operations.contour import Side
from pathkit.operations.finishing import finished_contour
from pathkit.tolerances import SAME_HEIGHT


class Cut:
    """What an operation needs for its bit number ``turn``: that bit, feeds, depths. ``meant`` is the job's own bit,
    ``reaching`` the one that reaches all that is to be cut between walls that a fit has moved."""

    def __init__(self, name: str, part: str, form: schema.Operation, stock: Stock, bits: Bits, turn: int = 0) -> None:
        self.name, self.part, self.stock = name, part, stock
        use = bits.use(form, turn)
        self.meant = bits.meant(use.tool)
        self.reaching = Fit(bits.file.form.fit).reaching(form, self.meant)
        self.tool = bits.tool(use.tool)
        self.cutting: Cutting = bits.cutting(use.cutting, use.tool)
        self.bottom = bottom_of(form, stock, self.tool)
        self.top = None if form.top is None else height(form.top, stock)
        deep = wood_above(self.top, stock) - self.bottom
        self.stepdown = bits.stepdown(use.stepdown, use.tool, deep)

    @property
    def through(self) -> bool:
        """Whether it goes right through every accepted board."""
        return self.bottom <= self.stock.lowest_underside + SAME_HEIGHT

    def marks(self, name: str, curves: Sequence[Curve], form: schema.Engrave | schema.Burn) -> tuple[Toolpath, ...]:
        if isinstance(form, schema.Burn):
            passes, part = form.passes, self.part
            return burn(name, curves, self.tool, self.cutting, height=self.bottom, passes=passes, part=part)
        return engrave(
            name, curves, self.tool, self.cutting, bottom=self.bottom, top=self.top, stepdown=self.stepdown,
            part=self.part,
        )  # fmt: skip

    def contour(self, name: str, curve: Curve, form: schema.Contour, *, side: Side) -> tuple[Toolpath, ...]:
        return finished_contour(
            name, curve, self.tool, self.cutting, finish=None if side == "on" else finish_of(form), side=side,
            direction=form.direction, bottom=self.bottom, top=self.top, stepdown=self.stepdown, part=self.part,
            lead=form.lead, overlap=form.overlap,
        )  # fmt: skip
