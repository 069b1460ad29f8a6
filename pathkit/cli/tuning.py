"""The command for cut files that were made elsewhere."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final, cast, get_args

import click

from pathkit.cli.ahead import compile_ahead
from pathkit.cli.new_job import board_size, millimetres
from pathkit.cli.progress import AFTER, Progress
from pathkit.cli.showing import DONE, FAILED, FORCE, JSON, LANGUAGE, QUIET, length, show_table, tell
from pathkit.cli.spoken import column, echo, figure, spoken, told
from pathkit.errors import InputError, PathkitError
from pathkit.findings import Finding
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import MM_PER_INCH, clock

if TYPE_CHECKING:
    from pathkit.cli.given_bits import GivenBits
    from pathkit.handover.tuned import TunedFolder
    from pathkit.machine.profile import Axes, Corner
    from pathkit.model.stock import Stock
    from pathkit.passes.base import Pass
    from pathkit.passes.steady_load import SteadyLoad

_THICKEST: Final = 50.0
"""mm: no board needs more under it (common practice, no source)."""
_SLOWEST: Final = 0.3
"""Share of a feed below which a bit only rubs (common practice, no source)."""
_FASTEST: Final = 2.0
"""Share of a feed above which nobody meant it to be (common practice, no source)."""
_COARSEST: Final = 0.5
"""mm: what is fitted more coarsely than that is another shape."""
_HIGHEST: Final = 3.0
"""mm that tabs are high at most, and half the board's thickness in a thin board (common practice, no source)."""
_LONGEST: Final = 80
_SHOWN: Final = 40
"""Faults that are shown at most: a file of junk has one in each line."""


@click.command()
@click.argument("file", metavar="IN", type=click.Path(path_type=Path))
@click.option("--machine", metavar="M", required=True, help="Profile (.toml) or name of the machine to write for.")
@click.option("--out", metavar="OUT", required=True, type=click.Path(path_type=Path), help="Folder to write.")
@click.option("--bit", "bits", metavar="D", multiple=True, help="The bit: 6, 1/4in; for several each by number: 1=6.")
@click.option("--ball", "balls", metavar="D", multiple=True, help="The same for a bit with a round end.")
@click.option("--vee", "vees", metavar="DxANGLE", multiple=True, help="The same for one with a point: 12x60, 1=12x60.")
@click.option("--flutes", metavar="N", multiple=True, help="Its flutes: 2; for several bits each by number: 1=2.")
@click.option("--from", "dialect", metavar="DIALECT", help="Dialect IN was written in, if controllers differ on it.")
@click.option("--source-axes", metavar="X,Y,Z", help="Which way IN's axes run: right,away,up unless given.")
@click.option("--source-zero", metavar="CORNER", help="Corner of IN's zero: front-left unless given.")
@click.option("--board", metavar="WxDxT", help="Width, depth and thickness of the board, mm.")
@click.option("--zero", "height", type=click.Choice(["top", "bed"]), help="Where IN's Z0 is: top unless given.")
@click.option("--underlay", metavar="T", help="Thickness of what lies under the board to be cut into, mm.")
@click.option("--spindle", type=click.FloatRange(min=0, min_open=True), help="Its speed, rpm, where IN has none.")
@click.option("--clamps", type=click.Choice(["none"]), help="No clamp stands on the board: travel low, anywhere.")
@click.option("--reversible", is_flag=True, help="Open cuts may run from either end: no matter where the bit climbs.")
@click.option("--fit", metavar="MM", help="How far arcs may lie beside short lines, mm, or none; 0.01 unless given.")
@click.option("--ramps", type=click.FloatRange(min=0, min_open=True), metavar="DEGREES", help="Enter at this angle.")
@click.option("--tabs", type=click.IntRange(min=1), metavar="COUNT", help="Leave so many tabs on each cut through.")
@click.option("--steady", metavar="SHARES", help="Feeds follow the load: at least 0.7 of IN's; 0.7-1.2, and faster.")
@click.option("--effort", type=click.IntRange(min=0), default=1, show_default=True, help="How hard to search an order.")
@click.option("--seed", type=click.IntRange(min=0), default=0, show_default=True, help="Same seed, same files.")
@LANGUAGE
@FORCE
@QUIET
@JSON
def tune(  # noqa: PLR0913 - each is an option of the command
    file: Path, machine: str, out: Path, bits: tuple[str, ...], balls: tuple[str, ...], vees: tuple[str, ...],
    flutes: tuple[str, ...], steady: str | None, dialect: str | None,
    source_axes: str | None, source_zero: str | None, board: str | None, height: str | None, underlay: str | None,
    spindle: float | None, clamps: str | None, reversible: bool, fit: str | None, ramps: float | None,
    tabs: int | None, effort: int, seed: int, language: Language | None, force: bool, quiet: bool, as_json: bool,
) -> int:  # fmt: skip
    """Improve IN, a cut file that was made elsewhere, and write it for another machine into the folder OUT.

    Travel is put in a better order, and the files are proved to cut what IN cuts. IN itself is never touched.
    """
    from pathkit.cli.given_bits import given_bits
    from pathkit.files import read_gcode
    from pathkit.handover.atomic_write import refuse_foreign
    from pathkit.handover.tuned import Told, tuned_folder, write_tuned
    from pathkit.registry import load_machine
    from pathkit.tuning import tune as make
    from pathkit.tuning.machines import made_for

    profile, stock = load_machine(machine), _stock(board, height, underlay)
    tools = given_bits(bits, balls, vees, flutes)
    load = _steady(steady, tools)
    fitted = _fit(fit)
    passes = _passes(ramps, tabs, stock, tools)
    axes = None if source_axes is None else _axes(source_axes)
    corner = None if source_zero is None else _corner(source_zero)
    data = read_gcode(file)
    # Told now, and not after a long proof.
    refuse_foreign(out, force=force)
    compile_ahead(quiet or as_json)
    source = made_for(profile, axes, corner)
    with _placed(file), Progress(quiet or as_json, AFTER) as progress:
        tuned = make(
            data, profile, source=source, dialect=dialect, bits=tools.by_number, stock=stock, spindle=spindle,
            reversible=reversible, fit=fitted, passes=passes, steady=load, clear=clamps == "none",
            effort=float(effort), seed=seed, name=_name(file), file=str(file), progress=progress,
        )  # fmt: skip
        tools.refuse_unused(tuned)
        if tabs is not None and not any(path.tabs for path in tuned.job.toolpaths):
            raise InputError("no cut of the file frees a piece that tabs could hold; leave out --tabs")
        if load is not None and not any(path.cutting.steady for path in tuned.job.toolpaths):
            raise InputError("no level cut of the file has one feed that could follow the load; leave out --steady")
        told = Told(
            file.name, data, source, tools.every, tools.with_flutes, board=stock is not None,
            place=axes is not None or corner is not None, fit=fitted, spindle=spindle, clear=clamps == "none",
            steady=None if load is None else (load.slowest, load.fastest),
        )  # fmt: skip
        folder = tuned_folder(tuned, told, language or ENGLISH)
    if folder.ok:
        write_tuned(folder, file, out, force=force)
    if as_json:
        click.echo(json.dumps({**folder.as_dict(), "out": str(out)}, indent=1))
        return DONE if folder.ok else FAILED
    _show(folder, file, out, quiet)
    return DONE if folder.ok else FAILED


def _show(folder: TunedFolder, file: Path, out: Path, quiet: bool) -> None:
    from pathkit.handover.pages.cautions import cautions
    from pathkit.handover.pages.sheet import before_a_start
    from pathkit.handover.tuned import JOB, SHEET

    tuned, units = folder.tuned, folder.tuned.machine.units
    findings = _to_do(folder.understood, file)
    proved = _to_do([replace(each, file=str(out / (each.file or folder.cut_files[0]))) for each in folder.proved], out)
    if not folder.ok:
        tell(findings, err=True, units=units)
        tell(proved, err=True, lines=False, units=units)
        echo("nothing was written: what was made of the file could not be proved", err=True)
        return
    if not quiet:
        show_table("figures", _rows(folder), as_json=False)
        if tuned.kept_order:
            echo("No faster order was found: the file's own is kept.")
        if folder.waits > 0.0:
            echo(f"Both run times hold {folder.waits:g} s that the spindle needs to come up to speed.")
        click.echo("")
    tell((*findings, *proved), quiet=quiet, units=units)
    if quiet:
        return
    click.echo()
    echo(f"Proved: {_verdict(folder)}")
    echo(f"Not proved: {_left_open(folder)}")
    names = ", ".join(folder.cut_files)
    click.echo()
    echo(f"{out}: {names}; air cut {', '.join(folder.air_files)}; {SHEET} to print; {JOB}, and what was proved")
    click.echo()
    echo("Before you cut:")
    for line in (*before_a_start(tuned.job, tuned.machine, spoken()), *cautions(spoken())):
        click.echo(f"  - {line}")


def _verdict(folder: TunedFolder) -> str:
    """What was proved of the file against the one that it was made from, for people."""
    proof = folder.tuned.proof
    same, bites = (proof[name].status for name in ("same cuts", "no deeper bite"))
    if same == "not run":
        return "the file is safe by its own job; it was changed as you asked, so it does not cut the same as before"
    if same != "passed":
        return "the file is safe by its own job; that it cuts the same as before is not proved"
    if bites == "passed" and folder.knows_wood:
        return "it cuts what the file cuts, no bit deeper at once than there"
    return "it cuts what the file cuts"


def _left_open(folder: TunedFolder) -> str:
    from pathkit.tuning.tune import NOT_PROVED

    left = [check.name for check in folder.tuned.proof.checks if check.status == "not proved"]
    return ", ".join((*NOT_PROVED, *(name for name in left if name != "holding")))


def _rows(folder: TunedFolder) -> list[dict[str, str]]:
    """Before and after."""
    tuned, units = folder.tuned, folder.tuned.machine.units
    before, after = tuned.before, tuned.after

    def row(name: str, *both: str) -> dict[str, str]:
        return {"": column(name), "before": both[0], "after": both[1]}

    def chip(mm: float) -> str:
        return figure(f"{mm / MM_PER_INCH:.4f} in" if units == "inch" else f"{mm:.3f} mm")

    def time(seconds: float | None) -> str:
        return "-" if seconds is None else clock(seconds)

    return [
        row("lines", *map(str, tuned.lines)),
        row("travel", length(before.travel, units), length(after.travel, units)),
        row("up and down", length(before.vertical, units), length(after.vertical, units)),
        row("retracts", *("-" if each.retracts is None else str(each.retracts) for each in (before, after))),
        row("run time", time(before.run_time), time(after.run_time)),
        *(row(told(f"chip, {name}"), *map(chip, both)) for name, both in folder.chips.items()),
    ]


# --- what was asked ---------------------------------------------------------------------------------------------------


def _stock(board: str | None, height: str | None, underlay: str | None) -> Stock | None:
    from pathkit.model.stock import Stock

    if board is None:
        for option, value in (("--zero", height), ("--underlay", underlay)):
            if value is not None:
                raise InputError(f"{option} needs the board's size; give it too, as in --board 300x200x6")
        return None
    width, depth, thickness = board_size(board)
    under = 0.0 if underlay is None else millimetres(underlay)
    if under is None or not 0.0 <= under <= _THICKEST:
        raise InputError(f"--underlay is {underlay!r}; give a thickness in mm up to {_THICKEST:g}, as in --underlay 3")
    # The file was made for a board of one thickness.
    return Stock(
        width, depth, thickness, z_zero="bed" if height == "bed" else "top", thickness_tolerance=0.0, underlay=under
    )


def _axes(text: str) -> Axes:
    from pathkit.machine.profile import Axes, Sideways, Upright

    words = [word.strip() for word in text.replace(" ", ",").split(",") if word.strip()]
    ways = get_args(Sideways), get_args(Sideways), get_args(Upright)
    if len(words) not in (2, 3) or any(word not in there for word, there in zip(words, ways, strict=False)):
        fix = f"X and Y run {', '.join(ways[0])}, Z {' or '.join(ways[2])}: --source-axes right,away,up"
        raise InputError(f"--source-axes is {text!r}; say where the bit goes as X, Y and Z grow: {fix}")
    return Axes(*words)  # type: ignore[arg-type]


def _corner(text: str) -> Corner:
    from pathkit.machine.profile import Corner

    if text not in get_args(Corner):
        raise InputError(f"--source-zero is {text!r}; one of: {', '.join(get_args(Corner))}")
    return cast("Corner", text)


def _fit(text: str | None) -> float | None:
    """mm; None: nothing is fitted."""
    from pathkit.tolerances import FITTED

    if text is None:
        return FITTED
    if text == "none":
        return None
    fit = millimetres(text)
    if fit is None or not 0.0 < fit <= _COARSEST:
        raise InputError(f"--fit is {text!r}; give none, or mm above 0 and up to {_COARSEST:g}, as in --fit 0.01")
    return fit


def _passes(ramps: float | None, tabs: int | None, stock: Stock | None, tools: GivenBits) -> list[Pass]:
    """Passes beside the order of travel. Where tabs stand and how a bit goes down depends on what it is."""
    from pathkit.passes.hold_tabs import HoldTabs
    from pathkit.passes.ramp_entries import RampEntries

    for option, value in (("--ramps", ramps), ("--tabs", tabs)):
        if value is not None and not tools.every:
            raise InputError(f"{option} needs to know the bit; give it too, as in --bit 6")
    passes: list[Pass] = []
    if tabs is not None:
        if stock is None:
            raise InputError("--tabs needs to know how thick the board is; give it too, as in --board 300x200x6")
        high = min(_HIGHEST, stock.thickness / 2.0)
        passes.append(HoldTabs(tabs, height=high, roles=("outline", "cut")))
    if ramps is not None:
        passes.append(RampEntries(ramps))
    return passes


def _steady(text: str | None, tools: GivenBits) -> SteadyLoad | None:
    from pathkit.passes.steady_load import SteadyLoad

    if text is None:
        return None
    if not tools.every:
        raise InputError("--steady needs to know the bit; give it too, as in --bit 6")
    found = re.fullmatch(r"(0?\.[0-9]{1,3}|1)(?:-([0-9](?:\.[0-9]{1,3})?))?", text.strip())
    least, most = (float(found[1]), float(found[2] or 1.0)) if found else (0.0, 0.0)
    if not (_SLOWEST <= least <= 1.0 <= most <= _FASTEST and least < most):
        raise InputError(
            f"--steady is {text!r}; give the least share of the file's own feeds, from {_SLOWEST:g} on, as in --steady "
            f"0.7; or that and the greatest, up to {_FASTEST:g}, as in --steady 0.7-1.2"
        )
    return SteadyLoad(slowest=least, fastest=most)


def _name(file: Path) -> str:
    """The job's name, from that of the file: what is no letter in it stands as a hyphen."""
    plain = "".join(each if each.isprintable() else "-" for each in file.stem)
    bare = re.sub("[ -]tuned$", "", plain.strip()[:_LONGEST]).strip()
    # So that nobody takes one for the other.
    return f"{bare} tuned".strip()


# --- what is wrong ----------------------------------------------------------------------------------------------------


@contextmanager
def _placed(file: Path) -> Iterator[None]:
    """Errors of the file that is read name it, and what could help as it is written on this command line."""
    try:
        yield
    except PathkitError as error:
        told = _to_do(error.findings, file)
        more = len(told) - _SHOWN
        if more > 0:
            told[_SHOWN:] = [Finding(check="tune", what=f"and {more} more faults like these")]
        raise type(error)(told) from error


_OPTIONS: Final = (
    ("give the board", "--board 300x200x6 --zero top"),
    ("which corner has the zero", "--source-zero front-left"),
    ("a bit for each number", "--bit 1=6 --bit 2=3.175"),
    ("say which bit it is", "--bit 6"),
    ("it turns when it is switched on by hand", "--spindle 18000"),
    ("post it with decimal points", "--from grbl"),
    ("name the controller", "--from grbl"),
    ("leave tabs on it", "--tabs 2"),
    ("put an underlay under the board", "--underlay 3"),
)
"""Words of a remedy, and the option that is meant."""


def _to_do(findings: Iterable[Finding], file: Path) -> list[Finding]:
    """The findings with options in their remedies; lines without a file are those of ``file``."""
    told = []
    for finding in findings:
        options = [option for words, option in _OPTIONS if words in finding.fix and option not in finding.fix]
        if "--bit 6" in options and (number := re.search(r"\bbit ([0-9]+)\b", finding.what)):
            options = [f"--bit {number[1]}=6"]
        fix = f"{finding.fix}; as in {' or '.join(options)}" if options else finding.fix
        placed = replace(finding, fix=fix)
        told.append(placed.at(file=str(file)) if placed.line is not None else placed)
    return told
