"""Commands for people at the machine: start again after a break, and rehearse a new machine."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pathkit.cli.showing import DONE, FAILED, FORCE, JSON, LANGUAGE, tell
from pathkit.cli.spoken import echo
from pathkit.errors import InputError
from pathkit.texts.language import Language

if TYPE_CHECKING:
    from pathkit.jobs.requests import Wishes

_YES = click.Choice(["yes", "no"])


@click.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--from", "toolpath", metavar="TOOLPATH", required=True, help="The toolpath to start again with.")
@click.option("--out", metavar="F", type=click.Path(path_type=Path), required=True, help="The new cut file.")
@LANGUAGE
@FORCE
@JSON
def resume(file: Path, toolpath: str, out: Path, language: Language | None, force: bool, as_json: bool) -> int:
    """Make a proved file that does what FILE does from a toolpath on.

    FILE is a cut file with its certificate and job beside it. Air cut, certificate, job and a preview are written
    beside F.
    """
    from pathkit.handover.atomic_write import write_beside
    from pathkit.handover.recheck import language_beside
    from pathkit.handover.resume import resume as make

    made = make(file, toolpath, out.name, language or language_beside(file))
    write_beside(out.parent, made.files, force=force)
    if as_json:
        click.echo(json.dumps({**made.as_dict(), "out": str(out)}, indent=1))
        return DONE
    tell(made.findings, quiet=True, units=made.machine.units)
    echo(f"{out}: {len(made.job.toolpaths)} toolpaths from {toolpath!r} on, proved; air cut {made.air_file}")
    click.echo()
    echo("Before you start:")
    for line in made.before_you_resume:
        click.echo(f"  - {line}")
    return DONE


@click.command()
@click.argument("job_file", metavar="[JOB]", required=False, type=click.Path(path_type=Path))
@click.option("--machine", metavar="M", required=True, help="Profile (.toml) or name of the machine.")
@click.option("--out", metavar="DIR", type=click.Path(path_type=Path), help="Folder for both files.")
@click.option(
    "--turn",
    type=click.IntRange(0, 3),
    default=0,
    show_default=True,
    help="Quarter turns of the board, counter-clockwise.",
)
@click.option("--test-piece", is_flag=True, help="Instead a piece to cut: recesses and slots in steps of fit.")
@click.option("--letter-reads", type=_YES, help="Could you read the F? Stored in the profile.")
@click.option("--rectangle-fits", type=_YES, help="Did the rectangle fit? Stored in the profile.")
@LANGUAGE
@FORCE
@JSON
def rehearse(  # noqa: PLR0913 - each is an option of the command
    job_file: Path | None, machine: str, out: Path | None, turn: int, test_piece: bool, letter_reads: str | None,
    rectangle_fits: str | None, language: Language | None, force: bool, as_json: bool,
) -> int:  # fmt: skip
    """Make two files that show a new machine's axes in the air, or store what they showed.

    With JOB and --out: a letter, a rectangle round the job's board, and a preview of both; with --test-piece instead
    a piece to cut, which shows what fit the job needs. With --letter-reads and --rectangle-fits: the answers, written
    into the profile.
    """
    from pathkit.jobs.requests import Wishes
    from pathkit.model.job import Setup

    answers, wanted = (letter_reads, rectangle_fits), (job_file, out)
    if job_file is not None and out is not None and answers == (None, None):
        wishes = Wishes(Setup(turn=turn), language=language)
        if test_piece:
            return _test_piece(job_file, machine, out, wishes, force, as_json)
        return _rehearse(job_file, machine, out, wishes, force, as_json)
    if letter_reads is not None and rectangle_fits is not None and wanted == (None, None) and not test_piece:
        return _record(machine, letter_reads == "yes", rectangle_fits == "yes", as_json)
    raise InputError("give JOB and --out to make the files, or --letter-reads and --rectangle-fits to store the answer")


def _rehearse(job_file: Path, machine: str, out: Path, wishes: Wishes, force: bool, as_json: bool) -> int:
    from pathkit.handover.atomic_write import about, claim_folder, listed_in, write_claimed
    from pathkit.handover.rehearse import rehearse as make
    from pathkit.handover.watching import preview_of_rehearsal
    from pathkit.jobs.requests import orders_for
    from pathkit.registry import load_machine

    profile = load_machine(machine)
    (order, *_) = orders_for(job_file, [profile], wishes)
    made = make(order.job, profile, order.setup, say=order.language)
    page = preview_of_rehearsal(made, order.job, order.setup, order.language)
    with claim_folder(out, force=force) as claim:
        # It may be a folder from a build: what is there stays.
        write_claimed(claim, {**made.files, **page}, force=force, kept=listed_in(claim), notes=about(claim))
    if as_json:
        click.echo(json.dumps({**made.as_dict(), "out": str(out)}, indent=1))
        return DONE
    echo(f"{out}: {made.letter_file} and {made.rectangle_file}, proved to stay in the air; {' '.join(page)} shows them")
    for number, question in enumerate(made.questions, 1):
        click.echo(f"  {number}. {question}")
    return DONE


def _test_piece(job_file: Path, machine: str, out: Path, wishes: Wishes, force: bool, as_json: bool) -> int:
    from pathkit.handover.build import build_orders
    from pathkit.handover.rehearse import use_of_piece
    from pathkit.jobs.handout import of_piece, piece_order
    from pathkit.jobs.requests import job_file as read
    from pathkit.registry import load_machine

    order = piece_order(read(job_file), of_piece(load_machine(machine)), wishes.setup)
    order = replace(order, language=wishes.language or order.language)
    result = build_orders([order], out, force=force)
    if as_json:
        click.echo(json.dumps(result.as_dict(), indent=1))
        return DONE if result.ok else FAILED
    tell(result.told, units=order.machine.units)
    if not result.ok:
        return FAILED
    (folder,) = result.folders
    echo(f"{out}: {folder.name}/{folder.cut_file}, proved: {folder.verdict}; its sheet is {folder.sheet_file}")
    for number, line in enumerate(use_of_piece(order.machine, order.language), 1):
        click.echo(f"  {number}. {line}")
    return DONE


def _record(machine: str, letter_reads: bool, rectangle_fits: bool, as_json: bool) -> int:
    from pathkit.handover.rehearse import record, rehearsal_findings

    changed = record(machine, letter_reads=letter_reads, rectangle_fits=rectangle_fits)
    findings = rehearsal_findings(changed)
    if as_json:
        values = {"letter_reads": letter_reads, "rectangle_fits": rectangle_fits}
        told = [finding.as_dict() for finding in findings]
        click.echo(json.dumps({"ok": not findings, "machine": changed.name, "rehearsed": values, "findings": told}))
    else:
        echo(f"{machine}: the answer is stored in [rehearsed]")
        tell(findings, units=changed.units)
    return FAILED if findings else DONE
