"""How many copies, and where: the number asked for on all boards, far enough apart, within the margin, off clamps."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from pathkit.jobs.audit import plane
from pathkit.jobs.audit.chamfers import chamfer_tracks, groove
from pathkit.jobs.audit.cuts import Place
from pathkit.jobs.audit.figures import CannotRead, Figure, Outline
from pathkit.jobs.audit.finished import features_of, outline_of
from pathkit.jobs.audit.levels import lap
from pathkit.jobs.audit.lines import contour_tracks
from pathkit.jobs.audit.report import Report
from pathkit.jobs.audit.tables import MARKS, Table, Tables
from pathkit.jobs.audit.tolerances import CHORD, COMMON, EXACT, HAIR, ROUNDING
from pathkit.jobs.audit.works import Copy, Work, takes_off

COPIES: Final = "copies as asked"

MOST_GAPS: Final = 20_000
"""The most places at which a gap is looked for."""

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Frame:
    """What copies are laid out by, in mm: the ``box`` of a piece as drawn, the ``kerf`` (diameter) of the bit that cuts
    round it, the radius of its ``lead``, and ``groove``: by how much the chamfers of two edges are wider than two
    kerfs."""

    box: Box
    kerf: float
    lead: float = 0.0
    groove: float = 0.0

    def size(self, turn: int) -> tuple[float, float]:
        width, depth = self.box[2] - self.box[0], self.box[3] - self.box[1]
        return (depth, width) if turn % 2 else (width, depth)

    def placed(self, place: Place) -> Box:
        left, front, right, back = self.box
        return plane.box([place.there([(left, front), (right, back)])])


@dataclass(frozen=True)
class Room:
    """mm that a layout keeps free: ``apart`` between two copies, ``margin`` to the board's edges."""

    apart: float
    margin: float

    @classmethod
    def of(cls, layout: Table, frame: Frame, *, facing: int = 1) -> Room:
        """By default copies lie two kerfs and a web apart, and a kerf less than that from the edge; the web is by
        default a kerf and what leads, of which ``facing`` may lie in one web, or chamfers take of it."""
        kerf = frame.kerf
        usual = kerf + max(facing * frame.lead, frame.groove)
        web = usual if layout["web"] is None else float(layout["web"])
        apart = 2.0 * kerf + web if layout["spacing"] is None else float(layout["spacing"])
        return cls(apart, apart - kerf if layout["margin"] is None else float(layout["margin"]))


def frame_of(tables: Tables, works: Sequence[Work], figures: Sequence[Mapping[str, Figure]]) -> Frame:
    """The box of the parts' outlines, or of all shapes if there are no outlines. Raises `CannotRead`."""
    outlines = [outline_of(tables, works, p) for p in range(len(tables.parts))]
    rings = [outline.outer for outline in outlines if outline is not None]
    unread = [reason for work in works for reason in work.unread.values()]
    if not rings and unread:
        raise CannotRead(unread[0])
    every = rings or [points for part in figures for figure in part.values() for points in figure.every]
    outside = [work for work in works if work.goes_round]
    # A chamfer is narrower than its bit.
    others = [work for work in works if work.kind != "chamfer"]
    kerf = max(work.asked.diameter for work in (outside or others or works))
    leads = [float(work.table["lead"]) for work in outside]
    # What a chamfer takes beyond a kerf is wood that a web has less of, on both sides of it.
    return Frame(plane.box(every), kerf, max(leads, default=0.0), max(2.0 * (groove(tables, works) - kerf), 0.0))


def places_of(
    copies: Sequence[Copy], works: Sequence[Work], tables: Tables, parts: Mapping[str, Table], turn: int
) -> list[Place]:
    """Where each copy lies if all are turned by ``turn`` quarters. Raises `CannotRead` if nothing shows it."""
    if tables.layout is None:
        return [Place() for _ in copies]
    return [place_of(copy, works, tables, parts, turn) for copy in copies]


def place_of(copy: Copy, works: Sequence[Work], tables: Tables, parts: Mapping[str, Table], turn: int) -> Place:
    """Where one copy lies if it is turned by ``turn`` quarters. Raises `CannotRead`."""
    for p, part in enumerate(tables.parts):
        if not copy.has(p):
            continue
        outline = outline_of(tables, works, p)
        made = parts.get(copy.called(part["name"]))
        if outline is not None and made is not None and made.get("outline") is not None:
            return _between(plane.turned(_edge(tables, outline), turn), plane.vertices_of(made["outline"]), turn)
        asked = [feature for work in works if work.part == p for feature in features_of(work)]
        there = [] if made is None else [*made.get("recesses", ()), *made.get("holes", ())]
        if asked and len(asked) == len(there):
            edges = [np.array(feature.region.exterior.coords) for feature in asked]
            found = [plane.vertices_of(feature["curve"]) for feature in there]
            return _between(plane.turned(np.concatenate(edges), turn), np.concatenate(found), turn)
    for work in works:
        # Marks, holes and the bit's path round a shape lie in every copy where the job file says.
        if work.kind in (*MARKS, "drill", "contour", "chamfer") and copy.of(work):
            drawn = [points for figure in work.on(copy.number).figures_of() for points in figure.every]
            if work.kind == "contour":
                allowance = float((work.table["finish"] or {}).get("allowance", 0.0))
                drawn = [track.points for track in contour_tracks(work, allowance=allowance).every]
            elif work.kind == "chamfer":
                drawn = [track.points for track in chamfer_tracks(work).every]
            found = [lap(path) for path in copy.of(work) if not takes_off(path)]
            return _between(plane.turned(np.concatenate(drawn), turn), np.concatenate(found), turn)
    raise CannotRead("the parts have no outline that shows where a copy lies")


def _edge(tables: Tables, outline: Outline) -> plane.Points:
    """The vertices (k, 2) of a part's edge as the fit moves it."""
    import shapely

    return shapely.get_coordinates(tables.fitted(plane.plate(outline.outer), stays=True))


def _between(drawn: plane.Points, made: plane.Points, turn: int) -> Place:
    (left, front, *_), (x, y, *_) = plane.box([drawn]), plane.box([made])
    return Place(round(x - left, 9), round(y - front, 9), turn)


def judge_copies(
    tables: Tables, frame: Frame, places: Sequence[Place], copies: Sequence[Copy], stock: Table, report: Report
) -> None:
    """The copies of a layout are numbered in order, within the margin, far enough apart, and off screws and clamps."""
    layout = tables.layout
    assert layout is not None
    room = Room.of(layout, frame)
    width = max(2, len(str(len(copies))))
    for k, copy in enumerate(copies, 1):
        if copy.number != f"{k:0{width}d}":
            report.add(COPIES, f"copy {k} is numbered {copy.number!r}", ("layout", "copies"))
            break
    boxes = [frame.placed(place) for place in places]
    # Where a copy lies is seen from its edge: if a fit moves that, it has other chords than the drawn one.
    slack = HAIR + (2.0 * CHORD if tables.job["fit"] else 0.0)
    low, high = room.margin - slack, (stock["width"] - room.margin + slack, stock["depth"] - room.margin + slack)
    for copy, (left, front, right, back) in zip(copies, boxes, strict=True):
        if left < low or front < low or right > high[0] or back > high[1]:
            what = f"copy {copy.number} lies less than {room.margin:g} mm from the board's edge"
            report.add(COPIES, what, ("layout", "margin"))
    for one, other, gap in _close(boxes, room.apart):
        what = (
            f"copies {copies[one].number} and {copies[other].number} lie {gap:.3f} mm apart, and {room.apart:g} mm are"
            " asked for"
        )
        report.add(COPIES, what, ("layout",))
    _judge_barred(frame, boxes, copies, stock, report)
    report.count(COPIES, "copies", len(copies))


def _close(boxes: Sequence[Box], apart: float) -> list[tuple[int, int, float]]:
    """Pairs of boxes nearer than ``apart`` mm along both axes, each with the gap between them."""
    import shapely

    array = np.array(boxes)
    one, other = shapely.STRtree(shapely.box(*array.T)).query([_around(box, apart) for box in boxes], "intersects")
    first, second = array[one], array[other]
    gaps = np.maximum(first[:, :2] - second[:, 2:], second[:, :2] - first[:, 2:]).max(axis=1)
    close = (one < other) & (gaps < apart - HAIR)
    return list(zip(one[close].tolist(), other[close].tolist(), gaps[close].tolist(), strict=True))


def _judge_barred(frame: Frame, boxes: Sequence[Box], copies: Sequence[Copy], stock: Table, report: Report) -> None:
    import shapely

    barred = [plane.plate(z["shape"]["exterior"]) for z in stock.get("zones", ()) if z["kind"] != "tape"]
    for copy, box in zip(copies, boxes, strict=True):
        area = shapely.box(box[0] - frame.kerf, box[1] - frame.kerf, box[2] + frame.kerf, box[3] + frame.kerf)
        if any(area.intersection(each).area > COMMON for each in barred):
            report.add(COPIES, f"copy {copy.number} and its kerf lie on a screw or clamp", ("layout",))


def judge_full(frame: Frame, room: Room, places: Sequence[Place], stock: Table, report: Report) -> None:
    """Beside screws and clamps, no gap in line with other copies has room for one more.

    A screw or clamp counts as its box, so that only gaps that rows laid between such boxes could fill are reported.
    """
    import shapely

    boxes = np.array([frame.placed(place) for place in places])
    size = boxes[0, 2:] - boxes[0, :2]
    across, along = (np.unique(np.round(boxes[:, k], 6)) for k in (0, 1))
    corners = np.stack([each.ravel() for each in np.meshgrid(across, along)], axis=1)
    if len(corners) > MOST_GAPS:
        report.leave_open(COPIES, "there are too many copies beside screws or clamps to look for gaps between them")
        return
    high = np.array([stock["width"], stock["depth"]]) - room.margin - size
    corners = corners[((corners >= room.margin) & (corners <= high)).all(axis=1)]
    barred = [plane.box([np.array(z["shape"]["exterior"])]) for z in stock["zones"] if z["kind"] != "tape"]
    kept = [*(_around(box, room.apart) for box in boxes.tolist()), *(_around(box, frame.kerf) for box in barred)]
    there = shapely.box(*corners.T, *(corners + size).T)
    taken = np.zeros(len(corners), dtype=bool)
    taken[shapely.STRtree(there).query(kept, predicate="intersects")[1]] = True
    for x, y in corners[~taken].tolist():
        report.add(COPIES, f"one more copy fits at ({x:.3f}, {y:.3f})", ("layout", "copies"))


def _around(box: Sequence[float], by: float) -> Any:
    """A box grown by ``by`` mm on all sides, less ten hairs: what only touches it does not lie in it."""
    import shapely

    by -= 10.0 * HAIR
    return shapely.box(box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def most_copies(tables: Tables, frame: Frame, board: Table) -> int | None:
    """How many copies plain rows hold; None if screws or clamps are in the way, or nothing fits."""
    layout = tables.layout
    assert layout is not None
    zones = [*board["zones"], *(zone for part in tables.parts for zone in part["zones"])]
    if any(zone["kind"] != "tape" for zone in zones):
        return None
    room = Room.of(layout, frame)
    counts = []
    for turn in turns_of(layout):
        size = frame.size(turn)
        sides = zip((float(board["width"]), float(board["depth"])), size, strict=True)
        fits = [
            math.floor((side - 2.0 * room.margin + room.apart) / (own + room.apart) + ROUNDING) for side, own in sides
        ]
        counts.append(max(0, fits[0]) * max(0, fits[1]))
    return max(counts) or None


def turns_of(layout: Table | None) -> tuple[int, ...]:
    """Quarters by which copies may lie turned: only 0 if the grain is kept."""
    return (0,) if layout is None or layout["keep_grain"] else (0, 1)


def judge_count(
    tables: Tables, most: int | None, here: tuple[int, int], boards: Sequence[tuple[int, int]], report: Report
) -> None:
    """Copies × boards. ``here`` (copies, times) is this folder's board, ``boards`` those of all folders of the machine;
    ``most`` is how many copies a board holds, None if that is not known."""
    layout = tables.layout
    key = ("layout", "copies")
    if here not in boards:
        what = f"the certificate counts no board of {here[0]} copies that is cut {here[1]} times"
        report.add(COPIES, what, key)
    if layout is None or layout["copies"] == "fill":
        if sum(times for _, times in boards) != 1:
            report.add(COPIES, f"there are {sum(t for _, t in boards)} boards, and one is asked for", key)
        if layout is not None and most is not None and here[0] != most:
            report.add(COPIES, f"there are {here[0]} copies, and the board holds {most}", key)
        return
    asked = int(layout["copies"])
    there = sum(count * times for count, times in boards)
    if there != asked:
        report.add(COPIES, f"there are {there} copies on all boards together, and {asked} are asked for", key)
    if most is not None:
        full, rest = divmod(asked, most)
        said = [(most, full)] * bool(full) + [(rest, 1)] * bool(rest)
        if sorted(boards) != sorted(said):
            told = " and ".join(f"{times} of {count} copies" for count, times in said)
            report.add(COPIES, f"the boards are {_words(boards)}, and {told} are asked for", key)


def judge_whole(name: str, tables: Tables, last: bool, report: Report) -> None:
    """The job's name, which the cut file and the sheet show."""
    said = str(tables.job["name"]) + (" last board" if last else "")
    if name != said:
        report.add(COPIES, f"the job is called {name!r}, and the job file says {said!r}", ("name",))


def judge_inside(works: Sequence[Work], copies: Sequence[Copy], places: Sequence[Place], tables: Tables, stock: Table,
                 report: Report) -> None:  # fmt: skip
    """Nothing of a part, and no mark, hole or groove, lies off the board."""
    for p, part in enumerate(tables.parts):
        try:
            outline = outline_of(tables, works, p)
        except CannotRead:
            continue
        for copy, place in zip(copies, places, strict=True):
            if outline is not None and copy.has(p) and _off(place.there(_edge(tables, outline)), stock) > EXACT:
                what = f"{copy.called(part['name'])!r} hangs over the edge of the board"
                report.add(COPIES, what, ("part", p), fix="move it, or take a larger board")
    for copy in copies:
        for work in works:
            if work.kind not in (*MARKS, "drill", "slot", "chamfer"):
                continue
            for path in copy.of(work):
                if _off(plane.vertices_of(path["curve"]), stock) > EXACT:
                    report.add(COPIES, "runs off the board", (*work.key, "shape"), toolpath=path["name"],
                               fix="move it, or take a larger board")  # fmt: skip


def _off(points: plane.Points, stock: Any) -> float:
    """How far (mm) points lie outside the board."""
    over = np.maximum(-points, points - np.array([stock["width"], stock["depth"]]))
    return float(over.max())


def _words(boards: Sequence[tuple[int, int]]) -> str:
    return " and ".join(f"{times} of {count} copies" for count, times in boards)
