"""A cut file drawn as SVG from its text as it is read back: what it cuts, how deep, and where the bit travels.

Lengths of the picture are in units of which a screen shows one as one pixel; x to the right, y down.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from typing import Final

from pathkit.errors import InputError
from pathkit.handover.pages.colours import depth_colours
from pathkit.handover.pages.cut_layers import KEEP_OUT, TAPE
from pathkit.handover.pages.file_panel import TRAVEL_LINE, Panel, Scale, box_in_mm, drawn_text
from pathkit.handover.pages.labels import shortened, width_of
from pathkit.handover.pages.path_data import in_xml, one_line, short
from pathkit.handover.pages.seen_file import Seen, summary, way_name
from pathkit.handover.pages.strokes import Floats, depth_classes, together
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import MM_PER_UNIT

MOST_CLASSES: Final = 7
"""Depths that are told apart by colour; more shades than that can hardly be found again in the key."""

_EDGE: Final = 24.0
_HEAD: Final = 54.0
_FOOT: Final = 40.0
_LONE: Final = (760.0, 620.0)
_PAIR: Final = (500.0, 520.0)
_FONT: Final = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif"


def file_picture(files: Sequence[Seen], say: Language = ENGLISH) -> str:
    """One cut file, or two of the same board side by side (before and after), as an SVG file.

    Both are drawn to one scale, with the same colours for the same depths. A million moves make a picture of bounded
    size: each place is drawn once, and what is finer than the picture shows is left out.

    Raises `InputError` for two files whose heights do not mean the same.
    """
    last = files[-1]
    tops = {round(one.top, 3) for one in files if one.top is not None}
    if len(tops) > 1:
        high = " and ".join(f"z = {top:g} mm" for top in sorted(tops))
        raise InputError(
            f"the tops of the two boards are at {high}, so one key cannot tell their depths; draw each alone"
        )
    cuts = together([each.motion.cuts for each in files])
    floors = depth_classes(cuts, last.top, MM_PER_UNIT[last.units], MOST_CLASSES)
    colours = depth_colours(len(floors))
    size = _LONE if len(files) == 1 else _PAIR
    scale = Scale(box_in_mm(files), *size)
    parts: list[str] = []
    left = _EDGE
    for number, one in enumerate(files):
        panel = Panel(one, scale, (left, _HEAD), floors, colours, f"p{number}", say)
        parts.append(panel.svg())
        parts += _caption(files, number, left, _HEAD + scale.height, scale.width, panel.notes, say)
        left += scale.width + _EDGE
    key, key_width, key_height = _key(files, floors, colours, (left, _HEAD), say)
    parts += key
    width = left + key_width + _EDGE
    height = _HEAD + max(scale.height + _FOOT, key_height) + _EDGE / 2.0
    return _sheet(files, parts, (width, height), say)


def as_png(svg: str, zoom: float = 2.0) -> bytes:
    """The picture as PNG, ``zoom`` pixels a unit. Raises `InputError` if the extra ``png`` is not installed.

    Warns if this system has no font for the labels: they would be missing without a word.
    """
    try:
        import resvg_py
    except ImportError:
        what = "pictures in PNG need the extra 'png': pip install 'pathkit-cam[png]', or write an .svg"
        raise InputError(what) from None
    blank, lettered = (resvg_py.svg_to_bytes(svg_string=_PROBE.format(text)) for text in ("", "M"))
    if blank == lettered:
        warnings.warn("no sans-serif font was found: labels are missing in the PNG; write an .svg", stacklevel=2)
    return bytes(resvg_py.svg_to_bytes(svg_string=svg, zoom=zoom))


_PROBE: Final = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="20" height="20">'
    f'<text x="2" y="16" font-size="16" font-family="{_FONT}">{{}}</text></svg>'
)


def _sheet(files: Sequence[Seen], parts: Sequence[str], size: tuple[float, float], say: Language) -> str:
    last, (width, height) = files[-1], size
    name = last.file if last.job is None else last.job.name
    each = [say("draw-for", file=one.file, machine=one.machine.name) for one in files]
    told = each[0] if len(each) == 1 else say("draw-before-after", before=each[0], after=each[1])
    room = width - 2.0 * _EDGE
    head = [
        drawn_text(shortened(one_line(name), 17.0, room), _EDGE, 26.0, 17.0, "start", "title"),
        drawn_text(shortened(one_line(told), 11.0, room), _EDGE, 43.0, 11.0, "start", "faint"),
    ]
    title = say("draw-what-files" if len(files) > 1 else "draw-what-file", name=name)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {short(width)} {short(height)}"'
        f' width="{short(width)}" height="{short(height)}" role="img" aria-labelledby="picture-title picture-text"'
        f' font-family="{_FONT}">'
        f'<title id="picture-title">{in_xml(title)}</title><desc id="picture-text">{in_xml(summary(files, say))}</desc>'
        f'<rect width="100%" height="100%" fill="#ffffff"/>{"".join(head)}{"".join(parts)}</svg>\n'
    )


def _caption(
    files: Sequence[Seen], number: int, left: float, top: float, width: float, notes: Sequence[str], say: Language
) -> list[str]:
    one = files[number]
    motion = one.motion
    length, before = way_name(motion.travel_length, one.units, say), files[0].motion.travel_length
    travel = say("draw-travel", travel=length)
    if number and before > 0.0:
        share = round(100.0 * (1.0 - motion.travel_length / before))
        travel = say("draw-travel-less" if share >= 0 else "draw-travel-more", travel=length, percent=abs(share))
    if len(files) > 1:
        travel = say("draw-is-after" if number else "draw-is-before", caption=travel)
    rest = say("draw-cuts", cuts=way_name(motion.cut_length, one.units, say), toolpaths=len(motion.starts))
    lines = [(travel, 13.0, "strong"), (". ".join([rest, *notes]), 11.0, "faint")]
    y, out = top + 17.0, []
    for text, size, kind in lines:
        out.append(drawn_text(shortened(one_line(text), size, width), left, y, size, "start", kind))
        y += 17.0
    return out


def _key(
    files: Sequence[Seen], floors: Floats, colours: Sequence[str], corner: tuple[float, float], say: Language
) -> tuple[list[str], float, float]:
    """What colours and marks mean: its elements, width and height. Only what is there is explained."""
    one, (left, top) = files[-1], corner
    zones = [zone for each in files if each.job is not None for zone in each.job.stock.zones]
    there = {
        "bit": any(each.widest > 0.0 for each in files),
        "travel": any(len(each.motion.travel) for each in files),
        "start": any(len(each.motion.starts) for each in files),
        "tab": any(len(each.motion.tab_at) for each in files),
        "zero": True,
        "tape": any(zone.kind == "tape" for zone in zones),
        "clamp": any(zone.is_keep_out for zone in zones),
    }
    y = top + 10.0
    out: list[str] = []
    texts: list[tuple[str, float]] = []

    def write(text: str, x: float, size: float = 11.0, kind: str = "plain") -> None:
        out.append(drawn_text(text, left + x, y, size, "start", kind))
        texts.append((text, x + width_of(text, size)))

    if len(floors):
        write(say("draw-depths"), 0.0, 12.0, "strong")
        y += 15.0
        write(say("draw-down-to" if one.top is None else "draw-below-top"), 0.0, 10.0, "faint")
        y += 8.0
        for floor, colour in zip(floors.tolist(), colours, strict=True):
            out.append(f'<rect x="{short(left)}" y="{short(y)}" width="34" height="14" fill="{colour}" opacity="0.3"/>')
            out.append(f'<path d="M{short(left)} {short(y + 7.0)}h34" stroke="{colour}" stroke-width="3"/>')
            y += 11.0
            depth, at = say.number(one.depth_word(floor)), say.number(one.z_word(floor))
            write(depth or at, 42.0)
            if depth:
                write(at, 42.0 + 66.0, 11.0, "faint")
            y += 8.0
        y += 20.0
    write(say("draw-marks"), 0.0, 12.0, "strong")
    y += 20.0
    for name, mark, words in _MARKS:
        if not there[name]:
            continue
        out.append(f'<g transform="translate({short(left)} {short(y - 4.0)})">{mark}</g>')
        write(say(words), 42.0)
        y += 20.0
    return out, max(width for _, width in texts), y - top


_MARKS: Final = (
    ("bit", '<path d="M5 0H29" stroke="#61656f" stroke-width="12" stroke-linecap="round" opacity="0.3"/>'
     '<path d="M5 0H29" stroke="#61656f" stroke-width="1.4"/>', "draw-mark-bit"),
    ("travel", f'<path d="M0 0H34" {TRAVEL_LINE}/>', "draw-mark-travel"),
    ("start", '<circle cx="17" r="2.6" fill="#ffffff" stroke="#111111" stroke-width="1.1"/>',
     "draw-mark-start"),
    ("tab", '<path d="M0 0H34" stroke="#61656f" stroke-width="1.4"/>'
     '<path d="M17 -6V6" stroke="#000000" stroke-width="2.6"/>',
     "draw-mark-tab"),
    ("zero", '<circle cx="17" r="5" fill="#111111"/><circle cx="17" r="1.8" fill="#ffffff"/>', "draw-mark-zero"),
    ("tape", f'<rect y="-6" width="34" height="12" {TAPE}/>', "draw-mark-tape"),
    ("clamp", f'<rect y="-6" width="34" height="12" {KEEP_OUT}/>', "draw-mark-clamp"),
)  # fmt: skip
