"""The command line. Exit codes: 0 done, 1 a check failed, 2 the input is wrong or the output cannot be written, 130
interrupted, 70 a fault of pathkit's own.

Thin: every command parses its words, calls the library, and shows what came of it: text for people or, with ``--json``,
one JSON object on standard output. Progress, warnings and refusals go to standard error.
"""

from __future__ import annotations

import json
import os
import sys
import traceback
import warnings
from collections.abc import Iterable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, NoReturn

import click

from pathkit.cli_leaving import FAULT, close_quietly, stopped, untold
from pathkit.cli_more import FORCE as _FORCE
from pathkit.cli_more import JSON as _JSON
from pathkit.cli_more import compare, rehearse, resume
from pathkit.cli_new import dialect, machine
from pathkit.cli_progress import Progress
from pathkit.errors import InputError, PathkitError
from pathkit.findings import Finding
from pathkit.handover.journal import completed

DONE, FAILED, WRONG = 0, 1, 2

_EFFORT = click.option(
    "--effort", type=click.IntRange(min=0), help="Search for a short way round so hard; the job's own, or 1."
)
_DROP = click.option("--drop-others", is_flag=True, help="Remove what earlier builds made there for other machines.")
_SEED = click.option("--seed", type=click.IntRange(min=0), help="Same seed, same files; the job's own, or 0.")


def main(argv: Sequence[str] | None = None) -> NoReturn:
    """Run one command and leave with its exit code."""
    words = list(sys.argv[1:] if argv is None else argv)
    try:
        code = run(words)
    except Exception:
        # A check that failed leaves with 1, and so would Python here.
        traceback.print_exc()
        click.echo("error: this is a fault of pathkit's own; please report it with the lines above", err=True)
        code = FAULT
    close_quietly()
    sys.exit(code)


def run(words: Sequence[str]) -> int:
    """Run one command and return its exit code; what went wrong is told in one message, never in a traceback."""
    as_json = "--json" in words
    before = len(completed)
    try:
        with warnings.catch_warnings(record=True) as caught:
            warnings.simplefilter("always", UserWarning)
            code = _invoked(words)
        for warning in caught:
            click.echo(f"warning: {warning.message}", err=True)
        if sys.stdout is not None:
            sys.stdout.flush()
        return code
    except PathkitError as error:
        return _refuse(error.findings, as_json)
    except click.UsageError as error:
        hint = error.ctx.get_usage() if error.ctx is not None else ""
        return _refuse([Finding(check="command line", what=error.format_message(), fix=hint)], as_json)
    except click.ClickException as error:
        return _refuse([Finding(check="command line", what=error.format_message())], as_json)
    except (KeyboardInterrupt, click.Abort) as error:
        code, finding = stopped(error, completed[before:])
        return _refuse([finding], as_json, code)
    except (OSError, SystemExit) as error:
        return _refuse([untold(error, completed[before:])], as_json=False)


def _invoked(words: Sequence[str]) -> int:
    """Without the library's own `main`, which would leave with 1 where standard output is closed."""
    if "_PATHKIT_COMPLETE" in os.environ:
        cli.main(args=list(words), prog_name="pathkit")
    try:
        with cli.make_context("pathkit", list(words)) as context:
            code = cli.invoke(context)
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    return code if isinstance(code, int) else DONE


def _refuse(findings: Iterable[Finding], as_json: bool, code: int = WRONG) -> int:
    findings = tuple(findings)
    # Where nothing can be told, the exit code still is.
    with suppress(OSError):
        for finding in findings:
            click.echo(f"{finding.severity}: {finding}", err=True)
    with suppress(OSError):
        if as_json:
            click.echo(json.dumps({"ok": False, "findings": [f.as_dict() for f in findings]}, indent=1))
    return code


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="pathkit-cam", prog_name="pathkit")
def cli() -> None:
    """Cut files for small 3-axis routers, each in its machine's own words, and proved before any wood is cut."""


cli.add_command(compare)
cli.add_command(resume)
cli.add_command(rehearse)
cli.add_command(dialect)
cli.add_command(machine)


@cli.command()
@click.argument("out", type=click.Path(path_type=Path))
@_EFFORT
@_SEED
@_FORCE
@_DROP
@_JSON
def demo(out: Path, effort: int | None, seed: int | None, force: bool, drop_others: bool, as_json: bool) -> int:
    """Build the demo into OUT: a batch of cable-tidy plates for three machines, on two sizes of board."""
    from pathkit.handover.demo import demo_orders

    return _build(demo_orders(effort=effort, seed=seed), out, force, drop_others, as_json)


@cli.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option("--machine", "machines", metavar="M", multiple=True, help="A profile (.toml) or a name; else the job's.")
@click.option("--out", type=click.Path(path_type=Path), required=True, help="The folder to hand over.")
@click.option("--bit", "bits", metavar="D", multiple=True, help="Your own bit: 6.35mm, 1/4in, or NAME=6mm.")
@click.option("--turn", type=click.IntRange(0, 3), help="Quarters, counter-clockwise.")
@click.option("--zero", metavar="X,Y,Z", help="Place of the work zero in machine coordinates, mm, if known.")
@click.option("--tabs/--no-tabs", default=True, show_default=True, help="Leave two tabs on outlines that have none.")
@_EFFORT
@_SEED
@_FORCE
@_DROP
@_JSON
def build(
    job_file: Path, machines: tuple[str, ...], out: Path, bits: tuple[str, ...], turn: int | None, zero: str | None,
    tabs: bool, effort: int | None, seed: int | None, force: bool, drop_others: bool, as_json: bool,
) -> int:  # fmt: skip
    """Make, from the job JOB (TOML or JSON), proved files and a setup sheet for each machine, in folders of OUT."""
    from pathkit.handover.asked import Wishes, orders_for
    from pathkit.model.job import Setup
    from pathkit.registry import load_machine

    profiles = [load_machine(name) for name in machines]
    if zero is not None and len(profiles) != 1:
        raise InputError("--zero is one machine's own; build for one machine at a time with it")
    placed = turn is not None or zero is not None
    setup = Setup(turn=turn or 0, zero_at=None if zero is None else _triple(zero)) if placed else None
    orders = orders_for(job_file, profiles, Wishes(setup, bits, tabs, effort, seed))
    return _build(orders, out, force, drop_others, as_json)


@cli.command()
@_JSON
def schema(as_json: bool) -> int:
    """Print the JSON schema of a job file, for editors that complete and check as you type."""
    from pathkit.handover.job_form import json_schema

    click.echo(json.dumps(json_schema(), indent=1))
    return DONE


@cli.command()
@click.argument("path", metavar="FILE|DIR", type=click.Path(path_type=Path))
@click.option("--machine", metavar="M", help="A profile (.toml) or a name; else the certificate beside the file.")
@click.option(
    "--job",
    "job_file",
    metavar="JOB",
    type=click.Path(path_type=Path),
    help="What it shall cut; a job file (.toml) names what is stale.",
)
@click.option("--turn", type=click.IntRange(0, 3), help="Quarters that the board is turned, counter-clockwise.")
@click.option("--rules-only", is_flag=True, help="Only what the controller takes and what is safe; compare nothing.")
@_JSON
def check(
    path: Path, machine: str | None, job_file: Path | None, turn: int | None, rules_only: bool, as_json: bool
) -> int:  # fmt: skip
    """Prove a cut file, or every file of a folder, anew from its text.

    With a job file in TOML: also name what it has made stale since DIR was built.
    """
    from pathkit.handover.folder import broken_off
    from pathkit.handover.recheck import recheck
    from pathkit.handover.revision import revisions
    from pathkit.handover.stale import job_or_stale
    from pathkit.model.job import Setup
    from pathkit.registry import load_machine

    if job_file is not None and rules_only:
        raise InputError("--job and --rules-only contradict each other; leave one out")
    job, stale = (None, ()) if job_file is None else job_or_stale(job_file, path)
    broken = broken_off(path) if path.is_dir() else ()
    told_apart = () if broken else revisions(path)
    # What may be mixed is not worth proving.
    results = (
        ()
        if broken
        else recheck(
            path,
            machine=None if machine is None else load_machine(machine),
            job=job,
            setup=None if turn is None else Setup(turn=turn),
            rules_only=rules_only,
        )
    )
    ok = all(result.ok for result in results) and not (stale or broken or told_apart)
    if as_json:
        told = {"ok": ok, "files": [r.as_dict() for r in results], "stale": [f.as_dict() for f in stale]}
        told |= {"folder": [f.as_dict() for f in (*broken, *told_apart)]}
        click.echo(json.dumps(told, indent=1))
        return DONE if ok else FAILED
    for result in results:
        click.echo(f"{result.file}: {'ok' if result.ok else 'FAILED'}")
        for line in result.summary():
            click.echo(f"  {line}")
        _tell(result.findings, indent="  ")
    _tell((*stale, *broken, *told_apart))
    return DONE if ok else FAILED


@cli.command()
@click.argument("path", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--machine", metavar="M", required=True, help="A profile (.toml) or a name.")
@_JSON
def time(path: Path, machine: str, as_json: bool) -> int:
    """How long a machine takes for FILE, as its controller plans it."""
    from pathkit.handover.recheck import read_motion
    from pathkit.machine.kinematics import run_time
    from pathkit.registry import load_machine

    profile = load_machine(machine)
    clock = run_time(read_motion(path, profile), profile)
    figures = {
        "total_s": clock.total,
        "moving_s": clock.moving,
        "dwelling_s": clock.dwelling,
        "moves": clock.planned_moves,
    }
    if as_json:
        click.echo(json.dumps({"ok": True, "file": str(path), **figures}, indent=1))
    else:
        click.echo(f"{path}: {_clock(clock.total)} ({clock.moving:.1f} s moving, {clock.dwelling:.1f} s standing)")
    return DONE


@cli.command()
@_JSON
def dialects(as_json: bool) -> int:
    """The controllers that files can be written for, and where each dialect comes from."""
    from pathkit.dialect.claims import claims

    for finding in (finding for p in _provided("dialect") for finding in claims(p.value)):
        click.echo(f"warning: {finding}", err=True)
    rows = [
        {"name": p.name, "title": p.value.title, "suffix": p.value.suffix, "from": p.package}
        for p in _provided("dialect")
        if not claims(p.value)
    ]
    _show_table("dialects", rows, as_json)
    return DONE


@cli.command()
@_JSON
def machines(as_json: bool) -> int:
    """The machine profiles that can be named without a file."""
    rows = [
        {
            "name": p.name,
            "dialect": p.value.dialect,
            "zero at": p.value.origin,
            "X+ Y+": f"{p.value.axes.x}, {p.value.axes.y}",
            "bed (mm)": f"{p.value.travel.x:g} x {p.value.travel.y:g}",
            "from": p.package,
        }
        for p in _provided("machine")
    ]
    _show_table("machines", rows, as_json)
    return DONE


def _build(orders: Sequence[Any], out: Path, force: bool, drop_others: bool, as_json: bool) -> int:
    from pathkit.handover.build import build_orders

    if not as_json and not any(Path(__file__).parent.rglob("*.nbi")):
        click.echo("first run: the kernels are compiled once, which takes about a minute", err=True)
    with Progress(as_json) as progress:
        result = build_orders(orders, out, force=force, drop_others=drop_others, progress=progress)
    if as_json:
        click.echo(json.dumps(result.as_dict(), indent=1))
        return DONE if result.ok else FAILED
    rows = [
        {
            "machine": folder.machine.name,
            "parts": f"{len(folder.job.parts)} x {folder.order.times}",
            "proved": folder.verdict,
            "deviation": f"{folder.proof.deviation:.4f} mm",
            "travel before": _length(folder.figures.travel_before),
            "after": _length(folder.figures.travel_after),
            "run time": _clock(folder.figures.run_time),
            "cut file": ", ".join(f"{folder.name}/{name}" for name in folder.cut_files),
        }
        for folder in result.folders
    ]
    _show_table("folders", rows, as_json=False)
    _tell(f for f in result.findings if f.severity != "note" or not result.ok)
    if not result.ok:
        click.echo("nothing was written: not every file could be proved", err=True)
        return FAILED
    written = result.written
    assert written is not None
    click.echo(f"\n{out}: {len(written.new)} new, {len(written.changed)} changed, {len(written.unchanged)} as before")
    kept = tuple(each.folder for each in result.kept)
    for word, names in (("changed", written.changed), ("removed", written.removed), ("kept", kept)):
        for name in names:
            click.echo(f"  {word}: {name}")
    click.echo("\nBefore you cut:")
    for caution in result.cautions:
        click.echo(f"  - {caution}")
    return DONE


def _provided(kind: Any) -> tuple[Any, ...]:
    from pathkit.registry import installed

    provided: tuple[Any, ...] = installed().provided(kind)
    return provided


def _triple(text: str) -> tuple[float, float, float]:
    try:
        x, y, z = (float(part) for part in text.split(","))
    except ValueError:
        raise InputError(f"--zero is {text!r}; give three numbers in mm, as in --zero -400,-300,-60") from None
    return x, y, z


def _tell(findings: Iterable[Finding], indent: str = "") -> None:
    for finding in findings:
        click.echo(f"{indent}{finding.severity}: {finding}")


def _show_table(key: str, rows: Sequence[dict[str, str]], as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps({"ok": True, key: rows}, indent=1))
        return
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, pad_edge=False, header_style="bold")
    for column in rows[0] if rows else ():
        table.add_column(column, overflow="fold")
    for row in rows:
        table.add_row(*(_escaped(cell) for cell in row.values()))
    # A pipe has no width of its own: names must not be broken there.
    console = Console() if sys.stdout is not None and sys.stdout.isatty() else Console(width=400)
    console.print(table)


def _escaped(text: str) -> str:
    from rich.markup import escape

    return escape(text)


def _length(millimetres: float | None) -> str:
    return "-" if millimetres is None else f"{millimetres / 1000.0:.2f} m"


def _clock(seconds: float) -> str:
    whole = round(seconds)
    return (
        f"{whole // 3600}:{whole // 60 % 60:02d}:{whole % 60:02d}"
        if whole >= 3600
        else f"{whole // 60}:{whole % 60:02d}"
    )
