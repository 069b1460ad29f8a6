"""The text of a setup sheet, as plain text and rows: from the job as it is cut, its machine, and what was proved."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from pathkit.findings import Finding, grouped
from pathkit.handover.pages.changes import change_steps
from pathkit.handover.pages.names import bit_name, depth_of, height_name, place_name, reach
from pathkit.handover.revision import PREVIEW
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.registry import capabilities_of
from pathkit.tolerances import SAME_HEIGHT

if TYPE_CHECKING:
    from pathkit.handover.result import Folder
    from pathkit.jobs.order import Order
    from pathkit.machine.kinematics import RunTime

MOST_ROWS: Final = 40
"""Most rows shown of the order of cuts."""

_SHALLOW: Final = "Recesses and engraving"
_THROUGH: Final = "Holes and slots"
_STAGE: Final = {
    "pocket": _SHALLOW, "finish": _SHALLOW, "engrave": _SHALLOW, "chamfer": "Chamfers", "drill": _THROUGH,
    "slot": _THROUGH, "outline": "Outlines", "cut": "Other cuts",
}  # fmt: skip
_CORNER: Final = {
    "front-left": "the front left corner", "front-right": "the front right corner",
    "back-left": "the back left corner", "back-right": "the back right corner", "centre": "the middle",
}  # fmt: skip
_WAY: Final = {
    "right": "to the right", "left": "to the left", "away": "away from you", "toward": "toward you", "up": "up",
    "down": "down",
}  # fmt: skip


def facts(folder: Folder) -> list[dict[str, str]]:
    """What people look for first."""
    job, order, stock = folder.job, folder.order, folder.job.stock
    material = f"{order.material}, " if order.material else ""
    turned = {0: "as drawn", 1: "a quarter turn to the left", 2: "half a turn", 3: "a quarter turn to the right"}
    pairs = [
        ("Board", f"{material}{stock.width:g} × {stock.depth:g} × {stock.thickness:g} mm"),
        ("Cut file", ", then ".join(folder.cut_files)),
        ("Zero X, Y", f"{_CORNER[folder.machine.origin]} of the board"),
        ("Zero Z", "top of the board" if stock.z_zero == "top" else "the bed itself"),
        ("Run time", run_time_words(folder)),
        ("Bit", ", ".join(bit_name(tool) for tool in job.tools)),
        ("Parts", _parts(order, job)),
        ("Board lies", turned[order.setup.turn]),
    ]
    return [{"name": name, "value": value} for name, value in pairs]


def run_time_words(folder: Folder) -> str:
    """How long the board takes; a range for machines that nobody has seen."""
    total = duration(folder.clock.total)
    return f"about {total}" if folder.quickest is None else f"{duration(folder.quickest)} to {total}"


def _parts(order: Order, job: Job) -> str:
    """How many parts, and of which kinds where there are several."""
    from pathkit.operations.nesting import Nested

    if isinstance(order.layout, Nested):
        kinds = zip(order.layout.counts, order.layout.items, strict=True)
        return ", ".join(f"{count} × {item.name}" for count, item in kinds if count)
    return f"{len(job.parts)}" if job.parts else f"{len(job.toolpaths)} cuts"


def warnings(folder: Folder) -> list[str]:
    """What the build warns of, and what the proof of the file does."""
    every = (*folder.findings, *folder.proof.findings)
    return list(dict.fromkeys(str(finding) for finding in every if finding.severity == "warning"))


def zero(job: Job, machine: Machine) -> list[str]:
    """Where zero is and which way the axes run, in the operator's words."""
    stock, axes = job.stock, machine.axes
    lines = [f"X0 Y0 is {_CORNER[machine.origin]} of the board as it lies (the black mark)."]
    if stock.z_zero == "bed":
        under = " not the waste sheet and" if stock.underlay else ""
        lines.append(f"Z0 is the bed:{under} not the board. Touch off on the bed, clear of everything that lies on it.")
        lines.append(f"The board's top is then at {height_name(stock.top, machine)}.")
    else:
        lines.append("Z0 is the top of the board. Touch off on the board, where nothing is cut.")
    lines += start_place(machine)
    lines.append(
        f"As X grows the bit goes {_WAY[axes.x]}, as Y grows {_WAY[axes.y]}, as Z grows {_WAY[axes.z]}, seen from the"
        " front and relative to the board. If the table moves instead, it goes the other way."
    )
    if machine.output.get("units") == "inch":
        lines.append("The cut file is written in inches.")
    return lines


def start_height(job: Job, machine: Machine) -> list[str]:
    """What a file's first move asks of whoever starts it: it goes to its travel height, from wherever the bit is.

    Empty where it cannot go down: on a homed machine it goes up in machine coordinates; where the file sets the zero
    the bit starts on the board.
    """
    from pathkit.lowering.lower import travel_height

    capabilities = capabilities_of(machine)
    if capabilities.machine_coordinates or capabilities.sets_zero:
        return []
    height = height_name(travel_height(job, machine), machine)
    return [f"Before you start a file, see that the bit stands no higher than {height}: its first move goes there."]


def start_place(machine: Machine) -> list[str]:
    """Where the bit must be when a file starts that takes this place as its zero; empty where zero is set by hand."""
    if not capabilities_of(machine).sets_zero:
        return []
    return [
        "The files take as X0 Y0 Z0 the place where the bit is when they start. Jog it there each time before you start"
        f" a file: its tip on the top of the board, at {_CORNER[machine.origin]}."
    ]


def before_a_start(job: Job, machine: Machine) -> list[str]:
    """What the first move of this machine's files asks of whoever starts them; empty on a homed machine."""
    return [*start_place(machine), *start_height(job, machine)]


def zero_findings(job: Job, machine: Machine) -> tuple[Finding, ...]:
    """What a file that sets its own zero requires, or why it is impossible: with zero on the bed, no bit can reach a
    place under a corner of the board."""
    if not capabilities_of(machine).sets_zero:
        return ()
    what = "its files take as zero the place where the bit is when they start"
    if job.stock.z_zero == "bed":
        what += ", and no bit can reach the bed under the board's corner"
        fix = 'measure from the top of the board: z_zero = "top"'
        return (Finding(check="zero", what=what, fix=fix, file=machine.name),)
    fix = f"before each start jog it to {_CORNER[machine.origin]} of the board, its tip on the top; the air cut as well"
    return (Finding(check="zero", what=what, fix=fix, severity="warning"),)


def hold_down(job: Job, machine: Machine) -> list[str]:
    """What holds the board, as far as the job says."""
    stock = job.stock
    counts = {kind: sum(zone.kind == kind for zone in stock.zones) for kind in ("tape", "screw", "clamp")}
    lines = []
    if stock.underlay:
        lines.append(f"Under the board lie {_underlay(stock)} of waste or tape{_into_it(job)}.")
    if counts["tape"]:
        lines.append(f"Two-sided tape under the {counts['tape']} shaded places, pressed down well.")
    for kind in ("screw", "clamp"):
        if counts[kind]:
            tallest = max(zone.height for zone in stock.zones if zone.kind == kind)
            lines.append(
                f"{counts[kind]} {kind}{'s' * (counts[kind] > 1)} where drawn, at most {tallest:g} mm above the board;"
                " the path keeps off them."
            )
    if not counts["screw"] and not counts["clamp"]:
        lines.append(
            "The job lists no screws or clamps. Keep the bit's way clear of anything that sticks up above the board."
        )
    if not stock.zones:
        lines.append("The job does not say what holds the board. Hold it so that no part moves as it comes free.")
    lines.append(
        f"The bit travels {machine.heights.travel:g} mm above the thickest board that the job allows, and as far"
        " above anything taller that it crosses."
    )
    return lines


def bits(job: Job, machine: Machine, clock: RunTime) -> list[dict[str, Any]]:
    """A row for each bit, in the order of use; feeds above what the machine moves are followed by that."""
    spent = clock.by_tool()
    plane, upright = min(machine.motion.feed_limit[:2]), machine.motion.feed_limit[2]
    rows = []
    for tool in job.tools:
        paths = [path for path in job.toolpaths if path.tool == tool]
        feeds = [path.cutting for path in paths]
        rows.append(
            {
                "name": tool.name,
                "number": "–" if tool.number is None else str(tool.number),
                "diameter": f"{tool.diameter:g}",
                "deepest": f"{max(depth_of(path, job) for path in paths):.4g}",
                "feed": _limited([end for cutting in feeds for end in cutting.along], plane),
                "plunge": _limited([cutting.plunge for cutting in feeds], upright),
                "spindle": _range(cutting.spindle for cutting in feeds),
                "time": duration(spent.get(tool.name, 0.0)),
            }
        )
    return rows


def order_of_cuts(job: Job, clock: RunTime) -> list[dict[str, Any]]:
    """Runs of similar cuts with the same bit, in the order of the file."""
    spent = clock.by_toolpath()
    by_part = _part_by_part(job)
    rows: list[dict[str, Any]] = []
    last: tuple[str, str] | None = None
    for path in job.toolpaths:
        what = (path.part or "Cuts of no part") if by_part else _STAGE[path.role]
        if (what, path.tool.name) != last:
            last = what, path.tool.name
            rows.append({"what": what, "bit": path.tool.name, "count": 0, "depths": [], "seconds": 0.0})
        row = rows[-1]
        row["count"] += 1
        row["depths"].append(depth_of(path, job))
        row["seconds"] += spent.get(path.name, 0.0)
    for row in rows:
        row["depth"] = f"{_range(row.pop('depths'))} mm"
        row["time"] = duration(row.pop("seconds"))
    return rows


def chamfers(job: Job) -> list[str]:
    """How wide the chamfered edges come out: with zero on the bed, narrower on a thinner board and wider on a thicker
    one."""
    stock = job.stock
    widths: set[tuple[float, ...]] = set()
    for each in (chamfer for part in job.parts for chamfer in part.chamfers):
        tops = (stock.lowest_top, stock.top, stock.highest_top) if each.top is None else (each.top,) * 3
        widths.add(tuple(round(each.slope * (top - each.bottom), 3) for top in tops))
    lines = []
    for low, width, high in sorted(widths):
        line = f"Chamfers {width:g} mm wide"
        if low < high:
            line += f" on a board as thick as the job says: {low:g} mm where its top lies lowest, {high:g} mm where it"
            line += " lies highest, of all the boards that the job allows"
        lines.append(f"{line}.")
    return lines


def steps(folder: Folder) -> list[str]:
    """From preparation to removing the tabs, in order."""
    job, machine, stock = folder.job, folder.machine, folder.job.stock
    manual = machine.spindle.control == "manual"
    first = job.tools[0]
    thin, thick = stock.thickness - stock.thickness_tolerance, stock.thickness + stock.thickness_tolerance
    lines = [
        "Read the cautions below, and put on eye and ear protection.",
        f"Measure the board: {stock.width:g} × {stock.depth:g} mm or more, {thin:g} to {thick:g} mm thick, flat,"
        " free of nails and loose knots. Outside these bounds do not cut: ask for files for your board.",
        *([f"Lay the waste sheet ({_underlay(stock)}) on the bed, and the board on it."] if stock.underlay else []),
        "Fix the board as drawn above, its edges along the machine's axes. Pull on it: nothing may move.",
        f"Fit {bit_name(first)}. Below the collet it must reach at least {reach(job, first):g} mm.",
        "Check the directions: jog a little along X+ and Y+, and see that the bit goes where the arrows point.",
        "Set zero as described under Zero, X and Y first, then Z.",
        *start_height(job, machine),
        f"Air cut: take the bit out, leave the spindle off, and run {folder.air_file} to its end. Watch that it stays"
        " over the board and clear of everything.",
        f"Put the bit back, set Z zero again, start the dust extraction, and run {folder.cut_file}."
        + (" When it pauses for the spindle, start it by hand at the speed in the table." if manual else ""),
        "Watch the bit enter the wood for the first time, with a hand at the stop button; stay for the rest.",
        *change_steps(folder),
        *(["When the file pauses at its end, switch the spindle off, and let the file go on."] if manual else []),
        *([f"At the end the bit parks at {place_name(machine.park, machine)}."] if machine.park is not None else []),
        "Wait until the spindle has stopped. Remove the dust before you touch anything.",
        _tabs(job),
        *_cores(job),
        "Sand the edges where tabs were. Keep this sheet with the parts.",
    ]  # fmt: skip
    if folder.order.times > 1:
        lines.append(f"Lay the next board and start again at the second step, {folder.order.times} boards in all.")
    return lines


def not_proved(folder: Folder) -> list[str]:
    """What the proof of this very file leaves open, in its own words."""
    checks = [*folder.proof.checks, *folder.twin_proof.checks]
    left = [check for check in checks if check.status in ("not proved", "not run")]
    lines = [f"{check.name}: {check.reason or check.limits}" for check in left]
    lines += [finding.what for finding in folder.findings if finding.severity == "note"]
    for first, more in grouped(f for f in folder.order.placed(folder.proof.findings) if f.severity == "note"):
        lines.append(f"{first.what} (and {len(more)} more like it)" if more else first.what)
    return list(dict.fromkeys(lines))


def deviation(folder: Folder) -> str:
    """The largest distance of the files read back from the program, mm."""
    value = folder.proof.deviation
    return f"{value:.4f} mm" if value == value else "an unknown amount"


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
        "board": f"{stock.width:g} × {stock.depth:g} × {stock.thickness:g} mm",
        "times": order.times,
        "each": parts,
        "parts": parts * order.times,
        "waste": "–" if order.layout is None else f"{100.0 * order.layout.waste:.0f} %",
        "time": duration(folder.clock.total),
        "deviation": deviation(folder),
        "cut_files": "\n".join(folder.cut_files),
        "air_files": "\n".join([folder.air_file, *(air for _, air, _ in folder.further)]),
        "quickest": "" if folder.quickest is None else duration(folder.quickest),
    }


def duration(seconds: float) -> str:
    """``27 min``, ``1 h 05 min``; seconds only below two minutes."""
    if seconds < 119.5:
        return f"{round(seconds)} s"
    minutes = round(seconds / 60.0)
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60:02d} min"


def _tabs(job: Job) -> str:
    tabbed = [path for path in job.toolpaths if path.tabs]
    if not tabbed and (skin := max((part.skin for part in job.parts), default=0.0)):
        return _skin(skin, job.stock)
    if not tabbed:
        return "Take the parts out: no tabs hold them."
    tab = tabbed[0].tabs[0]
    count = len(tabbed[0].tabs)
    # Its height above the highest underside is as given in the job; above the lowest it is that much more.
    tallest = tab.height + job.stock.highest_underside - job.stock.lowest_underside
    high = _range((tab.height, tallest))
    sloped = " at the top, wider below," if tab.shape == "sloped" else ""
    return (
        f"Each part is held by {count} tabs, {tab.width:g} mm wide{sloped} and {high} mm high. Cut them with a chisel"
        " or a fine saw from the top, with the board held down and your other hand out of the way, and push the part"
        " out from the top face downward."
    )


def _skin(skin: float, stock: Stock) -> str:
    spread = stock.highest_underside - stock.underside
    return (
        f"A skin of {_range((skin - spread, skin + spread))} mm joins the parts to the board. Lift the board off whole,"
        " turn it over, and slice or sand the skin away from below, with the work held flat and your other hand out of"
        " the way."
    )


def _cores(job: Job) -> list[str]:
    """What becomes of the wood within openings right through."""
    found = Counter(hole.core for part in job.parts for hole in part.holes)
    said = []
    if held := found["keep"]:
        said.append(f"{_openings(held)} a core, held as the parts are: take it out like a part.")
    if loose := found["drop"]:
        said.append(
            f"{_openings(loose)} a core that lies loose from the moment it is cut free. Do not reach for it while the"
            " spindle turns; if it lifts or wanders, stop the machine."
        )
    return said


def _openings(count: int) -> str:
    return "1 opening leaves" if count == 1 else f"{count} openings leave"


def _part_by_part(job: Job) -> bool:
    """Whether the file finishes one part before it begins the next."""
    parts = [path.part for path in job.toolpaths if path.part is not None]
    changes = sum(a != b for a, b in pairwise(parts)) + 1
    return len(set(parts)) > 1 and changes == len(set(parts))


def _into_it(job: Job) -> str:
    """How deep through cuts go into what lies under the board, over all allowed boards and underlays."""
    stock = job.stock
    through = [path.lowest for path in job.toolpaths if path.lowest <= stock.lowest_underside + SAME_HEIGHT]
    if not through:
        return ""
    least, most = stock.lowest_underside - max(through), stock.highest_underside - min(through)
    return f"; through cuts go {_range((least, most))} mm into it"


def _underlay(stock: Stock) -> str:
    if not stock.underlay_tolerance:
        return f"{stock.underlay:g} mm"
    return f"{stock.underlay - stock.underlay_tolerance:g} to {stock.underlay + stock.underlay_tolerance:g} mm"


def _limited(values: list[float], limit: float) -> str:
    return _range(values) + (f" (machine: {limit:g})" if max(values) > limit else "")


def _range(values: Any) -> str:
    every = sorted({round(value, 3) for value in values})
    return f"{every[0]:g}" if len(every) == 1 else f"{every[0]:g} to {every[-1]:g}"
