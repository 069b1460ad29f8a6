"""The text of a setup sheet, as plain text and rows: from the job as it is cut, its machine, and what was proved."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any, Final

from pathkit.findings import Finding, grouped
from pathkit.handover.pages.board_drawing import edges_of
from pathkit.handover.pages.changes import change_steps
from pathkit.handover.pages.cuts import duration
from pathkit.handover.pages.names import bit_name, fit_name, height_name, place_name, range_name, reach, size_name
from pathkit.handover.revision import PREVIEW
from pathkit.jobs.fit import NOTED
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from pathkit.model.stock import Stock
from pathkit.registry import capabilities_of
from pathkit.tolerances import SAME_HEIGHT

if TYPE_CHECKING:
    from pathkit.handover.pages.seen_file import Seen
    from pathkit.handover.result import Folder
    from pathkit.jobs.order import Order

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
        ("Board", material + size_name(folder.machine, stock.width, stock.depth, stock.thickness)),
        ("Cut file", ", then ".join(folder.cut_files)),
        ("Zero X, Y", f"{_CORNER[folder.machine.origin]} of the board"),
        ("Zero Z", "top of the board" if stock.z_zero == "top" else "the bed itself"),
        ("Run time", run_time_words(folder)),
        ("Bit", ", ".join(bit_name(tool) for tool in job.tools)),
        ("Parts", _parts(order, job)),
        ("Board lies", turned[order.setup.turn]),
    ]
    return [{"name": name, "value": value} for name, value in pairs]


def fit_words(order: Order) -> str:
    """How far walls lie from where they are drawn, or what a test piece shows; empty for neither."""
    from pathkit.jobs.fit_piece import FITS

    if order.is_test_piece:
        step = FITS[1] - FITS[0]
        return f"Test piece: fit from {FITS[0]:g} mm at the − to {FITS[-1]:g} mm at the +, in steps of {step:.1f} mm."
    return f"Fit: {fit_name(order.fit, order.machine)}." if order.fit else ""


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
        thick = "the waste sheet and the board are together" if stock.underlay else "the board is"
        lines.append(
            f"The board's top is then at {height_name(stock.top, machine)}. If the board covers the whole bed, measure"
            f" how thick {thick}, touch off on the board, and set Z to that."
        )
    else:
        lines.append("Z0 is the top of the board. Touch off on the board, where nothing is cut.")
    lines += start_place(machine)
    lines.append(
        f"As X grows the bit goes {_WAY[axes.x]}, as Y grows {_WAY[axes.y]}, as Z grows {_WAY[axes.z]}, seen from the"
        " front and relative to the board. If the table moves instead, it goes the other way."
    )
    if machine.units == "inch":
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
        lines.append(f"Under the board lie {_underlay(stock, machine)} of waste or tape{_into_it(job, machine)}.")
        lines.append("Measure the waste sheet: it must have that thickness all over.")
    if counts["tape"]:
        lines.append(f"Two-sided tape under the {counts['tape']} shaded places, pressed down well.")
    for kind in ("screw", "clamp"):
        if counts[kind]:
            tallest = max(zone.height for zone in stock.zones if zone.kind == kind)
            lines.append(
                f"{counts[kind]} {kind}{'s' * (counts[kind] > 1)} where drawn, at most {size_name(machine, tallest)}"
                " above the board; the path keeps off them."
            )
    if not counts["screw"] and not counts["clamp"]:
        lines.append(
            "The job lists no screws or clamps. Keep the bit's way clear of anything that sticks up above the board."
        )
    if not stock.zones:
        lines.append("The job does not say what holds the board. Hold it so that no part moves as it comes free.")
    lines.append(
        f"The bit travels {size_name(machine, machine.heights.travel)} above the thickest board that the job allows,"
        " and as far above anything taller that it crosses."
    )
    return lines


def steps(folder: Folder) -> list[str]:
    """From preparation to removing the tabs, in order."""
    job, machine, stock = folder.job, folder.machine, folder.job.stock
    manual = machine.spindle.control == "manual"
    first = job.tools[0]
    thick = range_name(machine, (stock.thickness + sign * stock.thickness_tolerance for sign in (-1, 1)))
    lines = [
        "Read the cautions above, and put on eye and ear protection.",
        f"Measure the board: {size_name(machine, stock.width, stock.depth)} or more, {thick} thick, flat,"
        " free of nails and loose knots. Outside these bounds do not cut: ask for files for your board.",
        *(
            [f"Lay the waste sheet ({_underlay(stock, machine)}) on the bed, and the board on it."]
            if stock.underlay
            else []
        ),
        "Fix the board as drawn above, its edges along the machine's axes. Pull on it: nothing may move.",
        f"Fit {bit_name(first)}. Below the collet it must reach at least {size_name(machine, reach(job, first))}.",
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
        _tabs(job, machine),
        *_cores(job),
        *(["Sand the edges where tabs were."] if any(path.tabs for path in job.toolpaths) else []),
        "Keep this sheet with the parts.",
    ]  # fmt: skip
    if folder.order.times > 1:
        lines.append(f"Lay the next board and start again at the second step, {folder.order.times} boards in all.")
    return lines


def measured(seen: Seen) -> str:
    """From where, and to what, the drawing of the board is measured."""
    unit = "inches" if seen.units == "inch" else "mm"
    across, along = edges_of(seen)
    kinds = {zone.kind for zone in seen.job.stock.zones} if seen.job is not None else set()
    words = {"tape": "tape from edge to edge", "screw": "screws to their middle", "clamp": "clamps from edge to edge"}
    rest = "".join(f", {words[kind]}" for kind in words if kind in kinds)
    return f"Measures in {unit} from the board's {across} edge and its {along} edge: parts to where they begin{rest}."


def not_proved(folder: Folder) -> list[str]:
    """What the proof of this very file leaves open, in its own words."""
    checks = [*folder.proof.checks, *folder.twin_proof.checks]
    left = [check for check in checks if check.status in ("not proved", "not run")]
    lines = [f"{check.name}: {check.reason or check.limits}" for check in left]
    # What a fit does not move stands with the fit, among the facts.
    notes = [finding.what for finding in folder.findings if finding.severity == "note"]
    lines += [what for what in notes if not what.startswith(NOTED)]
    for first, more in grouped(f for f in folder.order.placed(folder.proof.findings) if f.severity == "note"):
        lines.append(f"{first.what} (and {len(more)} more like it)" if more else first.what)
    return list(dict.fromkeys(lines))


_SENTENCES: Final = (
    (("controller", "unknown state", "events", "end state"), "This controller takes every word of the file."),
    (("travel limits", "room", "axis feeds", "feeds"), "It stays within what this machine moves, and how fast."),
    (("same path", "every cut", "finished shape", "gouges"), "It cuts every shape of the job, to its place and depth,"
     " and nothing goes into a part."),
    (("plunges", "asked entries", "rapids clear the wood"), "The bit enters the wood as the job asks, and never moves"
     " fast through it."),
    (("holding", "tabs", "tab strength"), "By the job's tape, screws and tabs no part comes loose while it is cut."),
    (("order as asked", "precedence", "safe order"), "The cuts come in the order that the job needs."),
)  # fmt: skip


def proved_sentences(folder: Folder) -> list[str]:
    """What was proved, for people: a sentence where every check behind it has passed."""
    passed = {check.name for check in folder.proof.checks if check.status == "passed"}
    there = {check.name for check in folder.proof.checks}
    said = [words for names, words in _SENTENCES if (behind := there.intersection(names)) and behind <= passed]
    if folder.twin_proof.ok:
        said.append("The air cut makes the same moves above the board, with the spindle off.")
    return said


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


def _tabs(job: Job, machine: Machine) -> str:
    tabbed = [path for path in job.toolpaths if path.tabs]
    if not tabbed and (skin := max((part.skin for part in job.parts), default=0.0)):
        return _skin(skin, job.stock, machine)
    if not tabbed and all(path.lowest > job.stock.lowest_underside + SAME_HEIGHT for path in job.toolpaths):
        return "Lift the board off: no parts are cut free of it, and no tabs hold them."
    if not tabbed:
        return "Take the parts out: no tabs hold them."
    tab = tabbed[0].tabs[0]
    count = len(tabbed[0].tabs)
    # Its height above the highest underside is as given in the job; above the lowest it is that much more.
    tallest = tab.height + job.stock.highest_underside - job.stock.lowest_underside
    high = range_name(machine, (tab.height, tallest))
    sloped = " at the top, wider below," if tab.shape == "sloped" else ""
    wide = size_name(machine, tab.width)
    return (
        f"Each part is held by {count} tabs, {wide} wide{sloped} and {high} high. Cut them with a chisel or a fine saw"
        " from the top, with the board held down and your other hand out of the way, and push the part out from the top"
        " face downward."
    )


def _skin(skin: float, stock: Stock, machine: Machine) -> str:
    spread = stock.highest_underside - stock.underside
    thick = range_name(machine, (skin - spread, skin + spread))
    return (
        f"A skin of {thick} joins the parts to the board. Lift the board off whole, turn it over, and slice or sand the"
        " skin away from below, with the work held flat and your other hand out of the way."
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


def _into_it(job: Job, machine: Machine) -> str:
    """How deep through cuts go into what lies under the board, over all allowed boards and underlays."""
    stock = job.stock
    through = [path.lowest for path in job.toolpaths if path.lowest <= stock.lowest_underside + SAME_HEIGHT]
    if not through:
        return ""
    least, most = stock.lowest_underside - max(through), stock.highest_underside - min(through)
    return f"; through cuts go {range_name(machine, (least, most))} into it"


def _underlay(stock: Stock, machine: Machine) -> str:
    return range_name(machine, (stock.underlay + sign * stock.underlay_tolerance for sign in (-1, 1)))
