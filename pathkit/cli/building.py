"""Commands that make folders to hand over: the demo, and your own jobs."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from pathkit.cli.ahead import compile_ahead
from pathkit.cli.progress import Progress
from pathkit.cli.showing import DONE, FAILED, FORCE, JSON, LANGUAGE, QUIET, WRONG, length, show_table, tell, units_of
from pathkit.cli.spoken import echo, figure, spoken, told
from pathkit.errors import InputError
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import MM_PER_INCH, clock

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from pathkit.handover.many import Variant
    from pathkit.handover.result import Folder

_EFFORT = click.option(
    "--effort", type=click.IntRange(min=0), help="How hard to search for a short order; the job's, or 1."
)
_DROP = click.option("--drop-others", is_flag=True, help="Remove other machines' folders of earlier builds.")
_ZIP = click.option("--zip", "as_zip", is_flag=True, help="Also write OUT.zip beside OUT: one file to send.")
_KEEP = click.option(
    "--keep-order", metavar="FOLDER", type=click.Path(path_type=Path),
    help="Keep the order of cuts of the build in FOLDER (which may be OUT) where a new one saves little.",
)  # fmt: skip
_SEED = click.option(
    "--seed", type=click.IntRange(min=0), help="Seed; the same seed gives the same files. The job's, or 0."
)


@click.command()
@click.argument("out", type=click.Path(path_type=Path))
@_EFFORT
@_SEED
@FORCE
@_DROP
@QUIET
@JSON
def demo(
    out: Path, effort: int | None, seed: int | None, force: bool, drop_others: bool, quiet: bool, as_json: bool
) -> int:  # fmt: skip
    """Build the demo into OUT: a batch of cable-tidy plates for three machines, on two sizes of board."""
    from pathkit.jobs.demo import demo_orders

    return _build(demo_orders(effort=effort, seed=seed), out, _Run(force, drop_others, quiet, as_json))


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option(
    "--machine", "machines", metavar="M", multiple=True, help="Profile (.toml) or name; else the job's machines."
)
@click.option("--out", required=True, help="Folder to hand over; with --workers also a URL.")
@click.option("--bit", "bits", metavar="D", multiple=True, help="Your own bit: 6.35mm, 1/4in, or NAME=6mm.")
@click.option(
    "--without", metavar="OPERATION", multiple=True, help="Leave an operation out that no bit of yours can cut."
)
@click.option("--turn", type=click.IntRange(0, 3), help="Quarter turns of the board, counter-clockwise.")
@click.option("--zero", metavar="X,Y,Z", help="The work zero in machine coordinates, mm, if known.")
@click.option("--tabs/--no-tabs", default=True, show_default=True, help="Leave two tabs on outlines that have none.")
@click.option(
    "--workers", type=int, metavar="N", help="Build the machines apart, on N processes; 0 or 1: one after the other."
)
@LANGUAGE
@_ZIP
@_KEEP
@_EFFORT
@_SEED
@FORCE
@_DROP
@QUIET
@JSON
def build(  # noqa: PLR0913 - each is an option of the command
    job_file: Path, machines: tuple[str, ...], out: str, bits: tuple[str, ...], without: tuple[str, ...],
    turn: int | None, zero: str | None, tabs: bool, workers: int | None, language: Language | None,
    as_zip: bool, keep_order: Path | None, effort: int | None, seed: int | None, force: bool, drop_others: bool,
    quiet: bool, as_json: bool,
) -> int:  # fmt: skip
    """Make proved files and a setup sheet for each machine from JOB (TOML or JSON), in folders of OUT.

    With --workers each machine stands for itself: one that fails stops no other, and a second run skips what is
    finished.
    """
    from pathkit.jobs.requests import Wishes, orders_for
    from pathkit.model.job import Setup
    from pathkit.registry import load_machine

    if workers is not None and workers < 0:
        raise InputError(f"--workers is {workers}; give 0 or 1 for one after the other, or how many processes")
    if workers is None and "://" in out:
        raise InputError(f"--out {out!r} is a URL, where each machine is put by itself; add --workers 1, or more")
    if workers is not None and drop_others:
        raise InputError("--drop-others removes folders of a whole build; leave out --workers with it")
    profiles = [load_machine(name) for name in machines]
    if zero is not None and len(profiles) != 1:
        raise InputError("--zero belongs to one machine; build for one machine at a time with it")
    placed = turn is not None or zero is not None
    setup = Setup(turn=turn or 0, zero_at=None if zero is None else _triple(zero)) if placed else None
    orders = orders_for(job_file, profiles, Wishes(setup, bits, tabs, effort, seed, without, language=language))
    if keep_order is not None:
        from pathkit.handover.earlier import keeping_order

        orders = keeping_order(orders, keep_order)
    if as_zip and "://" in out:
        raise InputError(f"--out {out!r} is a URL; --zip needs a folder of this computer")
    how = _Run(force, drop_others, quiet, as_json)
    code = _build(orders, Path(out), how) if workers is None else _build_apart(orders, out, workers, how)
    return _zipped(code, Path(out), as_zip, how)


@dataclass(frozen=True)
class _Run:
    """How a build is written and told."""

    force: bool
    drop_others: bool
    quiet: bool
    as_json: bool

    @property
    def silent(self) -> bool:
        """Whether only what is wrong is told besides the result."""
        return self.quiet or self.as_json


def _build_apart(orders: Sequence[Any], out: str, workers: int, how: _Run) -> int:
    """Each machine by itself."""
    from pathkit.handover.many import build_many

    # A second time, too, all orders are given: what they share belongs to what a variant is made from.
    return _build_each(
        lambda pool, told: build_many(orders, (), out, executor=pool, force=how.force, progress=told), out,
        min(workers, len(orders)), how,
    )  # fmt: skip


def _build_each(build: Callable[[Any, Any], Iterator[Variant]], out: str, workers: int, how: _Run) -> int:
    """Every variant of ``build(executor, progress)``, told as it comes. A worker that died is replaced once."""
    from pathkit.handover.many import WorkerDied
    from pathkit.handover.pages.cautions import cautions

    compile_ahead(how.silent)
    shown: dict[int, Variant] = {}
    for attempt in range(2):
        with Progress(how.silent) as told, _pool(workers) as pool:
            for variant in build(pool, told):
                before = shown.get(variant.place)
                if before is not None and not isinstance(before.error, WorkerDied):
                    continue
                shown[variant.place] = variant
                if not how.as_json and not (attempt == 0 and isinstance(variant.error, WorkerDied)):
                    _show(variant, how.quiet)
        if not any(isinstance(v.error, WorkerDied) for v in shown.values()):
            break
    done = [shown[k] for k in sorted(shown)]
    failed = [variant for variant in done if not variant.ok]
    beams = [variant.result.job.by_beam for variant in done if variant.result is not None]
    say = ENGLISH if how.as_json else spoken()
    told_of = cautions(say, bit=not beams or not all(beams), beam=any(beams))
    if how.as_json:
        values = {
            "ok": not failed,
            "out": out,
            "variants": [variant.as_dict() for variant in done],
            "cautions": list(told_of),
        }
        click.echo(json.dumps(values, indent=1))
    elif not how.quiet:
        built, earlier, lost = (sum(v.status == each for v in done) for each in ("built", "finished before", "failed"))
        click.echo()
        echo(f"{out}: {built} built, {earlier} finished before, {lost} failed")
        _tell_cautions([v.result for v in done if v.ok and v.result is not None], told_of)
    # A proof that fails is a failed check; everything else is an input that cannot be built.
    return DONE if not failed else FAILED if all(v.result is not None for v in failed) else WRONG


@click.command()
@click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))
@click.option("--out", required=True, type=click.Path(path_type=Path), help="Folder to hand out, as a whole.")
@click.option("--workers", type=click.IntRange(min=1), default=1, metavar="N", help="Build on N processes.")
@LANGUAGE
@_ZIP
@_EFFORT
@_SEED
@FORCE
@QUIET
@JSON
def handout(  # noqa: PLR0913 - each is an option of the command
    job_file: Path, out: Path, workers: int, language: Language | None, as_zip: bool, effort: int | None,
    seed: int | None, force: bool, quiet: bool, as_json: bool,
) -> int:  # fmt: skip
    """Make a folder from which anyone can take the file for their own machine, chosen on its page index.html.

    The [handout] table of JOB says which corners, directions, dialects, units, boards and bits there are to choose
    from, and the least machine that they are proved for. A second run skips what is finished.
    """
    from pathkit.handover.chooser import build_handout
    from pathkit.jobs.requests import job_file as read

    file, how = read(job_file), _Run(force, drop_others=False, quiet=quiet, as_json=as_json)
    code = _build_each(
        lambda pool, told: build_handout(
            file, out, executor=pool, effort=effort, seed=seed, force=force, progress=told, language=language
        ), str(out), workers, how,
    )  # fmt: skip
    return _zipped(code, out, as_zip, how)


def _zipped(code: int, out: Path, wanted: bool, how: _Run) -> int:
    """The archive of what was built, if it is wanted and all of it is proved."""
    from pathkit.handover.archive import write_archive

    if wanted and code == DONE:
        path = write_archive(out, force=how.force)
        if not how.silent:
            click.echo()
            echo(f"{path.name}: all of {out} in one file")
    return code


def _show(variant: Variant, quiet: bool) -> None:
    from pathkit.passes.earlier_order import CHECK

    if not quiet:
        echo(f"{variant.folder}: {variant.status}")
        if variant.result is not None and variant.ok:
            folder = variant.result
            echo(
                f"proved: {folder.verdict}, deviation {folder.proof.deviation:.4f} mm,"
                f" run time {clock(folder.figures.run_time)}, {', '.join(folder.cut_files)}",
                indent="  ", units=folder.machine.units,
            )  # fmt: skip
            kept = [each for each in folder.findings if each.check == CHECK]
            tell(kept, "  ", units=folder.machine.units)
    elif variant.findings and (not variant.ok or any(each.severity != "note" for each in variant.findings)):
        echo(f"{variant.folder}: {variant.status}")
    units = "mm" if variant.result is None else variant.result.machine.units
    tell(variant.findings, "  ", quiet=quiet, units=units)


@contextmanager
def _pool(workers: int) -> Iterator[Executor | None]:
    if workers < 2:
        yield None
        return
    # Here, since help and refusals need neither.
    from concurrent.futures import ProcessPoolExecutor
    from multiprocessing import get_context

    # Started anew, not forked: compiled kernels and their threads do not survive a fork everywhere.
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        yield pool


def _build(orders: Sequence[Any], out: Path, how: _Run) -> int:
    from pathkit.handover.build import build_orders

    compile_ahead(how.silent)
    with Progress(how.silent) as progress:
        result = build_orders(orders, out, force=how.force, drop_others=how.drop_others, progress=progress)
    if how.as_json:
        click.echo(json.dumps(result.as_dict(), indent=1))
        return DONE if result.ok else FAILED
    rows = [
        {
            "machine": folder.machine.name,
            "parts": f"{len(folder.job.parts)} x {folder.order.times}",
            "proved": told(folder.verdict),
            "deviation": _apart(folder),
            "travel before": length(folder.figures.travel_before, folder.machine.units),
            "after": length(folder.figures.travel_after, folder.machine.units),
            "up and down": length(folder.figures.vertical_after, folder.machine.units),
            "run time": clock(folder.figures.run_time),
            "cut file": ", ".join(f"{folder.name}/{name}" for name in folder.cut_files),
        }
        for folder in result.folders
    ]
    if not how.quiet:
        show_table("folders", rows, as_json=False)
    tell(result.told, quiet=how.quiet, units=units_of(result.folders))
    if not result.ok:
        echo("nothing was written: not every file could be proved", err=True)
        return FAILED
    if how.quiet:
        return DONE
    written = result.written
    assert written is not None
    click.echo()
    echo(f"{out}: {len(written.new)} new, {len(written.changed)} changed, {len(written.unchanged)} as before")
    kept = tuple(each.folder for each in result.kept)
    for word, names in (("changed", written.changed), ("removed", written.removed), ("kept", kept)):
        for name in names:
            echo(f"{word}: {name}", indent="  ")
    _tell_cautions(result.folders, result.cautions_in(spoken()))
    return DONE


def _apart(folder: Folder) -> str:
    """How far the path read back lies from the job."""
    far = folder.proof.deviation
    return figure(f"{far / MM_PER_INCH:.4f} in" if folder.machine.units == "inch" else f"{far:.4f} mm")


def _tell_cautions(folders: Sequence[Folder], cautions: Sequence[str]) -> None:
    from pathkit.handover.pages.sheet import start_height

    click.echo()
    echo("Before you cut:")
    for folder in folders:
        for line in start_height(folder.job, folder.machine, spoken()):
            click.echo(f"  - {folder.name}: {line}")
    for caution in cautions:
        click.echo(f"  - {caution}")


def _triple(text: str) -> tuple[float, float, float]:
    try:
        x, y, z = (float(part) for part in text.split(","))
    except ValueError:
        raise InputError(f"--zero is {text!r}; give three numbers in mm, as in --zero -400,-300,-60") from None
    return x, y, z
