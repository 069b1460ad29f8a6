"""The kinds of parts on a board, and the measures of their finished shapes as text."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from string import ascii_uppercase
from typing import TYPE_CHECKING, Final

import numpy as np

from pathkit.model.curve import Curve
from pathkit.model.job import Feature, Job, Part
from pathkit.model.toolpath import Toolpath
from pathkit.texts.language import ENGLISH, Language
from pathkit.tolerances import SAME_PLACE
from pathkit.units import MM_PER_UNIT

if TYPE_CHECKING:
    from pathkit.handover.pages.picture import View
    from pathkit.handover.pages.seen_file import Seen

MOST_PLACES: Final = 8
"""Places of equal shapes that are listed one by one."""

_LIKE: Final = 3
"""Decimals of a millimetre to which the shapes of copies agree."""


@dataclass(frozen=True)
class Detail:
    """A shape of a part: ``text`` gives its measures, ``box`` (x0, y0, x1, y1) lies in mm from the part's left front
    corner; ``is_round`` shapes are measured by their middle."""

    letter: str
    text: str
    boxes: tuple[tuple[float, float, float, float], ...]
    is_round: bool


def kinds_of(job: Job) -> list[tuple[Part, int]]:
    """One part of each kind, and how many are like it: copies, moved and turned by quarters."""
    found: dict[bytes, tuple[Part, int]] = {}
    for part in job.parts:
        if part.outline is None and not (part.recesses or part.holes):
            continue
        key = _key(part)
        first, count = found.get(key, (part, 0))
        found[key] = first, count + 1
    return list(found.values())


def _key(part: Part) -> bytes:
    """The same for copies of a part, whatever quarter they are turned by."""
    features = [*part.recesses, *part.holes]
    curves = [*((part.outline,) if part.outline is not None else ()), *(feature.curve for feature in features)]
    points = np.concatenate([curve.points[:, :2] for curve in curves])
    sweeps = np.concatenate([curve.sweeps for curve in curves]).round(_LIKE).tobytes()
    depths = repr([(feature.bottom, feature.core, len(feature.curve.points)) for feature in features]).encode()
    depths += repr((part.skin, [(each.slope, each.bottom) for each in part.chamfers])).encode()
    quarter = np.array([[0.0, 1.0], [-1.0, 0.0]])
    views: list[bytes] = []
    for _ in range(4):
        # Adding zero makes minus zero zero.
        views.append((np.round(points - points.min(axis=0), _LIKE) + 0.0).tobytes())
        points = points @ quarter
    return sweeps + depths + min(views)


def details_of(one: Seen, part: Part, corner: tuple[float, float], say: Language = ENGLISH) -> list[Detail]:
    """The recesses, holes and openings of a part, those of the same size and depth together; places are counted from
    ``corner`` (mm, of the board as it lies)."""
    assert one.job is not None
    groups: dict[tuple[str, bool], list[tuple[float, float, float, float]]] = {}
    for feature in (*part.recesses, *part.holes):
        box = _box(feature.curve, one.view, corner)
        words, is_round = _form(one, feature, box, say)
        groups.setdefault((words, is_round), []).append(box)
    found = []
    for number, ((words, is_round), boxes) in enumerate(groups.items()):
        middles = [((x0 + x1) / 2.0, (y0 + y1) / 2.0) if is_round else (x0, y0) for x0, y0, x1, y1 in boxes]
        text = say(
            "sheet-detail", count=len(boxes), form=words, round="yes" if is_round else "no",
            places=", ".join(_place(one, place, say) for place in sorted(middles)[:MOST_PLACES]),
            more=max(0, len(middles) - MOST_PLACES),
        )  # fmt: skip
        letter = ascii_uppercase[number] if number < len(ascii_uppercase) else str(number + 1)
        found.append(Detail(letter, text, tuple(boxes), is_round))
    return found


def other_lines(
    one: Seen, part: Part, corner: tuple[float, float], size: tuple[float, float], say: Language = ENGLISH
) -> Iterator[str]:  # fmt: skip
    """Tabs, chamfers and engraving of a part, in words."""
    job = one.job
    assert job is not None
    paths = [path for path in job.toolpaths if path.part == part.name]
    for path in paths:
        if path.tabs and path.finishes is None:
            listed = ", ".join(_place(one, place, say) for place in sorted(_tab_places(one, path, corner, size)))
            wide, high = length(one, path.tabs[0].width, say), length(one, path.tabs[0].height, say)
            yield say("sheet-part-tabs", count=len(path.tabs), width=wide, height=high, places=listed)
    widths = {
        length(one, each.slope * ((job.stock.top if each.top is None else each.top) - each.bottom), say)
        for each in part.chamfers
    }
    for width in sorted(widths):
        yield say("sheet-part-chamfer", width=width)
    if job.by_beam:
        yield say("sheet-part-burnt")
    elif marks := [job.stock.top - path.lowest for path in paths if path.role == "engrave"]:
        yield say("sheet-part-engraving", depth=length(one, max(marks), say))


def tab_places(
    one: Seen, part: Part, corner: tuple[float, float], size: tuple[float, float]
) -> list[tuple[float, float]]:
    """Where the tabs of a part stand on its edges (mm from ``corner`` of the board as it lies)."""
    assert one.job is not None
    paths = [path for path in one.job.toolpaths if path.part == part.name]
    return [place for path in paths for place in _tab_places(one, path, corner, size)]


def _tab_places(
    one: Seen, path: Toolpath, corner: tuple[float, float], size: tuple[float, float]
) -> list[tuple[float, float]]:
    if not path.tabs:
        return []
    places = np.array([path.curve.at(tab.at)[:2] for tab in path.tabs])
    # The bit runs beside the part.
    seen = np.clip(one.view.points(places) - corner, 0.0, size)
    return [(x, y) for x, y in seen.tolist()]


def _place(one: Seen, place: tuple[float, float], say: Language) -> str:
    return say("sheet-point", x=length(one, place[0], say), y=length(one, place[1], say))


def length(one: Seen, mm: float, say: Language = ENGLISH) -> str:
    """A length of a part in the file's units, without the unit: to a hundredth of a millimetre or a thousandth of an
    inch."""
    text = f"{mm / MM_PER_UNIT[one.units]:.{3 if one.units == 'inch' else 2}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else say.number(text)


def _form(
    one: Seen, feature: Feature, box: tuple[float, float, float, float], say: Language
) -> tuple[str, bool]:  # fmt: skip
    """A feature's kind, size and depth in words, and whether it is round."""
    assert one.job is not None
    through = feature.bottom is None
    deep = "through" if feature.bottom is None else length(one, one.job.stock.top - feature.bottom, say)
    wide, long, kind = box[2] - box[0], box[3] - box[1], "opening" if through else "recess"
    is_round = _is_circle(feature.curve)
    if is_round:
        kind = "hole"
    elif (slot := _slot(feature.curve)) is not None:
        (wide, long), kind = slot, "slot"
    text = say(
        "sheet-form", kind=kind, width=length(one, wide, say), length=length(one, long, say), depth=deep,
        core=feature.core if through else "clear",
    )  # fmt: skip
    return text, is_round


def _is_circle(curve: Curve) -> bool:
    spans = curve.spans
    return bool((np.abs(spans.sweep) > 0.0).all() and np.ptp(spans.centre, axis=0).max() < SAME_PLACE)


def _slot(curve: Curve) -> tuple[float, float] | None:
    """Width and length of a shape with two half circles for its ends; None for any other."""
    spans = curve.spans
    half = np.isclose(np.abs(spans.sweep), math.pi)
    if len(spans.sweep) != 4 or half.sum() != 2 or (spans.sweep[~half] != 0.0).any():
        return None
    first, last = spans.centre[half]
    width = 2.0 * math.dist(spans.start[half][0][:2], first)
    return width, math.dist(first, last) + width


def _box(curve: Curve, view: View, corner: Sequence[float]) -> tuple[float, float, float, float]:
    corners = view.points(np.array(curve.bounds).reshape(2, 2)) - np.asarray(corner)
    (x0, y0), (x1, y1) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
    return x0, y0, x1, y1
