"""The [handout] of a job file: which recipients files are made for, whose machines nobody has listed."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from pathkit.fields import Feed, Length
from pathkit.forms import Filled, Table, fills
from pathkit.machine.profile import SpindleControl

Corner = Literal["front-left", "front-right", "back-left", "back-right"]
Words = Annotated[str, StringConstraints(pattern=r"^(right|left|away|toward) (right|left|away|toward) (up|down)$")]
Name = Annotated[str, Field(min_length=1, max_length=80)]
Pair = Annotated[list[Feed], Field(min_length=2, max_length=2)]
Acceleration = Annotated[list[Annotated[float, Field(gt=0.0, le=1e5)]], Field(min_length=2, max_length=2)]


@fills(SpindleControl)
class Spindle(Filled):
    """``words``: the file starts and stops it, between ``min`` and ``max`` rpm; ``manual``: a pause asks for it."""


class Least(Table):
    """The least machine that the files are proved for; any that has at least as much may run them.

    ``travel`` is how far the bit moves from left to right, from front to back, and up. ``rapid``, ``feed_limit`` and
    ``acceleration`` (mm/s²) each have two numbers: sideways, and up and down.
    """

    travel: Annotated[list[Length], Field(min_length=3, max_length=3)]
    rapid: Pair
    feed_limit: Pair
    acceleration: Acceleration
    spindle: Spindle | None = None


class Handout(Table):
    """A folder from which anyone can take the file for their own machine: every choice of ``corners`` (where zero is),
    ``directions`` (which way the bit goes as X, Y and Z grow, as in ``"right away up"``), ``dialects``, ``units``,
    ``boards`` (by name, all unless given) and ``bits`` (sizes that replace the job's only bit; its own is always
    offered) is built and proved for the least ``machine``.
    """

    corners: Annotated[list[Corner], Field(min_length=1)] = ["front-left", "front-right", "back-left", "back-right"]
    directions: Annotated[list[Words], Field(min_length=1)] | None = None
    dialects: Annotated[list[Name], Field(min_length=1)] = ["grbl"]
    units: Annotated[list[Literal["mm", "inch"]], Field(min_length=1)] = ["mm"]
    boards: Annotated[list[Name], Field(min_length=1)] | None = None
    bits: list[Name] = []
    machine: Least
