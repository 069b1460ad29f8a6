"""From one job file, what each machine is asked to cut: a board that fits the machine, copies on it, and passes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any, Final, TypeAlias

from pathkit.errors import InputError, ModelError, PathkitError, Refused, UnknownName
from pathkit.findings import Finding
from pathkit.jobs.about import About
from pathkit.jobs.bits import Bits, bits_of
from pathkit.jobs.boards import at_board, board_for, plain_stock
from pathkit.jobs.drawn import Drawn, drawn, frame_tool, refuse_grooves, usual_web
from pathkit.jobs.mark import mark_of_file
from pathkit.jobs.nested import Pieces, cut_out, moved_zone, nested_boards, refuse_overlaps
from pathkit.jobs.order import LAST, Order
from pathkit.jobs.origins import Origins
from pathkit.jobs.photos import photos_of
from pathkit.jobs.piece import Piece
from pathkit.jobs.reading import JobFile
from pathkit.jobs.shapes import Shapes, bounds_of
from pathkit.jobs.sources import sources_of
from pathkit.jobs.strength import Strength, strength_of
from pathkit.jobs.toolpaths import piece_of
from pathkit.jobs.wrong_unit import adding_inch_findings, inch_findings
from pathkit.machine.limits import travel_findings
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Part, Setup
from pathkit.model.stock import Stock, Zone
from pathkit.model.toolpath import Toolpath
from pathkit.texts.language import Language
from pathkit.tolerances import COARSE_CHORDS, SAME_PLACE
from pathkit.toml_source import Path as KeyPath
from pathkit.units import quantities_of

if TYPE_CHECKING:
    from pathkit.operations.layout import Layout
    from pathkit.operations.nesting import Nested
    from pathkit.passes.base import Pass


def orders_of(  # noqa: PLR0913 - each is its own choice
    file: JobFile,
    machines: Sequence[Machine] = (),
    *,
    bits: Sequence[str] = (),
    without: Sequence[str] = (),
    setups: Mapping[str, Setup] | Setup | None = None,
    tabs: bool = True,
    effort: float | None = None,
    seed: int | None = None,
    board: int | None = None,
) -> tuple[Order, ...]:
    """What ``machines`` (or those that the file names) cut. ``setups``, ``effort`` and ``seed`` override the file.

    ``bits`` are the recipient's own; ``without`` names the operations that none of them can cut. ``board`` is the
    number of the board that they all take, for machines that have room for it; else each takes the largest that fits.

    Raises `InputError` with every operation that cannot be cut, each with its place, and `Refused` if no board fits.
    """
    with adding_inch_findings(file, machines):
        return _orders(file, machines, bits, without, setups, tabs=tabs, effort=effort, seed=seed, only=board)


def _orders(  # noqa: PLR0913 - those of `orders_of`
    file: JobFile, machines: Sequence[Machine], bits: Sequence[str], without: Sequence[str],
    setups: Mapping[str, Setup] | Setup | None, *, tabs: bool, effort: float | None, seed: int | None,
    only: int | None,
) -> tuple[Order, ...]:  # fmt: skip
    if only is not None and not 0 <= only < len(file.form.board):
        raise InputError(f"the job file has no board number {only}; it has {len(file.form.board)}, counted from 0")
    named = named_machines(file)
    chosen = list(machines) or [machine for machine, _ in named.values()]
    if not chosen:
        raise InputError("no machine to build for: name one with --machine, or in a [[machine]] table of the job file")
    made = drawn(file)
    tools = bits_of(file, bits, without)
    passes = passes_of(file, tabs=tabs, effort=effort, seed=seed)
    sources = sources_of(file)
    mark, photos = mark_of_file(file), photos_of(file)
    recipe = {"bits": list(bits), "left_out": list(without), "tabs": tabs, "effort": effort, "seed": seed}
    recipe |= {} if only is None else {"board": only}
    inches = inch_findings(file, made)
    said = About() if file.form.about is None else file.form.about.value()
    jobs: dict[tuple[int, Strength], tuple[_Boards, tuple[Finding, ...], Origins]] = {}
    orders: list[Order] = []
    for machine in chosen:
        form = named.get(machine.name, (machine, None))[1]
        setup = _setup(machine, form, setups)
        turned = setups is not None and setup.turn > 0
        board, beside = board_for(file, machine, setup, form, turned=turned) if only is None else (only, ())
        strength = strength_of(form)
        if (board, strength) not in jobs:
            # Machines that take the same board at the same strength cut the same job: it is made once.
            jobs[board, strength] = _jobs(file, made, board, replace(tools, strength=strength))
        boards, notes, origins = jobs[board, strength]
        orders += [
            Order(
                machine, setup, job, passes, place, times, file.form.stock.name or file.form.stock.material, layout,
                (*inches, *travel_findings(machine), *beside, *made.notes, *notes, *tools.notes(),
                 *_feed_notes(file, job, machine)), recipe, sources, mark,
                strength, file.form.stock.material, origins, about=said, language=Language(file.form.language),
                fit=file.form.fit, photos=photos,
            )
            for place, times, job, layout in boards
        ]  # fmt: skip
    return tuple(orders)


def passes_of(
    file: JobFile, *, tabs: bool = True, effort: float | None = None, seed: int | None = None
) -> tuple[Pass, ...]:  # fmt: skip
    """The passes of the file: the standard ones with the file's options, less those that it sets to false, and any
    others that it names, which come before the ordering pass.

    Without ``tabs`` the pass ``hold_tabs`` is left out; ``effort`` and ``seed`` override those of the ordering pass.
    Raises `InputError` for unknown passes and options, each with its line.
    """
    from pathkit.passes.standard import standard_passes
    from pathkit.registry import find_pass

    table = dict(file.form.passes)
    standard = {step.name: step for step in standard_passes()}
    layout = file.form.layout
    if layout is not None and layout.order == "part":
        standard["order_travel"] = replace(standard["order_travel"], by="part")  # type: ignore[type-var]
    found: list[Finding] = []
    for name, options in table.items():
        path = ("passes", name)
        try:
            kind = type(standard[name]) if name in standard else find_pass(name)
        except UnknownName as error:
            found += [file.finding(path, f.what, f.fix) for f in error.findings]
            continue
        if options is False:
            standard.pop(name, None)
            continue
        values = {} if options is True else _options(file, path, kind, options, found)
        known = [f for f in getattr(kind, "__dataclass_fields__", {}) if f not in ("setup", "material")]
        if moved := sorted(values.keys() & _MOVED.get(name, {}).keys()):
            found.append(
                file.finding((*path, moved[0]), f"{name} no longer has the option {moved[0]!r}", _MOVED[name][moved[0]])
            )
            continue
        if unknown := sorted(values.keys() - set(known)):
            found.append(file.finding((*path, unknown[0]), f"{name} has no option {unknown[0]!r}", f"it has: {known}"))
            continue
        if (values.get("count") == "auto" and name == "hold_tabs") or name == "steady_load":
            values["material"] = file.form.stock.material
        try:
            base = standard.get(name)
            standard[name] = replace(base, **values) if base is not None else kind(**values)  # type: ignore[type-var]
        except (InputError, TypeError) as error:
            found.append(file.finding(path, str(error)))
    if found:
        raise InputError(found)
    if not tabs:
        standard.pop("hold_tabs", None)
    ordering = standard.pop("order_travel", None)
    if ordering is not None:
        over = {k: v for k, v in (("effort", effort), ("seed", seed)) if v is not None}
        ordering = replace(ordering, **over)  # type: ignore[type-var]
    # What is engaged where hangs on the order.
    steady = standard.pop("steady_load", None)
    return (*standard.values(), *(step for step in (ordering, steady) if step is not None))


def _options(
    file: JobFile, path: KeyPath, kind: type, options: Mapping[str, Any], found: list[Finding]
) -> dict[str, Any]:
    """The options of a pass, lengths in mm. A value that should be a number and is not is added to ``found`` and left
    out."""
    values = dict(options)
    quantities = quantities_of(kind)
    numbers = {f.name: f.default for f in fields(kind) if isinstance(f.default, float)} if is_dataclass(kind) else {}
    for name in values.keys() & {*quantities, *numbers}:
        value, quantity = values[name], quantities.get(name)
        if quantity is not None and isinstance(value, str):
            value = quantity.read(value)
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            values[name] = value
            continue
        fix = quantity.ways if quantity is not None else f"give a number, without quotes: {name} = {numbers[name]:g}"
        found.append(file.finding((*path, name), f"{name} is {values.pop(name)!r}, which is no number", fix))
    return values


def named_machines(file: JobFile) -> dict[str, tuple[Machine, Any]]:
    """The machines of [[machine]] by name, each with its table. Raises `InputError` for unusable profiles."""
    from pathkit.registry import load_machine

    named: dict[str, tuple[Machine, Any]] = {}
    found: list[Finding] = []
    for index, form in enumerate(file.form.machine):
        beside = file.folder / form.profile
        try:
            machine = load_machine(beside if form.profile.endswith(".toml") else form.profile)
        except PathkitError as error:
            path = ("machine", index, "profile")
            found += [f if f.file else file.finding(path, f.what, f.fix) for f in error.findings]
            continue
        if machine.name in named:
            found.append(file.finding(("machine", index, "profile"), f"{machine.name!r} is listed twice", "remove one"))
        named[machine.name] = machine, form
    if found:
        raise InputError(found)
    return named


def _setup(machine: Machine, form: Any, setups: Mapping[str, Setup] | Setup | None) -> Setup:
    if isinstance(setups, Setup):
        return setups
    if setups is not None and machine.name in setups:
        return setups[machine.name]
    if form is None:
        return Setup()
    setup: Setup = form.value()
    return setup


def _stock(file: JobFile, board: int) -> Stock:
    from shapely.geometry import Polygon

    maker = Shapes(file)
    zones: list[Zone] = []
    for k, form in enumerate(file.form.board[board].zones):
        path = ("board", board, "zones", k, "shape")
        shape = maker.shape(f"zone {k + 1}", form.shape, path)
        for outline in shape.outlines if shape is not None else ():
            zones.append(form.value(shape=Polygon(outline.outer.flattened(COARSE_CHORDS))))
        if shape is not None and not shape.outlines:
            maker.found.append(file.finding(path, "a zone must be a closed shape", "give a rectangle, say"))
    if maker.found:
        raise InputError(maker.found)
    return plain_stock(file, board, tuple(zones))


_Boards: TypeAlias = "list[tuple[str, int, Job, Layout | Nested | None]]"

_MOVED: Final = {
    "merge_stepdowns": {
        "enter_in_waste": "remove it: the pass spare_top_edge always does this",
        "strict": "write spare_top_edge = { strict = true }",
    }
}
"""Options that passes had in earlier versions, and what to write instead."""

_FULL: Final = "full-boards"


def _jobs(file: JobFile, made: Drawn, board: int, bits: Bits) -> tuple[_Boards, tuple[Finding, ...], Origins]:
    """Place, times, job and layout of each kind of board to cut; notes about its pieces; where in the file they come
    from."""
    from pathkit.operations.copies import laid_out
    from pathkit.operations.layout import fill, spread

    stock, name = _stock(file, board), file.form.name
    form = file.form.layout
    if file.form.is_nested:
        return _nested_jobs(file, made, board, stock, bits)
    if form is None:
        piece = piece_of(file, made, stock, bits, grain=stock.grain)
        refuse_overlaps(file, piece)
        whole = replace(stock, zones=(*stock.zones, *piece.zones))
        _refuse_off_board(file, piece, stock)
        only = ("", 1, _job(file, piece.origins, name, whole, piece.toolpaths, piece.precedence, piece.parts), None)
        return [only], piece.notes, piece.origins
    tool = frame_tool(file, bits)
    options: dict[str, Any] = {
        key: getattr(form, key) for key in ("web", "spacing", "margin", "keep_grain", "align")
    }  # fmt: skip
    if form.web is None and form.spacing is None:
        options["web"] = usual_web(file, tool.diameter)
    web = tool.diameter if options["web"] is None else options["web"]
    refuse_grooves(file, 2.0 * tool.diameter + web if form.spacing is None else form.spacing)
    with at_board(file, board):
        layouts = (
            (fill(made.frame, stock, tool, **options),)
            if form.copies == "fill"
            else spread(made.frame, stock, tool, form.copies, **options)
        )
    piece = piece_of(file, made, stock, bits, grain=layouts[0].grain)
    refuse_overlaps(file, piece)
    jobs: _Boards = []
    different = list(dict.fromkeys(layout.count for layout in layouts))
    for count in different:
        layout = next(each for each in layouts if each.count == count)
        times = sum(each.count == count for each in layouts)
        copies = laid_out(
            piece.toolpaths, layout.placements, parts=piece.parts, precedence=piece.precedence, order=form.order
        )
        zones = tuple(moved_zone(zone, place) for place in layout.placements for zone in piece.zones)
        whole = replace(stock, zones=(*stock.zones, *zones))
        place = "" if len(different) == 1 else _FULL if count == different[0] else LAST
        title = name if place != LAST else f"{name} last board"
        job = _job(file, piece.origins, title, whole, copies.toolpaths, copies.precedence, copies.parts)
        jobs.append((place, times, job, layout))
    return jobs, piece.notes, piece.origins


def _nested_jobs(
    file: JobFile, made: Drawn, board: int, stock: Stock, bits: Bits
) -> tuple[_Boards, tuple[Finding, ...], Origins]:
    """`_jobs` for parts that are laid out one by one."""
    layouts = nested_boards(file, made, board, stock, bits)
    pieces = Pieces(file, made, stock, bits)
    order = "stage" if file.form.layout is None else file.form.layout.order
    jobs: _Boards = []
    none = (0,) * len(file.form.part)
    over_all = tuple(sum(each) for each in zip(*(layout.counts for layout in layouts), strict=True))
    before = none
    for number, layout in enumerate(layouts, 1):
        # Copies that are marked differently are numbered through over all boards, others anew on each board.
        through = file.form.is_marked
        copies, zones = cut_out(layout, pieces, order, before, over_all if through else layout.counts)
        before = tuple(a + b for a, b in zip(before, layout.counts, strict=True)) if through else none
        whole = replace(stock, zones=(*stock.zones, *zones))
        several = len(layouts) > 1
        title = f"{file.form.name} board {number}" if several else file.form.name
        place = f"board-{number}" if several else ""
        job = _job(file, pieces.origins, title, whole, copies.toolpaths, copies.precedence, copies.parts)
        jobs.append((place, layout.times, job, layout))
    return jobs, pieces.notes, pieces.origins


def _refuse_off_board(file: JobFile, piece: Piece, stock: Stock) -> None:
    """Raises `InputError` for parts that hang over the board's edge, and says on which side and by how much."""
    found: list[Finding] = []
    outlines = {part.name: part.outline for part in piece.parts if part.outline is not None}
    features = {part.name: [f.curve for f in (*part.recesses, *part.holes)] for part in piece.parts}
    for index, part in enumerate(file.form.part):
        outline = outlines.get(part.name)
        shapes = [*features.get(part.name, ()), *piece.marked.get(part.name, ())] if outline is None else [outline]
        if not shapes:
            continue
        left, front, right, back = bounds_of(shapes)
        over = {"left": -left, "front": -front, "right": right - stock.width, "back": back - stock.depth}
        sides = ", ".join(f"{by:.2f} mm at the {side}" for side, by in over.items() if by > SAME_PLACE)
        if sides:
            what = f"the part {part.name!r} hangs over the board: {sides}"
            fix = "let [layout] place it"
            if left >= 0.0 and front >= 0.0:
                fix += f", or use a board of width = {max(right, stock.width):g}, depth = {max(back, stock.depth):g}"
            else:
                fix += f", or move its shapes by [{max(0.0, -left):g}, {max(0.0, -front):g}]"
            found.append(file.finding(("part", index), what, fix))
    if found:
        raise InputError(found)


def _job(
    file: JobFile, origins: Origins, name: str, stock: Stock, toolpaths: tuple[Toolpath, ...], precedence: Any,
    parts: tuple[Part, ...],
) -> Job:  # fmt: skip
    """Raises `InputError` for what the model refuses and `Refused` for webs that would break, at the file's keys."""
    from pathkit.operations import check_webs

    layout = file.form.layout
    try:
        job = Job(name, stock, toolpaths, precedence, parts)
        check_webs(job.toolpaths, stock, least=None if layout is None else layout.least_web)
    except (ModelError, Refused) as error:
        kind = InputError if isinstance(error, ModelError) else Refused
        names = [part.name for part in parts], [path.name for path in toolpaths]
        raise kind(f.at(file=file.source) for f in origins.placed(error.findings, *names)) from None
    return job


def _feed_notes(file: JobFile, job: Job, machine: Machine) -> tuple[Finding, ...]:
    """Warnings about feeds that are unusual for the job's material; the feeds are not changed."""
    from pathkit.operations import check_feeds

    material = file.form.stock.material
    return () if material is None else check_feeds(job.toolpaths, job.stock, material, machine)
