"""Commands that read cut files: prove them again, compare two, and estimate how long one takes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pathkit.cli.progress import AFTER, Progress
from pathkit.cli.showing import DONE, FAILED, JSON, OF_CERTIFICATE, QUIET, tell
from pathkit.cli.spoken import echo
from pathkit.errors import InputError
from pathkit.units import clock

if TYPE_CHECKING:
    from pathkit.findings import Finding
    from pathkit.model.job import Job


@click.command()
@click.argument("path", metavar="FILE|DIR", type=click.Path(path_type=Path))
@OF_CERTIFICATE
@click.option(
    "--job",
    "job_file",
    metavar="JOB",
    type=click.Path(path_type=Path),
    help="The job that it must cut; for a job file (.toml), also reports stale files.",
)
@click.option("--turn", type=click.IntRange(0, 3), help="Quarter turns of the board, counter-clockwise.")
@click.option("--rules-only", is_flag=True, help="Check only controller rules and safety; compare nothing.")
@QUIET
@JSON
def check(
    path: Path, machine: str | None, job_file: Path | None, turn: int | None, rules_only: bool, quiet: bool,
    as_json: bool,
) -> int:  # fmt: skip
    """Prove a cut file, or every file of a folder, again from its text.

    With a job file in TOML: also report which files it has made stale since DIR was built.
    """
    from pathkit.handover.atomic_write import broken_off
    from pathkit.handover.recheck import recheck
    from pathkit.handover.revision import revisions
    from pathkit.model.job import Setup
    from pathkit.registry import load_machine

    if job_file is not None and rules_only:
        raise InputError("--job and --rules-only contradict each other; leave one out")
    job, stale = (None, ()) if job_file is None else _given(job_file, path)
    broken = broken_off(path) if path.is_dir() else ()
    told_apart = () if broken else revisions(path)
    # Files of mixed builds are not worth proving.
    with Progress(quiet or as_json, AFTER) as progress:
        results = (
            ()
            if broken
            else recheck(
                path,
                machine=None if machine is None else load_machine(machine),
                job=job,
                setup=None if turn is None else Setup(turn=turn),
                rules_only=rules_only,
                progress=progress,
            )
        )
    ok = all(result.ok for result in results) and not (stale or broken or told_apart)
    if as_json:
        told = {"ok": ok, "files": [r.as_dict() for r in results], "stale": [f.as_dict() for f in stale]}
        told |= {"folder": [f.as_dict() for f in (*broken, *told_apart)]}
        click.echo(json.dumps(told, indent=1))
        return DONE if ok else FAILED
    for result in results:
        if not (quiet and result.ok):
            echo(f"{result.file}: {'ok' if result.ok else 'FAILED'}")
        for line in () if quiet else result.summary():
            echo(line, indent="  ", units=result.units)
        tell(result.findings, indent="  ", quiet=quiet, units=result.units)
    tell((*stale, *broken, *told_apart), quiet=quiet)
    return DONE if ok else FAILED


def _given(job_file: Path, path: Path) -> tuple[Job | None, tuple[Finding, ...]]:
    """The job to compare with, or what a job file has made stale: only for that is what reads job files imported."""
    from pathkit.handover.stale import job_or_stale

    return job_or_stale(job_file, path)


@click.command()
@click.argument("path", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--machine", metavar="M", required=True, help="Profile (.toml) or name of the machine.")
@JSON
def time(path: Path, machine: str, as_json: bool) -> int:
    """Estimate how long a machine takes for FILE, as its controller plans it."""
    from pathkit.handover.recheck import read_motion
    from pathkit.machine.kinematics import run_time
    from pathkit.registry import load_machine

    profile = load_machine(machine)
    taken = run_time(read_motion(path, profile), profile)
    figures = {
        "total_s": taken.total,
        "moving_s": taken.moving,
        "dwelling_s": taken.dwelling,
        "moves": taken.planned_moves,
    }
    if as_json:
        click.echo(json.dumps({"ok": True, "file": str(path), **figures}, indent=1))
    else:
        echo(f"{path}: {clock(taken.total)} ({taken.moving:.1f} s moving, {taken.dwelling:.1f} s standing)")
    return DONE


@click.command()
@click.argument("first", metavar="A", type=click.Path(path_type=Path))
@click.argument("second", metavar="B", type=click.Path(path_type=Path))
@click.option("--machine", "machines", metavar="M", multiple=True, help="A's machine, then B's if it differs.")
@click.option(
    "--job",
    "job_file",
    metavar="JOB",
    type=click.Path(path_type=Path),
    help="The job, for its board and bits.",
)
@QUIET
@JSON
def compare(
    first: Path, second: Path, machines: tuple[str, ...], job_file: Path | None, quiet: bool, as_json: bool
) -> int:  # fmt: skip
    """Prove or refute that files A and B cut the same board, whatever their machines and orders.

    What you do not give comes from the certificate beside each file.
    """
    from pathkit.files import read_bytes
    from pathkit.handover.comparing import Known
    from pathkit.handover.comparing import compare as make
    from pathkit.model.job import Job
    from pathkit.registry import load_machine

    if len(machines) > 2:
        raise InputError(f"{len(machines)} machines for two files; give one for each, or one for both")
    profiles = [load_machine(name) for name in machines]
    job = None if job_file is None else Job.from_json(read_bytes(job_file), str(job_file))
    known = [Known(machine, job) for machine in ((profiles * 2)[:2] if len(profiles) == 1 else profiles)]
    with Progress(quiet or as_json, AFTER) as progress:
        proof = make(first, second, *(known or [Known(job=job)] * 2), progress=progress)
    if as_json:
        click.echo(json.dumps({"first": str(first), "second": str(second), **proof.as_dict()}, indent=1))
        return DONE if proof.ok else FAILED
    if not (quiet and proof.ok):
        if proof.ok:
            echo(f"{first} and {second} cut the same board")
        else:
            echo(f"{first} and {second} are NOT proved to cut the same board")
    if not quiet:
        figures = proof["same board"].figures
        echo(f"{figures['heights']} heights, within {figures['tolerance_mm']} mm", indent="  ")
    tell(proof.findings, indent="  ", quiet=quiet)
    return DONE if proof.ok else FAILED
