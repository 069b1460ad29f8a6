"""Depths of a job file as heights: how deep a cut goes, and whether every accepted board is fit for that depth."""

from __future__ import annotations

import math
from typing import Final

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs import schema
from pathkit.model.stock import Stock
from pathkit.model.tool import Tool
from pathkit.operations.chamfer import depth_of, slope_of
from pathkit.tolerances import LEAST_SKIN, ROUNDING, SAME_HEIGHT

THICKEST: Final = 0.5
"""Share of a skin. A job is refused if the underside may be that far from its nominal height: at a share of 1 the skin
could be cut through, or left twice as thick (common practice, no source)."""


def bottom_of(form: schema.Operation, stock: Stock, tool: Tool) -> float:
    """z of the bottom of an operation that is cut with ``tool``. Raises `InputError` if some accepted board is not fit
    for that depth."""
    if isinstance(form, schema.Burn):
        return stock.top
    if isinstance(form, schema.Chamfer):
        return _foot_of(form, stock, tool)
    bottom = height(form.bottom, stock)
    if isinstance(form, schema.Contour) and form.skin is not None:
        if form.side == "on" or bottom > stock.lowest_underside + SAME_HEIGHT:
            what = "skin is for a cut right through the board, and this cut does not go through"
            raise InputError([Finding(check="skin", what=what, fix="set bottom.through = true, or leave out skin")])
        _refuse_thin(form.skin, stock)
        return stock.underside + form.skin
    _refuse_unsound(bottom, stock)
    return bottom


def _refuse_thin(skin: float, stock: Stock) -> None:
    spread = stock.underside - stock.lowest_underside
    what = f"a skin of {skin:g} mm would be {skin - spread:.3g} to {skin + spread:.3g} mm thick"
    if spread > 0.0:
        key = "thickness_tolerance" if stock.z_zero == "top" else "underlay_tolerance"
        what = (
            f"a skin of {skin:g} mm would be {skin - spread:.3g} to {skin + spread:.3g} mm thick ({key} = {spread:g})"
        )
    if spread >= THICKEST * skin:
        fix = f"leave more than {spread / THICKEST:g} mm"
    elif skin - spread < LEAST_SKIN - SAME_HEIGHT:
        what = f"{what}, and one under {LEAST_SKIN:g} mm holds nothing"
        fix = f"leave at least {spread + LEAST_SKIN:g} mm: skin = {spread + LEAST_SKIN:g}"
    else:
        return
    if stock.z_zero == "top" and spread > 0.0:
        fix = f'{fix}, accept a narrower range of boards (thickness_tolerance), or set z_zero = "bed"'
    raise InputError([Finding(check="skin", what=what, fix=fix)])


def height(depth: schema.Depth, stock: Stock) -> float:
    """z of a depth that is given from the nominal top, from the bed, or past the underside of every accepted board."""
    if depth.from_top is not None:
        return stock.top - depth.from_top
    if depth.above_bed is not None:
        return stock.bed + depth.above_bed
    assert depth.through is not None
    return stock.through() if depth.through is True else stock.through(depth.through)


def edge_of(form: schema.Chamfer, stock: Stock) -> tuple[float, float, float]:
    """z of the edge that is bevelled: at its lowest, in a board that is as thick as it says, and at its highest."""
    edge = stock.top if form.top is None else height(form.top, stock)
    on_top = edge >= stock.top - ROUNDING
    return (stock.lowest_top, edge, stock.highest_top) if on_top else (edge, edge, edge)


def _foot_of(form: schema.Chamfer, stock: Stock, tool: Tool) -> float:
    """z of a chamfer's foot. Raises `InputError` for a bit without a cone, or with none so wide, and for a board that
    is accepted and has no such chamfer."""
    low, edge, high = edge_of(form, stock)
    slope = slope_of(tool, form.title)
    if edge > stock.top + SAME_HEIGHT:
        raise _no_chamfer("its edge lies above the board's top", "leave out top, or give top.from_top")
    foot = edge - depth_of(form.width, tool, form.title)
    if (widest := form.width + slope * (high - edge)) > tool.radius + SAME_HEIGHT:
        what = (
            f"its width would be {widest:.3g} mm on the thickest board, and the cone of {tool.name!r} reaches"
            f" {tool.radius:g} mm to each side"
        )
        raise _no_chamfer(what, f"width = {floored(tool.radius - slope * (high - edge))} at most, or a wider bit")
    if foot > low - SAME_HEIGHT:
        what = (
            f"it is {edge - foot:.3g} mm deep, and the top of the thinnest board lies {edge - low:.3g} mm lower:"
            " that board would have no chamfer"
        )
        fix = (
            f"width = more than {slope * (edge - low):.3g}, or accept fewer boards (thickness_tolerance), or set"
            ' z_zero = "top"'
        )
        raise _no_chamfer(what, fix)
    if foot < stock.highest_underside + SAME_HEIGHT:
        what = f"its foot lies at z = {foot:.3f} mm, and the underside may lie at {stock.highest_underside:g} mm"
        room = slope * (edge - stock.highest_underside)
        raise _no_chamfer(what, f"width = less than {floored(room)}, or a vee with a wider angle")
    return foot


def _no_chamfer(what: str, fix: str) -> InputError:
    return InputError([Finding(check="chamfer", what=what, fix=fix)])


def floored(width: float) -> str:
    """mm in hundredths, rounded down."""
    return f"{math.floor(100.0 * width + ROUNDING) / 100.0:g}"


def _refuse_unsound(bottom: float, stock: Stock) -> None:
    """Raises `InputError` for a bottom that leaves a floor in one accepted board and goes through another, that reaches
    the bed, or that lies above the top of the thinnest board."""
    bed, thin, thick = stock.highest_bed, stock.highest_underside, stock.lowest_underside
    if bottom < bed - SAME_HEIGHT or (stock.underlay > 0.0 and bottom < bed + SAME_HEIGHT):
        what = f"it goes down to z = {bottom:g} mm, and the bed may be as high as {bed:g} mm"
        raise InputError([Finding(check="depth", what=what, fix="cut less deep, or use a thicker underlay")])
    if thick + SAME_HEIGHT < bottom < thin + SAME_HEIGHT:
        what = f"it ends at z = {bottom:g} mm, and the underside may be anywhere from {thick:g} to {thin:g} mm"
        fix = "set bottom.through = true to cut every board right through, or cut less deep to leave a floor"
        raise InputError([Finding(check="depth", what=what, fix=fix)])
    if stock.lowest_top - SAME_HEIGHT < bottom < stock.highest_top - SAME_HEIGHT:
        what = f"it ends at z = {bottom:g} mm, and the top of the thinnest board is at {stock.lowest_top:g} mm"
        fix = 'cut deeper, accept a narrower range of boards (thickness_tolerance), or set z_zero = "top"'
        raise InputError([Finding(check="depth", what=what, fix=fix)])
