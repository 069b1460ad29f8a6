"""Commands for the person at the machine: start again after a break, and rehearse a machine that is new."""

from __future__ import annotations

import json
from pathlib import Path

import click

from pathkit.errors import InputError

JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
FORCE = click.option("--force", is_flag=True, help="Write even where foreign files stand; only the same names go.")

_YES = click.Choice(["yes", "no"])


@click.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--from", "toolpath", metavar="TOOLPATH", required=True, help="The toolpath to start again with.")
@click.option("--out", metavar="F", type=click.Path(path_type=Path), required=True, help="The new cut file.")
@FORCE
@JSON
def resume(file: Path, toolpath: str, out: Path, force: bool, as_json: bool) -> int:
    """Make a proved file that does what FILE does from a toolpath on.

    FILE is a cut file with its certificate and job beside it; air cut, certificate and job are written beside F.
    """
    from pathkit.handover.folder import write_beside
    from pathkit.handover.resume import BEFORE_YOU_RESUME
    from pathkit.handover.resume import resume as make

    made = make(file, toolpath, out.name)
    write_beside(out.parent, made.files, force=force)
    if as_json:
        click.echo(json.dumps({**made.as_dict(), "out": str(out)}, indent=1))
        return 0
    for finding in made.findings:
        if finding.severity != "note":
            click.echo(f"{finding.severity}: {finding}")
    click.echo(f"{out}: {len(made.job.toolpaths)} toolpaths from {toolpath!r} on, proved; air cut {made.air_file}")
    click.echo("\nBefore you start:")
    for line in BEFORE_YOU_RESUME:
        click.echo(f"  - {line}")
    return 0


@click.command()
@click.argument("job_file", metavar="[JOB]", required=False, type=click.Path(path_type=Path))
@click.option("--machine", metavar="M", required=True, help="A profile (.toml) or a name.")
@click.option("--out", metavar="DIR", type=click.Path(path_type=Path), help="The folder for both files.")
@click.option("--turn", type=click.IntRange(0, 3), default=0, show_default=True, help="Quarters, counter-clockwise.")
@click.option("--letter-reads", type=_YES, help="What you saw; kept in the profile.")
@click.option("--rectangle-fits", type=_YES, help="What you saw; kept in the profile.")
@FORCE
@JSON
def rehearse(
    job_file: Path | None, machine: str, out: Path | None, turn: int, letter_reads: str | None,
    rectangle_fits: str | None, force: bool, as_json: bool,
) -> int:  # fmt: skip
    """Make two files that show a new machine's axes in the air, or keep what they showed.

    With JOB and --out: a letter, and a rectangle round the job's board. With --letter-reads and --rectangle-fits: the
    answer, written into the profile.
    """
    answers, wanted = (letter_reads, rectangle_fits), (job_file, out)
    if job_file is not None and out is not None and answers == (None, None):
        return _rehearse(job_file, machine, out, turn, force, as_json)
    if letter_reads is not None and rectangle_fits is not None and wanted == (None, None):
        return _record(machine, letter_reads == "yes", rectangle_fits == "yes", as_json)
    raise InputError("give JOB and --out to make the files, or --letter-reads and --rectangle-fits to keep the answer")


def _rehearse(job_file: Path, machine: str, out: Path, turn: int, force: bool, as_json: bool) -> int:
    from pathkit.handover.asked import Wishes, orders_for
    from pathkit.handover.folder import about, listed_in, opened, write_claimed
    from pathkit.handover.rehearse import QUESTIONS
    from pathkit.handover.rehearse import rehearse as make
    from pathkit.model.job import Setup
    from pathkit.registry import load_machine

    profile, setup = load_machine(machine), Setup(turn=turn)
    (order, *_) = orders_for(job_file, [profile], Wishes(setup))
    made = make(order.job, profile, setup)
    with opened(out, force=force) as claim:
        # It may be a folder that was built: what stands there stays.
        write_claimed(claim, made.files, force=force, kept=listed_in(claim), said=about(claim))
    if as_json:
        click.echo(json.dumps({**made.as_dict(), "out": str(out)}, indent=1))
        return 0
    click.echo(f"{out}: {made.letter_file} and {made.rectangle_file}, proved to stay in the air")
    for number, question in enumerate(QUESTIONS, 1):
        click.echo(f"  {number}. {question}")
    return 0


def _record(machine: str, letter_reads: bool, rectangle_fits: bool, as_json: bool) -> int:
    from pathkit.handover.rehearse import record, rehearsal_findings

    changed = record(machine, letter_reads=letter_reads, rectangle_fits=rectangle_fits)
    findings = rehearsal_findings(changed)
    if as_json:
        values = {"letter_reads": letter_reads, "rectangle_fits": rectangle_fits}
        told = [finding.as_dict() for finding in findings]
        click.echo(json.dumps({"ok": not findings, "machine": changed.name, "rehearsed": values, "findings": told}))
    else:
        click.echo(f"{machine}: the answer is kept in [rehearsed]")
        for finding in findings:
            click.echo(f"{finding.severity}: {finding}")
    return 0 if not findings else 1


@click.command()
@click.argument("first", metavar="A", type=click.Path(path_type=Path))
@click.argument("second", metavar="B", type=click.Path(path_type=Path))
@click.option("--machine", "machines", metavar="M", multiple=True, help="A's machine, and then B's if it is another.")
@click.option("--job", "job_file", metavar="JOB", type=click.Path(path_type=Path), help="The job, for board and bits.")
@JSON
def compare(first: Path, second: Path, machines: tuple[str, ...], job_file: Path | None, as_json: bool) -> int:
    """Prove or refute that the files A and B cut the same board, whatever their machines and orders.

    What is not given comes from the certificate beside each file.
    """
    from pathkit.files import read_bytes
    from pathkit.handover.side_by_side import Known
    from pathkit.handover.side_by_side import compare as make
    from pathkit.model.job import Job
    from pathkit.registry import load_machine

    if len(machines) > 2:
        raise InputError(f"{len(machines)} machines for two files; give one for each, or one for both")
    profiles = [load_machine(name) for name in machines]
    job = None if job_file is None else Job.from_json(read_bytes(job_file), str(job_file))
    known = [Known(machine, job) for machine in ((profiles * 2)[:2] if len(profiles) == 1 else profiles)]
    proof = make(first, second, *(known or [Known(job=job)] * 2))
    if as_json:
        click.echo(json.dumps({"first": str(first), "second": str(second), **proof.as_dict()}, indent=1))
        return 0 if proof.ok else 1
    verdict = "cut the same board" if proof.ok else "are NOT proved to cut the same board"
    figures = proof["same board"].figures
    click.echo(f"{first} and {second} {verdict}")
    click.echo(f"  {figures['heights']} heights, within {figures['tolerance_mm']} mm")
    for finding in proof.findings:
        click.echo(f"  {finding.severity}: {finding}")
    return 0 if proof.ok else 1
