"""Colours of depths keep their order in grey; labels in pictures never cover one another."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pathkit.handover.pages.colours import ANCHORS, cividis, depth_colours, lightness
from pathkit.handover.pages.labels import Box, Label, Placed, around, box_of, place, shortened, width_of


def test_the_map_grows_evenly_in_lightness() -> None:
    values = [lightness(cividis(k / 64.0)) for k in range(65)]
    steps = np.diff(values)
    assert (steps > 0.0).all()
    assert steps.max() < 2.5 * steps.mean()
    assert [cividis(k / 8.0) for k in range(9)] == list(ANCHORS)


def test_lightness_is_that_of_the_standard() -> None:
    assert lightness("#000000") == pytest.approx(0.0)
    assert lightness("#ffffff") == pytest.approx(100.0, abs=1e-3)
    # Mid grey: L* of sRGB 119 is 50.03 (IEC 61966-2-1, ISO/CIE 11664-4).
    assert lightness("#777777") == pytest.approx(50.03, abs=0.01)


@pytest.mark.parametrize("count", range(2, 9))
def test_deeper_cuts_are_darker_by_what_a_reader_sees_in_grey(count: int) -> None:
    values = [lightness(colour) for colour in depth_colours(count)]
    assert all(shallow - deep > 5.0 for shallow, deep in pairwise(values))
    assert values[0] < 82.0, "seen on white paper"


def overlap(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def boxes_are_apart(placed: list[Placed], taken: list[Box], frame: Box) -> None:
    for index, one in enumerate(placed):
        assert frame[0] <= one.box[0] <= one.box[2] <= frame[2]
        assert frame[1] <= one.box[1] <= one.box[3] <= frame[3]
        assert not any(overlap(one.box, other.box) for other in placed[index + 1 :])
        assert not any(overlap(one.box, box) for box in taken)


PLACE = st.tuples(st.floats(0.0, 300.0), st.floats(0.0, 200.0))
LABELS = st.lists(st.tuples(PLACE, st.text(max_size=12), st.floats(4.0, 20.0), st.integers(0, 4)), max_size=40)


@given(LABELS, st.lists(st.tuples(PLACE, st.floats(1.0, 60.0), st.floats(1.0, 60.0)), max_size=10))
def test_labels_never_cover_one_another(
    drawn: list[tuple[tuple[float, float], str, float, int]], fixed: list[tuple[tuple[float, float], float, float]]
) -> None:
    frame = (0.0, 0.0, 300.0, 200.0)
    taken = [(x, y, x + wide, y + tall) for (x, y), wide, tall in fixed]
    labels = [Label(text, size, around(*at, 4.0, size), rank) for at, text, size, rank in drawn]
    placed = place(labels, taken, frame)
    boxes_are_apart(placed, taken, frame)
    for label in labels:
        if any(each.label is label for each in placed):
            continue
        # What is left out is in the way of something at least as important, at every spot.
        above = [each.box for each in placed if each.label.rank <= label.rank] + taken
        for x, y, anchor in label.spots:
            box = box_of(label.text, label.size, x, y, anchor)
            inside = box[0] >= 0.0 and box[1] >= 0.0 and box[2] <= 300.0 and box[3] <= 200.0
            assert not inside or any(overlap(box, other) for other in above)


@given(st.text(max_size=60), st.floats(30.0, 300.0))
def test_a_text_is_shortened_to_what_fits(text: str, width: float) -> None:
    assert width_of(shortened(text, 12.0, width), 12.0) <= width
