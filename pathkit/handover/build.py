"""From one job and some machines to a folder for each: cut file, air-cut twin, certificate, sheet, and the job as cut.

Everything is made and proved in memory. Files are written only if every machine's files are proved, and then whole or
not at all; the same input gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from pathkit.errors import InputError, PathkitError, Refused, UnknownName
from pathkit.findings import Finding, errors_of
from pathkit.handover import report as reports
from pathkit.handover.atomic_write import Written, claim_folder, write_claimed
from pathkit.handover.kept import INDEX, Kept, kept_in
from pathkit.handover.lowered import Lowered, lowered, quiet
from pathkit.handover.pages import render as pages
from pathkit.handover.pages.holding import holding_findings
from pathkit.handover.pages.sheet import zero_findings
from pathkit.handover.rehearse import rehearsal_findings, rehearse
from pathkit.handover.result import BuildResult, Folder
from pathkit.handover.revision import SHEET
from pathkit.handover.stored_once import shared_note
from pathkit.handover.watching import preview_of_build
from pathkit.jobs.mark import mark_of_jobs
from pathkit.jobs.order import Order, made_from
from pathkit.jobs.sources import audited, boards_of, sealed_sources, source_files
from pathkit.machine.limits import board_fits
from pathkit.machine.profile import Machine, slug
from pathkit.model.job import Job, Setup
from pathkit.motion.program import ToolChange
from pathkit.proof.judged import Judged

if TYPE_CHECKING:
    from pathkit.machine.kinematics import RunTime
    from pathkit.motion.program import Program
    from pathkit.passes.base import Pass
    from pathkit.posting import Posted

Progress = Callable[[int, int, str], bool]
Setups = Setup | Mapping[str, Setup] | None

_STEPS = ("improving the job", "lowering", "writing", "proving", "proving the air cut")


def build(
    job: Job,
    machines: Sequence[Machine],
    out: str | Path,
    *,
    passes: Sequence[Pass] = (),
    setups: Setups = None,
    force: bool = False,
    drop_others: bool = False,
    progress: Progress | None = None,
) -> BuildResult:
    """Improve ``job`` by ``passes`` for each machine, post it, prove it, and write one folder a machine into ``out``.

    ``setups`` says how the board lies: one `Setup` for all machines, or one by a machine's name (other boards are not
    turned). ``force`` writes even if foreign files are in ``out``; those of other names are kept. What an earlier build
    made there for other machines is kept too, and named in the index, unless ``drop_others``.

    If a proof fails, nothing is written and the result says why (``ok`` is False). Raises `InputError` for machines
    that cannot be told apart, for foreign files, and if another build is at work in ``out``; `Refused` for a board that
    does not fit, a job that cannot be cut safely, or a ``progress`` that returned False; `OutputError` if ``out``
    cannot be written; it is then as it was.
    """
    chosen = setups_of(machines, setups)
    orders = [Order(machine, chosen[machine.name], job, tuple(passes)) for machine in machines]
    return build_orders(orders, out, force=force, drop_others=drop_others, progress=progress)


def build_orders(
    orders: Sequence[Order], out: str | Path, *, force: bool = False, drop_others: bool = False,
    progress: Progress | None = None,
) -> BuildResult:  # fmt: skip
    """`build` for orders that differ in more than their machine: a folder for each, and an index of all.

    Raises what `build` raises.
    """
    _refuse_alike(orders)
    _refuse_large_boards(orders)
    orders = _marked(orders)
    # Held from here on: any other build into it is told now, and not after a long proof.
    with claim_folder(Path(out), force=force) as claim:
        folders = _proved(orders, progress)
        written: Written | None = None
        kept: tuple[Kept, ...] = ()
        names: tuple[str, ...] = ()
        if all(folder.ok for folder in folders):
            files = {f"{folder.name}/{name}": data for folder in folders for name, data in folder.files.items()}
            if not drop_others:
                kept, names = kept_in(claim, {order.machine.slug for order in orders})
            files[INDEX] = pages.index_page(folders, files, kept, claim)
            shared = shared_note(claim, {each.folder for each in kept})
            notes = {"mark": orders[0].mark, "rows": pages.rows_of(folders, kept), **shared}
            written = write_claimed(claim, files, force=force, kept=names, notes=notes)
    return BuildResult(Path(out), folders, written, kept)


def _marked(orders: Sequence[Order]) -> tuple[Order, ...]:
    """All with the one mark of their job."""
    marks = {order.mark for order in orders}
    mark = marks.pop() if len(marks) == 1 else ""
    mark = mark or mark_of_jobs(order.job for order in orders)
    return tuple(replace(order, mark=mark) for order in orders)


def _proved(orders: Sequence[Order], progress: Progress | None) -> tuple[Folder, ...]:
    folders: list[Folder] = []
    judged = Judged()
    for index, order in enumerate(orders):
        tell = _teller(progress, index, len(orders), order.machine)
        try:
            folders.append(with_sheet(prepared(order, boards_of(orders, order), tell, judged=judged)))
        except PathkitError as error:
            # The answer must say which machine it was.
            placed = order.placed(finding.at(file=order.folder) for finding in error.findings)
            raise type(error)(placed) from error
    return tuple(folders)


def with_sheet(folder: Folder) -> Folder:
    """The same folder with its setup sheet."""
    return replace(folder, sheet_file=SHEET, files={**folder.files, SHEET: pages.sheet_page(folder)})


def prepared(
    order: Order, boards: tuple[tuple[int, ...], ...], tell: Callable[[int], None] = quiet,
    make: Callable[[Order, Callable[[int], None]], Lowered] = lowered, judged: Judged | None = None,
) -> Folder:  # fmt: skip
    """The folder of one order, proved, without its sheet. ``boards`` are all boards of its machine (`boards_of`);
    ``make`` gives the job as it is cut, and may have it from another machine (`pathkit.handover.lowered.Shared`);
    ``judged`` keeps what was found right about the board, and the audits of jobs.

    Raises `Refused` for a job that cannot be cut safely, and what ``tell`` raises.
    """
    from pathkit import api
    from pathkit.machine.kinematics import run_time
    from pathkit.machine.reached import seconds_at_feed
    from pathkit.passes.measuring import measured
    from pathkit.proof.certificate import certificate_name, certify
    from pathkit.proof.several_files import join_proofs
    from pathkit.registry import capabilities_of

    job, machine, setup = order.job, order.machine, order.setup
    rehearsed = (*rehearsal_findings(machine), *zero_findings(job, machine))
    if unfit := errors_of(rehearsed):
        raise Refused(unfit)
    made = make(order, tell)
    outcome, program, job_text = made.outcome, made.program, made.text
    as_asked = audited(order, boards, job_text, None if judged is None else judged.audits)
    tell(2)
    posted = api.post(program, machine, setup, mark=order.mark, about=order.about.lines)
    twin = api.air_cut(posted, machine)
    tell(3)
    proofs = tuple(
        replace(proof, checks=(*proof.checks, *as_asked))
        for proof in api.verify_files(posted, program, machine, job=outcome.job, setup=setup, judged=judged)
    )
    tell(4)
    twins = [api.verify_twin(air, cut, machine) for air, cut in zip(twin.each_file, posted.each_file, strict=True)]
    clock = run_time(program, machine, setup, line_bytes=posted.line_bytes)
    before = measured(made.before, machine, setup)
    after = measured(program, machine, setup, seconds=clock.total)
    lines = sum(file.data.count(b"\n") for file in posted.files)
    figures = reports.figures_of(before, after, clock, len(program), lines)
    findings = (
        *outcome.findings,
        *posted.findings,
        *rehearsed,
        *order.notes,
        *_warnings(order, outcome.job, program, clock),
    )
    job_name = f"{slug(job.name)}.job.json"
    written = {file.name: file.data for file in (*posted.files, *twin.files)}
    written[job_name] = job_text
    in_the_air = rehearse(outcome.job, machine, setup, measured=True) if order.is_rehearsed else None
    written |= {} if in_the_air is None else in_the_air.files
    asked_files, listed = source_files(order.sources, machine)
    written |= asked_files | preview_of_build(order, outcome.job, posted, proofs, clock)
    sources = sealed_sources(order, boards, listed)
    names: list[tuple[str, str, str]] = []
    for number, (cut, air, proof, twin_proof) in enumerate(
        zip(posted.each_file, twin.each_file, proofs, twins, strict=True), 1
    ):
        ordinal = (number, len(proofs)) if len(proofs) > 1 else None
        sealed = certify(
            proof, twin_proof, cut, air, machine, capabilities_of(machine), outcome.job, setup, job_file=job_name,
            ordinal=ordinal, files=posted.files, mark=order.mark, job_text=job_text, language=order.language.code,
        )  # fmt: skip
        report = {**reports.report_of(sealed, figures, outcome, findings), "made_from": made_from(order)}
        report["sources"] = sources
        names.append((cut.files[0].name, air.files[0].name, certificate_name(cut.files[0].name)))
        written[names[-1][2]] = reports.as_json(report)
    cut_file, air_file, report_file = names[0]
    return Folder(
        order, outcome.job, written, cut_file, air_file, report_file, job_name, figures, join_proofs(proofs),
        join_proofs(tuple(twins)), clock, findings, further=tuple(names[1:]),
        change_lines=_change_lines(program, posted), rehearsal=() if in_the_air is None else tuple(in_the_air.files),
        quickest=seconds_at_feed(program) if order.handout else None,
    )  # fmt: skip


def _warnings(order: Order, job: Job, program: Program, clock: RunTime) -> tuple[Finding, ...]:
    """Warnings where a cut runs over the board's edge, where the machine speeds up too slowly for the feeds that its
    bits need, or where too little holds a part."""
    from pathkit.machine.reached import mean_feeds
    from pathkit.operations import check_edges, check_reached

    over = check_edges(job)
    if order.wood is None:
        return over
    means = mean_feeds(program, clock)
    return (
        *over,
        *check_reached(job.toolpaths, job.stock, order.wood, means, order.machine),
        *holding_findings(job, order.wood, order.machine),
    )


def _change_lines(program: Program, posted: Posted) -> tuple[int, ...]:
    """The lines with which the files go on after each change of bit."""
    changes = [at for at, event in zip(program.event_at.tolist(), program.event, strict=True)
               if isinstance(event, ToolChange)]  # fmt: skip
    return tuple(int(posted.line_of_row[row]) for row in changes[1:])


def setups_of(machines: Sequence[Machine], setups: Setups) -> dict[str, Setup]:
    """The setup of each machine by its name. Raises `InputError` for no machine, `UnknownName` for one not there."""
    if not machines:
        raise InputError("no machine to build for; name at least one")
    if setups is None or isinstance(setups, Setup):
        return {machine.name: setups or Setup() for machine in machines}
    if unknown := sorted(setups.keys() - {machine.name for machine in machines}):
        names = ", ".join(machine.name for machine in machines)
        raise UnknownName(
            Finding(
                check="build", what=f"a setup for {name!r}, which is no machine of this build", fix=f"one of: {names}"
            )
            for name in unknown
        )
    return {machine.name: setups.get(machine.name, Setup()) for machine in machines}


def _refuse_alike(orders: Sequence[Order]) -> None:
    """Every machine's board must have its own name and folder."""
    named = [f"{order.machine.name}\0{order.place}" for order in orders]
    folders = [order.folder for order in orders]
    for what, keys in (("two machines have the name {!r}", named), ("two machines have the folder {!r}", folders)):
        if twice := sorted({key.split("\0")[0] for key in keys if keys.count(key) > 1}):
            raise InputError(
                Finding(check="build", what=what.format(each), fix="give each its own name") for each in twice
            )


def _refuse_large_boards(orders: Sequence[Order]) -> None:
    found = [finding for order in orders for finding in board_fits(order.job.stock, order.machine, order.setup)]
    if found:
        raise Refused(dict.fromkeys(found))


def _teller(progress: Progress | None, index: int, count: int, machine: Machine) -> Callable[[int], None]:
    def tell(step: int) -> None:
        message = f"{machine.name}: {_STEPS[step]}"
        if progress is not None and progress(index * len(_STEPS) + step, count * len(_STEPS), message) is False:
            raise Refused("stopped; nothing was written")

    return tell
