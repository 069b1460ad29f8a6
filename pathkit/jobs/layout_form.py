"""The [layout] of a job file: how copies of its parts lie on the board."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from pathkit.fields import Least0
from pathkit.forms import Table


class Layout(Table):
    """Where copies lie. Without this table, the parts lie on the board as they are drawn.

    ``copies`` is ``fill`` for as many as fit on one board, or a number, on as many boards as it takes. ``web`` is the
    wood between two kerfs (the bit's diameter plus the widest lead unless given; that lead twice if unlike parts are
    nested), ``spacing`` the whole distance between two copies: give one of them. ``least_web`` is the thinnest wood
    allowed between any two kerfs (half the widest bit unless given).

    ``margin`` is what stays free along the edges of the board, mm (a kerf and a web unless given). With ``keep_grain``
    copies are not turned, and nested parts by half at most. ``align`` is where all the copies lie: in the ``corner`` of
    the board at its zero, or in its ``centre``. ``order`` cuts ``stage`` by stage over the whole board, or ``part`` by
    part.
    """

    copies: Literal["fill"] | Annotated[int, Field(ge=1, le=100_000)] = "fill"
    web: Least0 | None = None
    spacing: Least0 | None = None
    margin: Least0 | None = None
    keep_grain: bool = True
    align: Literal["corner", "centre"] = "corner"
    order: Literal["stage", "part"] = "stage"
    least_web: Least0 | None = None
