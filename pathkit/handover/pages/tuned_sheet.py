"""The sheet of a cut file that was made elsewhere: before and after, what was taken for granted, where zero is, what
was proved of it and what nobody knows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from pathkit.findings import Finding
from pathkit.handover.atomic_write import sha256
from pathkit.handover.pages import sheet
from pathkit.handover.pages.board_drawing import DepthKey
from pathkit.handover.pages.cautions import cautions
from pathkit.handover.pages.colours import TRAVEL
from pathkit.handover.pages.cuts import duration
from pathkit.handover.pages.names import height_name, in_turn, reach, size_name
from pathkit.handover.pages.render import rendered
from pathkit.handover.pages.seen_file import Seen, seen_texts, units_of, way_name
from pathkit.handover.pages.two_panels import two_panels
from pathkit.handover.tuned import LEFT_ON
from pathkit.lifting.board import GIVE
from pathkit.passes.fit_arcs import FitArcs
from pathkit.proof.frame import bench_frame
from pathkit.proof.same_cuts import NAME as SAME
from pathkit.texts.findings import in_words, said

if TYPE_CHECKING:
    from pathkit.handover.tuned import TunedFolder
    from pathkit.model.tool import Tool
    from pathkit.texts.language import Language

PANEL: Final = (354.0, 300.0)
"""Width and height of each picture, 96 units an inch on paper: two stand side by side."""

_OWN: Final = ("lift", "tune")
"""Checks whose findings say how the file was understood."""


def tuned_page(folder: TunedFolder) -> bytes:
    """UTF-8, self-contained; the same folder gives the same bytes."""
    from markupsafe import Markup

    tuned, say = folder.tuned, folder.say
    before, after = _seen(folder)
    key = DepthKey.of(after, before)
    pictures = two_panels((before, after), key, PANEL, say)
    context = {
        "title": tuned.job.name,
        "source": folder.told.name,
        "source_sha": sha256(folder.told.data),
        "machine": tuned.machine.name,
        "facts": _facts(folder),
        "warnings": _warnings(folder),
        "cautions": cautions(say),
        "rows": _rows(folder),
        "kept": tuned.kept_order,
        "pictures": [
            {"svg": Markup(svg), "name": say(name), "notes": notes}
            for (svg, notes), name in zip(pictures, ("tune-before", "tune-after"), strict=True)
        ],
        "key": key.rows(after, say),
        "travel": TRAVEL,
        "has_tabs": len(after.motion.tab_at) > 0,
        "assumed": assumed(folder),
        "zero": zero(folder),
        "steps": _steps(folder),
        "proved": proved(folder),
        "not_proved": not_proved(folder),
        "not_known": not_known(folder),
        "files": [{"name": name, "sha": sha256(folder.files[name])} for name in folder.cut_files],
    }
    return rendered("tuned.html", context, say)


def _seen(folder: TunedFolder) -> tuple[Seen, Seen]:
    """The file that was read, and what was made of it as it is read back."""
    tuned, told, say = folder.tuned, folder.told, folder.say
    unknown = frozenset(tool.name for tool in tuned.job.tools if not told.knows(tool))
    setup = tuned.posted.setup
    texts = {name: folder.files[name] for name in folder.cut_files}
    after = replace(seen_texts(texts, tuned.machine, setup, tuned.job), narrow=unknown)
    source = replace(told.source, name=say("tune-elsewhere"))
    zero_at = bench_frame(source, tuned.job.stock).datum[:2]
    units = units_of(told.data) or after.units
    before = Seen(told.name, tuned.lifted.program, source, setup, tuned.job, units, {}, zero_at, narrow=unknown)
    return before, after


def _facts(folder: TunedFolder) -> list[dict[str, str]]:
    tuned, say, stock, machine = folder.tuned, folder.say, folder.tuned.job.stock, folder.tuned.machine
    size = size_name(machine, _round_up(stock.width), _round_up(stock.depth), stock.thickness, say=say)
    bits = [_bit(folder, tool) for tool in tuned.job.tools]
    pairs = [
        ("sheet-fact-cut-file", in_turn(folder.cut_files, say)),
        ("sheet-fact-board", size if folder.told.board else say("tune-board-assumed", size=size)),
        ("sheet-fact-zero-xy", say("sheet-corner-of-board", corner=machine.origin)),
        ("sheet-fact-zero-z", say("sheet-zero-on-top" if stock.z_zero == "top" else "sheet-zero-on-bed")),
        ("sheet-fact-bit", ", ".join(bits)),
        ("sheet-fact-run-time", _time(folder, tuned.after.run_time)),
    ]
    return [{"name": say(name), "value": value} for name, value in pairs]


def _round_up(mm: float) -> float:
    return math.ceil(round(mm * 10.0, 6)) / 10.0


def _bit(folder: TunedFolder, tool: Tool) -> str:
    """What a bit is called: as wide as whoever asked has told."""
    say = folder.say
    if not folder.told.knows(tool):
        return _numbered("tune-bit-unknown", tool, say)
    size, angle = size_name(folder.tuned.machine, tool.diameter, say=say), say.number(f"{tool.angle or 0.0:g}")
    return _numbered("tune-bit", tool, say, kind=tool.kind, size=size, angle=angle)


def _numbered(name: str, tool: Tool, say: Language, **values: str) -> str:
    """A message, or the one of that name for a bit with a number."""
    return say(name, **values) if tool.number is None else say(f"{name}-number", number=f"{tool.number}", **values)


def _time(folder: TunedFolder, seconds: float | None) -> str:
    return "–" if seconds is None else folder.say("sheet-about-time", time=duration(seconds))


def _way(folder: TunedFolder, mm: float | None) -> str:
    return "–" if mm is None else way_name(mm, folder.tuned.machine.units, folder.say)


def _rows(folder: TunedFolder) -> list[dict[str, str]]:
    """Before and after; a row for each bit whose chips can be told."""
    tuned, say = folder.tuned, folder.say
    both = tuned.before, tuned.after
    rows = [
        ("tune-row-lines", [str(count) for count in tuned.lines]),
        (
            "tune-row-travel",
            ["–" if each.travel is None else way_name(each.travel, tuned.machine.units, say) for each in both],
        ),
        (
            "tune-row-vertical",
            ["–" if each.vertical is None else way_name(each.vertical, tuned.machine.units, say) for each in both],
        ),
        ("tune-row-retracts", ["–" if each.retracts is None else str(each.retracts) for each in both]),
        ("tune-row-time", [_time(folder, each.run_time) for each in both]),
    ]
    told = [{"name": say(name), "before": values[0], "after": values[1]} for name, values in rows]
    for tool in tuned.job.tools:
        if tool.name in folder.chips:
            before, after = (say.number(f"{mm:.3f} mm") for mm in folder.chips[tool.name])
            told.append({"name": say("tune-row-chip", bit=_bit(folder, tool)), "before": before, "after": after})
    return told


def _warnings(folder: TunedFolder) -> list[str]:
    """What to look at first: what is wrong with the file that was read, and what the proof warns of."""
    apart = {*_OWN, *LEFT_ON}
    read = (each for each in folder.understood if each.severity == "warning" and each.check not in apart)
    made = (each for each in folder.proved if each.severity == "warning")
    return list(
        dict.fromkeys(
            [
                *(_plain(each, folder) for each in read),
                *(said(each, folder.say, folder.tuned.machine.units) for each in made),
            ]
        )
    )


def assumed(folder: TunedFolder) -> list[str]:
    """What was taken for granted, changed or left out."""
    told, tuned, say = folder.told, folder.tuned, folder.say
    axes, lines = told.source.axes, []
    if not told.place:
        lines += [say("tune-assumed-place"), say("sheet-ways", x=axes.x, y=axes.y, z=axes.z)]
    if any(told.knows(tool) and tool.kind == "flat" for tool in tuned.job.tools):
        lines.append(say("tune-assumed-flat"))
    if told.spindle is not None:
        lines.append(say("tune-assumed-spindle", speed=say.number(f"{told.spindle:g}")))
    if told.fit is not None and any(each.check == FitArcs.name for each in tuned.findings):
        lines.append(say("tune-fitted", fit=size_name(tuned.machine, told.fit, say=say)))
    if told.steady is not None:
        least, most = (say.number(f"{100.0 * share:g}") for share in told.steady)
        lines.append(say("tune-steady", least=least, most=most))
    if folder.waits > 0.0:
        lines.append(say("tune-waits", seconds=say.number(f"{folder.waits:g}")))
    # That the board was assumed stands among the facts, and how large.
    own = (each for each in tuned.findings if each.check in _OWN and each.fix != GIVE)
    return [*lines, *dict.fromkeys(_plain(each, folder) for each in own)]


def _plain(finding: Finding, folder: TunedFolder) -> str:
    """What a finding says, with its line in the file that was read: what to do about it is over by now."""
    text = in_words(finding.what, folder.say, folder.tuned.machine.units)
    text = f"{text[:1].upper()}{text[1:]}"
    if finding.line is None:
        return folder.say("tune-finding", what=text)
    return folder.say("tune-finding-line", what=text, line=finding.line)


def zero(folder: TunedFolder) -> list[str]:
    """Where zero is; on a board of unknown size it is where the file had it."""
    tuned, say = folder.tuned, folder.say
    job, machine, stock = tuned.job, tuned.machine, folder.tuned.job.stock
    if folder.told.board:
        return sheet.zero(job, machine, say)
    width, depth = (size_name(machine, _round_up(mm), say=say) for mm in (stock.width, stock.depth))
    lines = [say("tune-zero-as-before", corner=machine.origin, width=width, depth=depth), say("sheet-zero-z-top")]
    lines += sheet.start_place(machine, say)
    axes = machine.axes
    lines.append(say("sheet-ways", x=axes.x, y=axes.y, z=axes.z))
    return [*lines, *([say("sheet-in-inches")] if machine.units == "inch" else [])]


def _steps(folder: TunedFolder) -> list[str]:
    """From preparation to the end, in order."""
    tuned, say = folder.tuned, folder.say
    job, machine, stock = tuned.job, tuned.machine, tuned.job.stock
    size = size_name(machine, _round_up(stock.width), _round_up(stock.depth), say=say)
    thick, first = size_name(machine, stock.thickness, say=say), job.tools[0]
    under = size_name(machine, stock.underlay, say=say)
    board = "tune-step-board" if folder.told.board else "tune-step-board-unknown"
    manual = machine.spindle.control == "manual"
    fit = say("tune-step-fit", bit=_bit(folder, first), reach=size_name(machine, reach(job, first), say=say))
    return [
        say("sheet-step-cautions"),
        say(board, size=size, thickness=thick),
        *([say("sheet-step-underlay", thickness=under)] if stock.underlay else []),
        say("tune-step-fix"),
        fit if folder.told.knows(first) else say("tune-step-fit-unknown"),
        say("sheet-step-directions"),
        say("tune-step-zero"),
        *sheet.start_height(job, machine, say),
        say("sheet-step-air", file=in_turn(folder.air_files, say)),
        say("sheet-step-cut-manual" if manual else "sheet-step-cut", file=in_turn(folder.cut_files, say)),
        say("sheet-step-watch"),
        *_changes(folder),
        *([say("sheet-step-end-manual")] if manual else []),
        say("sheet-step-stopped"),
        say("sheet-step-keep"),
    ]


def _changes(folder: TunedFolder) -> list[str]:
    count = len(folder.tuned.job.tools)
    if count == 1:
        return []
    return [folder.say("tune-step-files" if len(folder.cut_files) > 1 else "tune-step-changes", count=count)]


_ALWAYS: Final = (
    (("controller", "unknown state", "events", "end state"), "sheet-proved-controller"),
    (("travel limits", "room", "axis feeds", "feeds"), "sheet-proved-room"),
)


def proved(folder: TunedFolder) -> list[str]:
    """What was proved, for people: a sentence where every check behind it has passed."""
    proof, say = folder.tuned.proof, folder.say
    passed = {check.name for check in proof.checks if check.status == "passed"}
    there = {check.name for check in proof.checks}
    lines = []
    if SAME in passed:
        lines.append(say("tune-proved-same"))
    if "no deeper bite" in passed and folder.knows_wood:
        lines.append(say("tune-proved-bite"))
    if "rapids clear the wood" in passed:
        lines.append(say("tune-proved-rapids"))
    lines += [say(name) for names, name in _ALWAYS if (behind := there.intersection(names)) and behind <= passed]
    if folder.twin_proof.ok:
        lines.append(say("sheet-proved-air"))
    deviation = proof.deviation
    return (
        [*lines, say("tune-read-back", deviation=say.number(f"{deviation:.4f} mm"))]
        if deviation == deviation
        else lines
    )


def not_proved(folder: TunedFolder) -> list[str]:
    """What nothing in a cut file can show, and what the proof of this one leaves open."""
    tuned, say = folder.tuned, folder.say
    height = height_name(tuned.lifted.height, tuned.machine, say)
    above = size_name(tuned.machine, tuned.machine.heights.travel, say=say)
    lines = [
        say("tune-open-no-clamps", height=above) if folder.told.clear else say("tune-open-clamps", height=height),
        say("tune-open-hold"),
        say("tune-open-bit"),
        say("tune-open-feeds"),
    ]
    if tuned.proof[SAME].status == "not run":
        lines.append(say("tune-open-altered"))
    left = [check for check in tuned.proof.checks if check.status == "not proved" and check.name != "holding"]
    units = tuned.machine.units
    whys = ((in_words(check.name, say), in_words(check.reason or check.limits, say, units)) for check in left)
    return [*lines, *(say("sheet-not-proved-check", check=name, why=why) for name, why in whys)]


def not_known(folder: TunedFolder) -> Sequence[str]:
    """What the file does not say, and nobody else has."""
    told, say, tools = folder.told, folder.say, folder.tuned.job.tools
    lines = [] if told.board else [say("tune-unknown-board")]
    lines.append(say("tune-unknown-material"))
    lines += [_numbered("tune-unknown-bit", tool, say) for tool in tools if not told.knows(tool)]
    known = [tool for tool in tools if told.knows(tool) and tool.name not in told.flutes]
    lines += [say("tune-unknown-flutes", bit=_bit(folder, tool)) for tool in known]
    if not folder.knows_wood:
        lines.append(say("tune-unknown-loose"))
    return [*lines, say("tune-unknown-hold"), say("tune-unknown-maker")]
