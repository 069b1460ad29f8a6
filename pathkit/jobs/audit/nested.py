"""Parts that are laid out one by one: as many of each as asked for, at the places given, apart, on the board.

Outlines are compared as areas, whatever laid them out; whether they could lie closer together is not judged.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.copies import COPIES, Frame, Room
from pathkit.jobs.audit.cuts import Place
from pathkit.jobs.audit.figures import CannotRead, Figure
from pathkit.jobs.audit.finished import outline_of
from pathkit.jobs.audit.report import Report
from pathkit.jobs.audit.tables import Table, Tables
from pathkit.jobs.audit.tolerances import CHORD, EXACT, HAIR
from pathkit.jobs.audit.works import Copy, Work

SLACK: Final = 2.0 * CHORD + 10.0 * HAIR
"""mm: chords of two outlines, and rounding."""


@dataclass(frozen=True)
class Lying:
    """A copy on the board: its part, what it is called, its area (shapely), whether the job file gives its place."""

    part: int
    name: str
    area: Any
    fixed: bool


def turns_of_part(tables: Tables, part: int) -> tuple[int, ...]:
    """Quarters by which a part may lie turned: as given; 0 at a given place; else along a kept grain, or any."""
    told = tables.parts[part]["turn"]
    if told is not None:
        return (int(told),)
    if tables.parts[part]["at"] is not None:
        return (0,)
    return (0, 2) if tables.room["keep_grain"] else (0, 1, 2, 3)


def lying(
    tables: Tables, works: Sequence[Work], figures: Sequence[Mapping[str, Figure]], copies: Sequence[Copy],
    places: Sequence[Place],
) -> list[Lying]:  # fmt: skip
    """Every copy with its area on the board; without an outline, the box of its shapes. Raises `CannotRead`."""
    import shapely

    found: list[Lying] = []
    for copy, place in zip(copies, places, strict=True):
        assert copy.part is not None
        part = tables.parts[copy.part]
        outline = outline_of(tables, works, copy.part)
        if outline is None:
            unread = [reason for work in works if work.part == copy.part for reason in work.unread.values()]
            if unread:
                raise CannotRead(unread[0])
            box = plane.box([points for figure in figures[copy.part].values() for points in figure.every])
            ring = np.array([box[:2], (box[2], box[1]), box[2:], (box[0], box[3])])
        else:
            ring = outline.outer
        area = shapely.make_valid(shapely.Polygon(place.there(ring)))
        found.append(Lying(copy.part, copy.called(part["name"]), area, part["at"] is not None))
    return found


def judge_nested(
    tables: Tables, there: Sequence[Lying], places: Sequence[Place], frame: Frame, stock: Table, report: Report
) -> None:
    """Copies lie at the places given, within the margin, off screws and clamps, and apart from each other."""
    import shapely

    # Parts may lie turned to each other.
    room, kerf = Room.of(tables.room, frame, facing=2), frame.kerf
    barred = [plane.plate(zone["shape"]["exterior"]) for zone in stock.get("zones", ()) if zone["kind"] != "tape"]
    for each, place in zip(there, places, strict=True):
        key = ("part", each.part, "at")
        left, front, right, back = each.area.bounds
        margin = 0.0 if each.fixed else room.margin
        if min(left, front, stock["width"] - right, stock["depth"] - back) < margin - SLACK:
            report.add(
                COPIES, f"{each.name!r} lies less than {margin:g} mm from the board's edge", ("layout", "margin")
            )
        if any(each.area.distance(zone) < kerf - SLACK for zone in barred):
            report.add(COPIES, f"{each.name!r} and its kerf lie on a screw or clamp", ("part", each.part))
        at = tables.parts[each.part]["at"]
        if at is not None and max(abs(left - at[0]), abs(front - at[1])) > EXACT:
            what = (
                f"the front left corner of {each.name!r} lies at ({left:.3f}, {front:.3f}), and ({at[0]:g}, {at[1]:g})"
                " is asked for"
            )
            report.add(COPIES, what, key)
        if place.turn not in turns_of_part(tables, each.part):
            what = f"{each.name!r} lies turned by {place.turn} quarters, which is not allowed"
            report.add(COPIES, what, ("part", each.part, "turn"))
    areas = np.array([each.area for each in there], dtype=object)
    if len(areas) > 1:
        one, other = shapely.STRtree(areas).query(areas, predicate="dwithin", distance=room.apart)
        for k, m in zip(one.tolist(), other.tolist(), strict=True):
            if k < m:
                _judge_apart(there[k], there[m], room.apart, kerf, report)
    report.count(COPIES, "copies", len(there))


def _judge_apart(one: Lying, other: Lying, apart: float, kerf: float, report: Report) -> None:
    wanted = kerf if one.fixed and other.fixed else apart
    gap = one.area.distance(other.area)
    if gap >= wanted - SLACK:
        return
    what = f"{one.name!r} and {other.name!r} lie {gap:.3f} mm apart, and {wanted:g} mm are asked for"
    what = what if gap > 0.0 else f"{one.name!r} and {other.name!r} overlap"
    report.add(COPIES, what, ("part", other.part))


def judge_quantities(
    tables: Tables, copies: Sequence[Copy], times: int, boards: Sequence[Sequence[int]], report: Report
) -> None:
    """All boards together have as many of each part as asked for, and this one as many as the certificate counts."""
    counts = [sum(copy.part == p for copy in copies) for p in range(len(tables.parts))]
    if (len(copies), times, *counts) not in [tuple(board) for board in boards]:
        what = f"the certificate counts no board of {_told(tables, counts)} that is cut {times} times"
        report.add(COPIES, what, ("part",))
    if any(len(board) != 2 + len(counts) or board[0] != sum(board[2:]) for board in boards):
        report.add(COPIES, "the certificate does not count the copies of each part", ("part",))
        return
    for p, part in enumerate(tables.parts):
        asked = part["quantity"] or 1
        over_all = sum(board[1] * board[2 + p] for board in boards)
        if over_all != asked:
            what = f"there are {over_all} of {part['name']!r} on all boards together, and {asked} are asked for"
            report.add(COPIES, what, ("part", p, "quantity"))
        numbers = [copy.number for copy in copies if copy.part == p]
        if not any(numbers == each for each in _numbers(tables, p, counts, asked, boards)):
            what = f"copies of {part['name']!r} have wrong numbers: {', '.join(map(str, numbers[:8]))}"
            report.add(COPIES, what, ("part", p, "quantity"))


def _numbers(
    tables: Tables, part: int, counts: Sequence[int], asked: int, boards: Sequence[Sequence[int]]
) -> Iterator[list[str]]:
    """How the copies of a part may be numbered on this board: from 01, or, if marked, on from the boards before it."""
    if not tables.marked:
        width = max(2, len(str(counts[part])))
        yield [f"{k:0{width}d}" for k in range(1, counts[part] + 1)]
        return
    width, before = max(2, len(str(asked))), 0
    for board in boards:
        if list(board[2:]) == list(counts):
            yield [f"{before + k:0{width}d}" for k in range(1, counts[part] + 1)]
        before += board[1] * board[2 + part]


def judge_title(
    name: str, tables: Tables, here: Sequence[int], boards: Sequence[Sequence[int]], report: Report
) -> None:
    """The job's name, which the cut file and the sheet show; with this board's number if there are several."""
    said = str(tables.job["name"])
    titles = [f"{said} board {k}" for k, board in enumerate(boards, 1) if tuple(board) == tuple(here)]
    if len(boards) == 1:
        titles = [said]
    if name not in titles:
        report.add(COPIES, f"the job is called {name!r}, and the job file says {said!r}", ("name",))


def _told(tables: Tables, counts: Sequence[int]) -> str:
    return ", ".join(f"{n} of {part['name']!r}" for part, n in zip(tables.parts, counts, strict=True) if n) or "nothing"
