"""A close-up of one part of each kind: what its cut files do there, with the measures of its finished shape over it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from string import ascii_uppercase
from typing import Final

import numpy as np

from pathkit.handover.pages.board_drawing import (
    INK,
    DepthKey,
    Drawing,
    cuts_drawn,
    element,
    labelled,
    part_box,
    places_in,
    tabs_drawn,
)
from pathkit.handover.pages.labels import Label, around
from pathkit.handover.pages.measures import FONT, HALF, Frame, Row
from pathkit.handover.pages.part_kinds import Detail, details_of, kinds_of, length, other_lines, tab_places
from pathkit.handover.pages.path_data import short
from pathkit.handover.pages.seen_file import Seen
from pathkit.model.job import Part
from pathkit.texts.language import ENGLISH, Language

MOST_KINDS: Final = 12
"""Kinds that are drawn; a sheet with more would be a catalogue."""


@dataclass(frozen=True)
class CloseUp:
    """A kind of part: its ``title``, its drawing, and the measures of its shapes as lines of text."""

    title: str
    drawing: Drawing
    lines: tuple[str, ...]


def letters_of(one: Seen) -> dict[str, str]:
    """A letter for the part of each kind that is drawn close up, by its name; none where all are of one kind."""
    assert one.job is not None
    kinds = kinds_of(one.job)
    return {} if len(kinds) < 2 else {part.name: _letter(k) for k, (part, _) in enumerate(kinds)}


def close_ups(
    one: Seen, key: DepthKey, room: tuple[float, float], say: Language = ENGLISH
) -> tuple[CloseUp, ...]:  # fmt: skip
    """One part of each kind within ``room`` (width, height) units."""
    assert one.job is not None
    kinds = kinds_of(one.job)
    found = []
    for number, (part, count) in enumerate(kinds[:MOST_KINDS]):
        title = say("sheet-part-like", name=part.name, count=count - 1) if count > 1 else part.name
        title = say("sheet-lettered", letter=_letter(number), text=title) if len(kinds) > 1 else title
        found.append(_close_up(one, key, room, (part, title, number), say))
    if len(kinds) > MOST_KINDS:
        last = found[-1].drawing
        more = say("sheet-more-kinds", count=len(kinds) - MOST_KINDS)
        found[-1] = replace(found[-1], drawing=replace(last, notes=(*last.notes, more)))
    return tuple(found)


def _letter(number: int) -> str:
    return ascii_uppercase[number] if number < len(ascii_uppercase) else str(number + 1)


def _close_up(
    one: Seen, key: DepthKey, room: tuple[float, float], which: tuple[Part, str, int], say: Language
) -> CloseUp:  # fmt: skip
    part, title, number = which
    box = part_box(one, part)
    assert box is not None
    wide, deep = box[2] - box[0], box[3] - box[1]
    details = details_of(one, part, box[:2], say)
    lines = [say("sheet-lettered", letter=detail.letter, text=detail.text) for detail in details]
    lines += other_lines(one, part, box[:2], (wide, deep), say)
    tabs_at = tab_places(one, part, box[:2], (wide, deep))
    rows = [
        Row("near", _marks(one, details, [x for x, y in tabs_at if y in (0.0, deep)], (0, wide), say), INK),
        Row("left", _marks(one, details, [y for x, y in tabs_at if x in (0.0, wide)], (1, deep), say), INK),
    ]
    size = one.in_words(say)
    sizes = size(round(wide, 3)), size(round(deep, 3))
    frame = Frame(wide, deep, rows, room, sizes, one.widest)
    at = places_in(one, frame, box[:2])
    bulge = one.widest
    near = (box[0] - bulge, box[1] - bulge, box[2] + bulge, box[3] + bulge)
    cuts = one.motion.cuts
    ends = np.stack([one.view.points(cuts.start), one.view.points(cuts.end)])
    within = (ends.max(axis=0) >= near[:2]).all(axis=1) & (ends.min(axis=0) <= near[2:]).all(axis=1)
    _, drawn = cuts_drawn(one, cuts.take(within), at, frame.per_mm, key, f"part-{number}")
    edge = frame.edge
    clip = (
        f'<clipPath id="part-{number}-edge"><rect x="{short(frame.left - edge)}" y="{short(frame.top - edge)}"'
        f' width="{short(frame.right - frame.left + 2.0 * edge)}"'
        f' height="{short(frame.bottom - frame.top + 2.0 * edge)}"/></clipPath>'
    )
    tabs = tabs_drawn(one, at, frame.per_mm, (frame.left - edge, frame.top - edge, frame.right + edge,
                                              frame.bottom + edge))  # fmt: skip
    named = [_named(detail.letter, each, frame) for detail in details for each in detail.boxes]
    inside = (
        f'{clip}<g clip-path="url(#part-{number}-edge)">{"".join(drawn)}{tabs}</g>{frame.svg()}'
        f"{labelled(named, frame.boxes, frame)}"
    )
    told = say("sheet-part-told", title=title, across=sizes[0], away=sizes[1], lines="; ".join(lines))
    notes = (say("sheet-no-room-in-picture"),) if frame.crowded else ()
    return CloseUp(
        title, Drawing(element(f"part-{number}-text", frame, inside, told), frame.width, notes), tuple(lines)
    )


def _marks(
    one: Seen, details: Sequence[Detail], tabs: Sequence[float], along: tuple[int, float], say: Language
) -> tuple[tuple[float, str], ...]:  # fmt: skip
    """Where shapes begin and end along one side, and the middles of round ones and of tabs, each once."""
    axis, whole = along
    by_text = {length(one, mm, say): mm for mm in tabs}
    for detail in details:
        for box in detail.boxes:
            low, high = box[axis], box[axis + 2]
            for mm in ((low + high) / 2.0,) if detail.is_round else (low, high):
                if 0.0 < mm < whole:
                    by_text.setdefault(length(one, mm, say), mm)
    return tuple(sorted((mm, text) for text, mm in by_text.items()))


def _named(letter: str, box: tuple[float, float, float, float], frame: Frame) -> Label:
    """A letter in the middle of a shape, or beside it where that is smaller than the letter."""
    x, y = frame.x((box[0] + box[2]) / 2.0), frame.y((box[1] + box[3]) / 2.0)
    half = min(box[2] - box[0], box[3] - box[1]) * frame.per_mm / 2.0
    middle = (x, y + HALF, "middle")
    beside = around(x, y, half + 2.0, FONT)
    return Label(letter, FONT, (middle, *beside) if half > 0.7 * FONT else beside, kind="halo")  # type: ignore[arg-type]
