"""What hangs over the board, lies outside its part, or reaches beyond its outline."""

from __future__ import annotations

import re

import pytest

from pathkit.errors import InputError
from tests.jobs.made import MARK, orders_from


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        # A tag of 60 mm on a board of 40 mm.
        ("width = 300", "width = 40", "hangs over the board: 20.00 mm at the right"),
        ("corner = [16, 8]", "corner = [66, 8]", "lies outside the outline of the part 'tag'"),
        ("bottom.from_top = 2", "bottom.from_top = 8", "it goes down to z = 0 mm, and the bed may be as high as 0 mm"),
    ],
)
def test_what_hangs_over_lies_outside_or_reaches_the_bed_is_refused(tags: str, old: str, new: str, what: str) -> None:
    with pytest.raises(InputError, match=re.escape(what)) as raised:
        orders_from(tags.replace(old, new))
    assert all(finding.line for finding in raised.value.findings)


def test_a_mark_outside_the_outline_is_refused(tags: str) -> None:
    text = tags.replace("hole.points", "mark.line = [[70, 5], [90, 5]]\nhole.points") + MARK
    with pytest.raises(InputError, match="lies outside the outline of the part 'tag'"):
        orders_from(text)


def test_a_mark_off_the_board_is_refused_where_no_outline_is_drawn(tags: str) -> None:
    text = tags[: tags.index("[[part.operations]]")].replace("hole", "mark.line = [[10, 5], [310, 5]]\nhole") + MARK
    with pytest.raises(InputError, match=r"hangs over the board: 10\.00 mm at the right"):
        orders_from(text)


@pytest.mark.parametrize(("more", "noted"), [("", True), ('open_edges = ["side"]', False)])
def test_a_recess_partly_beyond_its_outline_is_noted(tags: str, more: str, noted: bool) -> None:
    """36 × 14 mm, 10 mm of it beyond the long side: 36 × 10 mm, less two corners of (1 − π/4) 3²."""
    text = tags.replace("corner = [16, 8]", "corner = [12, 26]")
    text = text.replace("hole.points", "side.line = [[12, 40], [48, 40]]\nhole.points")
    (order,) = orders_from(text.replace("bottom.from_top = 2", f"bottom.from_top = 2\n{more}"))
    told = [str(note) for note in order.notes if "beyond the outline" in note.what]
    assert bool(told) is noted
    if noted:
        assert "'tag recess' reaches 356.1 mm² beyond the outline of the part 'tag'" in told[0]
