"""The text of a setup sheet, as plain text and rows: from the job as it is cut, its machine, and what was proved."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import fields
from typing import TYPE_CHECKING, Any, Final

from pathkit.findings import Finding, grouped
from pathkit.handover import report as reports
from pathkit.handover.pages import beam
from pathkit.handover.pages.board_drawing import edges_of
from pathkit.handover.pages.changes import change_steps
from pathkit.handover.pages.cuts import duration
from pathkit.handover.pages.names import (
    bit_name,
    fit_name,
    height_name,
    in_turn,
    place_name,
    range_name,
    reach,
    size_name,
)
from pathkit.handover.revision import PREVIEW
from pathkit.jobs.fit import NOTED
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.passes.earlier_order import CHECK
from pathkit.proof.certificate import NOT_PROVED
from pathkit.proof.verify import FOR_BITS
from pathkit.registry import capabilities_of
from pathkit.texts.findings import in_words, said
from pathkit.texts.language import ENGLISH, Language
from pathkit.tolerances import SAME_HEIGHT
from pathkit.units import MM_PER_INCH

if TYPE_CHECKING:
    from pathkit.handover.pages.seen_file import Seen
    from pathkit.handover.result import Folder
    from pathkit.jobs.order import Order
    from pathkit.jobs.strength import Strength

_CORNER: Final = {
    "front-left": "the front left corner", "front-right": "the front right corner",
    "back-left": "the back left corner", "back-right": "the back right corner", "centre": "the middle",
}  # fmt: skip
_JOG: Final = "before each start jog it to {} of the board, its tip on the top; the air cut as well"
"""As findings say it."""


def facts(folder: Folder) -> list[dict[str, str]]:
    """What people look for first."""
    job, order, stock, machine = folder.job, folder.order, folder.job.stock, folder.machine
    say = order.language
    board = size_name(machine, stock.width, stock.depth, stock.thickness, say=say)
    if order.material:
        known = order.material == order.wood
        material = say("sheet-material", material=order.material) if known else order.material
        board = say("sheet-board-of", material=material, size=board)
    pairs = [
        ("sheet-fact-board", board),
        ("sheet-fact-cut-file", in_turn(folder.cut_files, say)),
        ("sheet-fact-zero-xy", say("sheet-corner-of-board", corner=machine.origin)),
        ("sheet-fact-zero-z", say("sheet-zero-on-top" if stock.z_zero == "top" else "sheet-zero-on-bed")),
        ("sheet-fact-run-time", run_time_words(folder)),
        ("sheet-fact-bit", ", ".join(bit_name(tool) for tool in job.tools)),
        ("sheet-fact-parts", _parts(order, job)),
        ("sheet-fact-lies", say("sheet-turned", turn=order.setup.turn)),
    ]
    return [{"name": say(name), "value": value} for name, value in pairs]


def fit_words(order: Order) -> str:
    """How far walls lie from where they are drawn, or what a test piece shows; empty for neither."""
    from pathkit.jobs.fit_piece import FITS

    say = order.language
    if order.is_test_piece:
        least, most, step = (
            size_name(order.machine, round(mm, 1), say=say) for mm in (FITS[0], FITS[-1], FITS[1] - FITS[0])
        )
        return say("sheet-test-piece", least=least, most=most, step=step)
    return say("sheet-fit", fit=fit_name(order.fit, order.machine, say)) if order.fit else ""


def run_time_words(folder: Folder) -> str:
    """How long the board takes; a range for machines that nobody has seen."""
    total, say = duration(folder.clock.total), folder.order.language
    if folder.quickest is None:
        return say("sheet-about-time", time=total)
    return say("common-range", least=duration(folder.quickest), most=total)


def _parts(order: Order, job: Job) -> str:
    """How many parts, and of which kinds where there are several."""
    from pathkit.operations.nesting import Nested

    if isinstance(order.layout, Nested):
        kinds = zip(order.layout.counts, order.layout.items, strict=True)
        return ", ".join(f"{count} × {item.name}" for count, item in kinds if count)
    return f"{len(job.parts)}" if job.parts else order.language("sheet-cuts", count=len(job.toolpaths))


def warnings(folder: Folder) -> list[str]:
    """What the build warns of, and what the proof of the file does."""
    every = (reports.bare(f) for f in (*folder.findings, *folder.proof.findings) if f.severity == "warning")
    return list(dict.fromkeys(said(f, folder.order.language, folder.machine.units) for f in every))


def zero(job: Job, machine: Machine, say: Language = ENGLISH) -> list[str]:
    """Where zero is and which way the axes run, in the operator's words."""
    stock, axes = job.stock, machine.axes
    lines = [say("sheet-zero-corner", corner=machine.origin)]
    if stock.z_zero == "bed":
        under = "-underlay" if stock.underlay else ""
        lines.append(say(f"sheet-zero-z-bed{under}"))
        lines.append(say(f"sheet-zero-top-then{under}", height=height_name(stock.top, machine, say)))
    else:
        lines.append(say("sheet-zero-z-top"))
    lines += start_place(machine, say)
    lines.append(say("sheet-ways", x=axes.x, y=axes.y, z=axes.z))
    if machine.units == "inch":
        lines.append(say("sheet-in-inches"))
    return lines


def start_height(job: Job, machine: Machine, say: Language = ENGLISH) -> list[str]:
    """What a file's first move asks of whoever starts it: it goes to its travel height, from wherever the bit is.

    Empty where it cannot go down: on a homed machine it goes up in machine coordinates; where the file sets the zero
    the bit starts on the board.
    """
    from pathkit.lowering.lower import travel_height

    capabilities = capabilities_of(machine)
    if capabilities.machine_coordinates or capabilities.sets_zero:
        return []
    if job.by_beam:
        return [beam.start_height(job, machine, say)]
    return [say("sheet-start-height", height=height_name(travel_height(job, machine), machine, say))]


def start_place(machine: Machine, say: Language = ENGLISH) -> list[str]:
    """Where the bit must be when a file starts that takes this place as its zero; empty where zero is set by hand."""
    if not capabilities_of(machine).sets_zero:
        return []
    return [say("sheet-start-place", corner=machine.origin)]


def before_a_start(job: Job, machine: Machine, say: Language = ENGLISH) -> list[str]:
    """What the first move of this machine's files asks of whoever starts them; empty on a homed machine."""
    return [*start_place(machine, say), *start_height(job, machine, say)]


def zero_findings(job: Job, machine: Machine) -> tuple[Finding, ...]:
    """What a file that sets its own zero requires, or why it is impossible: with zero on the bed, no bit can reach a
    place under a corner of the board."""
    if not capabilities_of(machine).sets_zero:
        return ()
    if job.stock.z_zero == "bed":
        what = (
            "its files take as zero the place where the bit is when they start, and no bit can reach the bed under the"
            " board's corner"
        )
        fix = 'measure from the top of the board: z_zero = "top"'
        return (Finding(check="zero", what=what, fix=fix, file=machine.name),)
    what = "its files take as zero the place where the bit is when they start"
    fix = _JOG.format(_CORNER[machine.origin])
    return (Finding(check="zero", what=what, fix=fix, severity="warning"),)


def hold_down(job: Job, machine: Machine, say: Language = ENGLISH) -> list[str]:
    """What holds the board, as far as the job says."""
    stock = job.stock
    counts = {kind: sum(zone.kind == kind for zone in stock.zones) for kind in ("tape", "screw", "clamp")}
    lines = []
    if stock.underlay:
        thickness, depth = _underlay(stock, machine, say), _into_it(job, machine, say)
        under = say("sheet-underlay", thickness=thickness)
        lines.append(say("sheet-underlay-cut", thickness=thickness, depth=depth) if depth else under)
        lines.append(say("sheet-measure-underlay"))
    if counts["tape"]:
        lines.append(say("sheet-tape", count=counts["tape"]))
    for kind, name in (("screw", "sheet-screws"), ("clamp", "sheet-clamps")):
        if counts[kind]:
            tallest = max(zone.height for zone in stock.zones if zone.kind == kind)
            height = size_name(machine, tallest, say=say)
            lines.append(say(name, count=counts[kind], height=height))
    if not counts["screw"] and not counts["clamp"]:
        lines.append(say("sheet-no-clamps"))
    if not stock.zones:
        lines.append(say("sheet-nothing-holds"))
    if job.by_beam:
        return [*lines, *beam.hold_down(say)]
    lines.append(say("sheet-travel", height=size_name(machine, machine.heights.travel, say=say)))
    return lines


def steps(folder: Folder) -> list[str]:
    """From preparation to removing the tabs, in order."""
    if folder.job.by_beam:
        return beam.steps(folder)
    job, machine, stock, say = folder.job, folder.machine, folder.job.stock, folder.order.language
    manual = machine.spindle.control == "manual"
    first = job.tools[0]
    thick = range_name(machine, (stock.thickness + sign * stock.thickness_tolerance for sign in (-1, 1)), say)
    size, far = size_name(machine, stock.width, stock.depth, say=say), reach(job, first)
    lines = [
        say("sheet-step-cautions"),
        say("sheet-step-measure", size=size, thickness=thick),
        *([say("sheet-step-underlay", thickness=_underlay(stock, machine, say))] if stock.underlay else []),
        say("sheet-step-fix"),
        say("sheet-step-fit", bit=bit_name(first), reach=size_name(machine, far, say=say)),
        say("sheet-step-directions"),
        say("sheet-step-zero"),
        *start_height(job, machine, say),
        say("sheet-step-air", file=folder.air_file),
        say("sheet-step-cut-manual" if manual else "sheet-step-cut", file=folder.cut_file),
        say("sheet-step-watch"),
        *change_steps(folder),
        *([say("sheet-step-end-manual")] if manual else []),
        *([] if machine.park is None else [say("sheet-step-park", place=place_name(machine.park, machine, say))]),
        say("sheet-step-stopped"),
        _tabs(job, machine, say),
        *_cores(job, say),
        *([say("sheet-step-sand")] if any(path.tabs for path in job.toolpaths) else []),
        say("sheet-step-keep"),
    ]
    if folder.order.times > 1:
        lines.append(say("sheet-step-next-board", count=folder.order.times))
    return lines


def measured(seen: Seen, say: Language = ENGLISH) -> str:
    """From where, and to what, the drawing of the board is measured."""
    across, along = edges_of(seen)
    kinds = {zone.kind for zone in seen.job.stock.zones} if seen.job is not None else set()
    there = {kind: "yes" if kind in kinds else "no" for kind in ("tape", "screw", "clamp")}
    return say("sheet-measured", unit=seen.units, across=across, along=along, **there)


def not_proved(folder: Folder) -> list[str]:
    """What the proof of this very file leaves open, and what no proof of a text can show."""
    say, units = folder.order.language, folder.machine.units
    checks = [*folder.proof.checks, *folder.twin_proof.checks]
    left = [check for check in checks if check.status in ("not proved", "not run")]
    lines = []
    if folder.job.by_beam:
        left, lines = [check for check in left if check.name not in FOR_BITS], [beam.not_run(say)]
    whys = ((in_words(check.name, say), in_words(check.reason or check.limits, say, units)) for check in left)
    lines += [say("sheet-not-proved-check", check=name, why=why) for name, why in whys]
    # What a fit does not move stands with the fit, among the facts.
    told = (finding for finding in folder.findings if finding.severity == "note" and finding.check != CHECK)
    notes = [finding.what for finding in told]
    lines += [in_words(what, say, units) for what in notes if not what.startswith(NOTED)]
    for first, more in grouped(f for f in folder.order.placed(folder.proof.findings) if f.severity == "note"):
        what = in_words(first.what, say, units)
        lines.append(say("sheet-and-more", what=what, count=len(more)) if more else what)
    return [*dict.fromkeys(lines), *(in_words(what, say) for what in NOT_PROVED)]


_SENTENCES: Final = (
    (("controller", "unknown state", "events", "end state"), "sheet-proved-controller"),
    (("travel limits", "room", "axis feeds", "feeds"), "sheet-proved-room"),
    (("same path", "every cut", "finished shape", "gouges"), "sheet-proved-shapes"),
    (("plunges", "asked entries", "rapids clear the wood"), "sheet-proved-entries"),
    (("holding", "tabs", "tab strength"), "sheet-proved-holding"),
    (("beam", "power", "every line"), "sheet-proved-beam"),
    (("order as asked", "precedence", "safe order"), "sheet-proved-order"),
)


def proved_sentences(folder: Folder) -> list[str]:
    """What was proved, for people: a sentence where every check behind it has passed."""
    say = folder.order.language
    passed = {check.name for check in folder.proof.checks if check.status == "passed"}
    there = {check.name for check in folder.proof.checks}
    proved = [say(name) for names, name in _SENTENCES if (behind := there.intersection(names)) and behind <= passed]
    return [*proved, say("sheet-proved-air")] if folder.twin_proof.ok else proved


def read_back(folder: Folder) -> str:
    """How far the files read back are from the program."""
    say, far = folder.order.language, deviation(folder)
    if far == UNKNOWN:
        return say("sheet-read-back-unknown")
    inches = f"{folder.proof.deviation / MM_PER_INCH:.4f} in ({far})"
    return say("sheet-read-back", deviation=say.number(inches if folder.machine.units == "inch" else far))


UNKNOWN: Final = "an unknown amount"


def deviation(folder: Folder) -> str:
    """The largest distance of the files read back from the program, as every build keeps it: mm, or `UNKNOWN`."""
    value = folder.proof.deviation
    return f"{value:.4f} mm" if value == value else UNKNOWN


def index_row(folder: Folder) -> dict[str, Any]:
    """One board of one machine in the index."""
    order, stock = folder.order, folder.job.stock
    parts = len(folder.job.parts)
    return {
        "machine": folder.machine.name,
        "folder": folder.name,
        "href": f"{folder.name}/{folder.sheet_file}",
        "preview": f"{folder.name}/{PREVIEW}" if PREVIEW in folder.files else "",
        "proved": folder.verdict,
        "mark": order.mark,
        "board": size_name(folder.machine, stock.width, stock.depth, stock.thickness),
        "times": order.times,
        "each": parts,
        "parts": parts * order.times,
        "waste": "–" if order.layout is None else f"{100.0 * order.layout.waste:.0f} %",
        "time": duration(folder.clock.total),
        "deviation": deviation(folder),
        "cut_files": "\n".join(folder.cut_files),
        "air_files": "\n".join([folder.air_file, *(air for _, air, _ in folder.further)]),
        **({"beam": True} if folder.job.by_beam else {}),
        "quickest": "" if folder.quickest is None else duration(folder.quickest),
    }


def shown_row(row: Mapping[str, Any], say: Language) -> dict[str, Any]:
    """A row of the index for people: `index_row`, which every build keeps in its own manifest, in their language."""
    proved, far = str(row["proved"]), str(row["deviation"])
    left = proved.removeprefix(reports.BUT)
    if left != proved:
        verdict = say("index-verdict-but", checks=", ".join(in_words(name, say) for name in left.split(", ")))
    else:
        verdict = say(_VERDICTS[proved]) if proved in _VERDICTS else proved
    return {
        **row,
        "proved": verdict,
        "board": say.number(str(row["board"])),
        "deviation": say("index-deviation-unknown") if far == UNKNOWN else say.number(far),
    }


_VERDICTS: Final = {reports.PROVED: "index-verdict-yes", reports.FAILED: "index-verdict-no"}


def _tabs(job: Job, machine: Machine, say: Language) -> str:
    tabbed = [path for path in job.toolpaths if path.tabs]
    if not tabbed and (skin := max((part.skin for part in job.parts), default=0.0)):
        return _skin(skin, job.stock, machine, say)
    if not tabbed and all(path.lowest > job.stock.lowest_underside + SAME_HEIGHT for path in job.toolpaths):
        return say("sheet-step-no-parts")
    if not tabbed:
        return say("sheet-step-no-tabs")
    tab = tabbed[0].tabs[0]
    # Its height above the highest underside is as given in the job; above the lowest it is that much more.
    tallest = tab.height + job.stock.highest_underside - job.stock.lowest_underside
    return say(
        "sheet-step-tabs-sloped" if tab.shape == "sloped" else "sheet-step-tabs", count=len(tabbed[0].tabs),
        width=size_name(machine, tab.width, say=say), height=range_name(machine, (tab.height, tallest), say),
    )  # fmt: skip


def _skin(skin: float, stock: Stock, machine: Machine, say: Language) -> str:
    spread = stock.highest_underside - stock.underside
    return say("sheet-step-skin", thickness=range_name(machine, (skin - spread, skin + spread), say))


def _cores(job: Job, say: Language) -> list[str]:
    """What becomes of the wood within openings right through."""
    found = Counter(hole.core for part in job.parts for hole in part.holes)
    said = (("sheet-step-cores-held", found["keep"]), ("sheet-step-cores-loose", found["drop"]))
    return [say(name, count=count) for name, count in said if count]


def _into_it(job: Job, machine: Machine, say: Language) -> str:
    """How deep through cuts go into what lies under the board, over all allowed boards and underlays; empty if none
    does."""
    stock = job.stock
    through = [path.lowest for path in job.toolpaths if path.lowest <= stock.lowest_underside + SAME_HEIGHT]
    if not through:
        return ""
    least, most = stock.lowest_underside - max(through), stock.highest_underside - min(through)
    return range_name(machine, (least, most), say)


def _underlay(stock: Stock, machine: Machine, say: Language) -> str:
    return range_name(machine, (stock.underlay + sign * stock.underlay_tolerance for sign in (-1, 1)), say)


def shares(strength: Strength, say: Language) -> str:
    """The values that a machine is not asked for in full: ``feed 70 %, stepdown 50 %``; empty if it is for all."""
    told = ((field.name, getattr(strength, field.name)) for field in fields(strength))
    return ", ".join(
        say("sheet-strength", value=name, percent=say.number(f"{100.0 * share:g}"))
        for name, share in told
        if share != 1.0
    )
