"""The keys of what is marked on a part: lines of a shape, or a text in single strokes."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from pathkit.forms import Table
from pathkit.jobs.board_forms import Name
from pathkit.jobs.shape_forms import Point, exactly_one
from pathkit.units import LENGTH

Text = Annotated[str, Field(min_length=1, max_length=200)]


class Marks(Table):
    """``text`` is the same on every copy. ``texts`` has one text for each copy of the part; ``number_from`` numbers the
    copies, starting there. ``text_at`` is where the base line of the text begins, ``text_height`` is the height of its
    capitals.
    """

    shape: Name | Annotated[list[Name], Field(min_length=1)] | None = None
    text: Text | None = None
    texts: Annotated[list[Text], Field(min_length=1, max_length=10_000)] | None = None
    number_from: Annotated[int, Field(ge=0, le=1_000_000)] | None = None
    text_at: Point | None = None
    text_height: Annotated[float, Field(gt=0.0, le=1000.0), LENGTH] | None = None

    @model_validator(mode="after")
    def _one(self) -> Marks:
        exactly_one(self, ("shape", "text", "texts", "number_from"))
        if self.shape is None and (self.text_at is None or self.text_height is None):
            raise ValueError("a text needs text_at = [x, y] and text_height")
        if self.shape is not None and (self.text_at is not None or self.text_height is not None):
            raise ValueError("text_at and text_height are only for a text; remove them")
        return self

    @property
    def shapes(self) -> list[str]:
        return [] if self.shape is None else [self.shape] if isinstance(self.shape, str) else list(self.shape)

    @property
    def differs(self) -> bool:
        """Whether every copy gets a different mark."""
        return self.texts is not None or self.number_from is not None

    def text_of(self, copy: int) -> str | None:
        """The text on a copy, counted from 0; None for shapes."""
        if self.texts is not None:
            return self.texts[copy]
        return self.text if self.number_from is None else str(self.number_from + copy)
