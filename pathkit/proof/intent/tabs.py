"""Tabs as the job asks: each stands, as wide and as high as asked, and they do not all stand on one side."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import partial
from typing import Final

import numpy as np
from numpy.typing import NDArray

from pathkit.findings import Finding
from pathkit.model.stock import Stock
from pathkit.model.toolpath import TAB_SLOPE, Tab, Toolpath
from pathkit.proof.ends import ends_of, in_which
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.intent.places import MOST
from pathkit.proof.material.stubs import half_way
from pathkit.proof.result import Verdict
from pathkit.tolerances import (
    HALF_COUNT,
    OVER_TAB,
    SAME_HEIGHT,
    TAB_NARROWER,
    TAB_STEP,
    TAB_WIDER,
)

Floats = NDArray[np.float64]

QUARTER: Final = 0.75
"""Share of a closed contour that may be without a tab if there are several: with more, all stand on one quarter."""


@check(
    "asked tabs",
    "board",
    "job",
    scope="whole",
    limits="It proves that as much wood is left as the job asks for, not that this is enough to hold the part.",
)
def asked_tabs(evidence: Evidence) -> Verdict:
    """Each tab stands where the job puts it, as wide and high as asked, with ends sloped or square as asked; several
    are spread round their contour."""
    job = evidence.job
    assert job is not None
    found: list[Finding] = []
    count = 0
    for index, path in enumerate(job.toolpaths):
        count += len(path.tabs)
        if path.tabs and len(found) < MOST:
            for tab in path.tabs:
                found += _one(evidence, index, path, tab)
            found += _spread(path)
    return Verdict(found[:MOST], figures={"tabs": count})


def half_gap(path: Toolpath, tab: Tab) -> float:
    """Half the length (mm) along the curve over which the bit must keep above a tab: its ends lie width + diameter
    apart in a straight line."""
    return half_way(path, tab, tab.width + path.tool.diameter)


def slope_run(path: Toolpath, tab: Tab, z: float, stock: Stock) -> float:
    """mm along the curve from where a sloped tab's full height ends to where its slope comes down to ``z``; 0 for a
    square tab. A slope of angle α falls by tan α for each mm."""
    if tab.shape != "sloped":
        return 0.0
    top = min(tab_top(stock, tab), path.highest(stock))
    return max(top - z, 0.0) / math.tan(math.radians(TAB_SLOPE))


def tab_top(stock: Stock, tab: Tab) -> float:
    """z (mm) up to which the wood of a tab stands: its height above the underside."""
    return ends_of(stock).highest_underside + tab.height


def _one(evidence: Evidence, index: int, path: Toolpath, tab: Tab) -> Iterator[Finding]:
    curve, half, top = path.curve, half_gap(path, tab), tab_top(evidence.board, tab)
    assert path.bottom is not None
    if top <= path.bottom + SAME_HEIGHT or not len(evidence.sections.rows(index)):
        # The cut ends above the tab, which then asks for nothing; or there is no cut, which `every_cut` reports.
        return
    reach = half + slope_run(path, tab, path.bottom, evidence.board) + 1.0
    around = np.linspace(-reach, reach, 2 * math.ceil(reach / TAB_STEP) + 1)
    stations = tab.at + around
    if not curve.closed:
        keep = (stations >= 0.0) & (stations <= curve.length)
        around, stations = around[keep], stations[keep]
    points = curve.along(stations)
    height = evidence.profiles.lowest_at(index, points, OVER_TAB)
    place = points[int(np.argmin(np.abs(around)))]
    where = f"the tab at ({place[0]:.1f}, {place[1]:.1f})"
    wide = _width(points, around, height, top - evidence.count - SAME_HEIGHT) - path.tool.diameter
    row = partial(evidence.profiles.row_near, index, place)
    if wide < tab.width - TAB_NARROWER - 2.0 * evidence.count:
        # None of it, or less than asked, stands at its full height.
        stands = max(wide, 0.0)
        x, y = place
        what = f"the tab at ({x:.1f}, {y:.1f}) is {stands:.2f} mm wide at {tab.height:g} mm above the underside"
        what += in_which(evidence.board, "highest")
        yield _finding(evidence, path, row, f"{what}; the job asks for {tab.width:g} mm")
    slack = HALF_COUNT * evidence.count + SAME_HEIGHT
    yield from _slopes(evidence, path, tab, (points, around, height), row)
    wide = _width(points, around, height, path.bottom + slack) - path.tool.diameter
    if tab.shape == "square" and wide > tab.width + TAB_WIDER and not _overlaps(path, tab, evidence.board):
        what = f"{where} is {wide:.2f} mm wide; the job asks for {tab.width:g} mm"
        yield _finding(evidence, path, row, what)
    over = float(height[int(np.argmin(np.abs(around)))])
    if over > min(top, evidence.board.highest_top) + slack and not _overlaps(path, tab, evidence.board):
        what = f"{where} stands up to z = {over:.3f} mm; the job asks for {top:.3f} mm"
        yield _finding(evidence, path, row, what)


def _width(
    points: NDArray[np.float64], around: NDArray[np.float64], height: NDArray[np.float64], above: float
) -> float:
    """Distance (mm) between the two places nearest to the middle, one on either side, where the bit comes down to
    ``above``; 0 if it does so at the middle."""
    low = height <= above
    left, right = np.flatnonzero(low & (around < 0.0)), np.flatnonzero(low & (around > 0.0))
    if low[int(np.argmin(np.abs(around)))]:
        return 0.0
    first = points[left[-1]] if len(left) else points[0]
    last = points[right[0]] if len(right) else points[-1]
    return math.dist(first, last)


def _slopes(
    evidence: Evidence, path: Toolpath, tab: Tab, over: tuple[Floats, Floats, Floats], row: Callable[[], int | None]
) -> Iterator[Finding]:
    """A sloped tab's foot: at several heights as wide as its slopes make it, neither less nor more."""
    if tab.shape != "sloped" or _overlaps(path, tab, evidence.board):
        return
    assert path.bottom is not None
    points, around, height = over
    top = min(tab_top(evidence.board, tab), path.highest(evidence.board))
    slack = HALF_COUNT * evidence.count + SAME_HEIGHT
    # How far the rounding of z moves a place along the slope.
    open_by = 2.0 * evidence.count / math.tan(math.radians(TAB_SLOPE))
    middle = points[int(np.argmin(np.abs(around)))]
    for z in (path.bottom, (path.bottom + top) / 2.0, path.bottom + 0.9 * (top - path.bottom)):
        station = half_gap(path, tab) + slope_run(path, tab, z, evidence.board)
        ends = [path.curve.at(tab.at + side * station)[:2] for side in (-1.0, 1.0)]
        wanted = math.dist(*ends) - path.tool.diameter
        wide = _width(points, around, height, z + slack) - path.tool.diameter
        if wanted - TAB_NARROWER - open_by <= wide <= wanted + TAB_WIDER + open_by:
            continue
        what = (
            f"the tab at ({middle[0]:.1f}, {middle[1]:.1f}) is {max(wide, 0.0):.2f} mm wide at z = {z:.3f} mm; its"
            f" slopes of {TAB_SLOPE:g} degrees ask for {wanted:.2f} mm there"
        )
        yield _finding(evidence, path, row, what)
        return


def _overlaps(path: Toolpath, tab: Tab, stock: Stock) -> bool:
    """Whether another tab's gap or foot runs into this one's, so that the two stand as one."""
    assert path.bottom is not None
    length, mine = path.curve.length, half_gap(path, tab) + slope_run(path, tab, path.bottom, stock)
    for other in path.tabs:
        if other is tab:
            continue
        apart = abs(other.at - tab.at)
        apart = min(apart, length - apart) if path.curve.closed else apart
        theirs = half_gap(path, other) + slope_run(path, other, path.bottom, stock)
        if apart < mine + theirs + TAB_WIDER + 1.0:
            return True
    return False


def _spread(path: Toolpath) -> Iterator[Finding]:
    if len(path.tabs) < 2 or not path.curve.closed:
        return
    at = sorted(tab.at for tab in path.tabs)
    widest = max(b - a for a, b in zip(at, [*at[1:], at[0] + path.curve.length], strict=True))
    if widest > QUARTER * path.curve.length:
        what = f"all its {len(at)} tabs stand on one quarter of its contour"
        yield Finding(check="asked tabs", what=what, fix="spread them round the contour", toolpath=path.name)


def _finding(evidence: Evidence, path: Toolpath, row: Callable[[], int | None], what: str) -> Finding:
    line = evidence.line(row())
    return Finding(check="asked tabs", what=what, fix="post the job again", line=line, toolpath=path.name)
