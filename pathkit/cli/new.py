"""Commands that start something new: a plugin for a controller, a profile for a machine."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, cast

import click

from pathkit.cli.asking import Asking, bed_in, bed_of, place_of, speeds_of, tell_again
from pathkit.cli.showing import FORCE, JSON, Commands, tell, toml_file
from pathkit.cli.spoken import echo, spoken
from pathkit.errors import InputError
from pathkit.units import MM_PER_UNIT

if TYPE_CHECKING:
    from pathkit.machine.profile import Corner, Sideways, Upright


@click.group(cls=Commands)
def dialect() -> None:
    """Start the dialect of a new controller."""


@dialect.command("new")
@click.argument("name", metavar="NAME")
@click.option("--title", help="What people call the controller.")
@click.option("--out", metavar="DIR", type=click.Path(path_type=Path), help="New folder; NAME-posts by default.")
@JSON
def new_dialect(name: str, title: str | None, out: Path | None, as_json: bool) -> int:
    """Write a plugin project for the dialect NAME that installs, passes its tests and posts as it is."""
    from pathkit.handover.atomic_write import write_beside
    from pathkit.starters.dialect_project import dialect_project, refuse_taken

    texts = dialect_project(name, title)
    folder = out or Path(f"{name}-posts")
    refuse_taken(folder)
    write_beside(folder, {file: text.encode("utf-8") for file, text in texts.items()})
    if as_json:
        click.echo(json.dumps({"ok": True, "out": str(folder), "files": sorted(texts)}, indent=1))
        return 0
    click.echo(f"{folder}: {', '.join(sorted(texts))}")
    click.echo()
    echo(f'Now: cd {folder} && pip install -e ".[test]" && pytest, then open README.md')
    return 0


@click.group(cls=Commands)
def machine() -> None:
    """Describe a new machine."""


@machine.command("new")
@click.option("--out", metavar="F", type=click.Path(path_type=Path), required=True, help="Profile to write (.toml).")
@click.option("--name", help="Your name for the machine.")
@click.option("--dialect", "dialect_name", metavar="D", help="Its controller's dialect; see `pathkit dialects`.")
@click.option("--zero", "corner", metavar="CORNER", help="Corner of the board at zero: front-left, ... or centre.")
@click.option("--x", "x", metavar="WAY", help="Where the bit goes as X grows: right, left, away, toward.")
@click.option("--y", "y", metavar="WAY", help="Where the bit goes as Y grows.")
@click.option("--z", "z", type=click.Choice(["up", "down"]), default="up", show_default=True)
@click.option("--bed", metavar="X,Y,Z", help="How far each axis moves, in --units.")
@click.option("--park", metavar="X,Y", help="Where the bit stands at the end, from the zero, in --units; or none.")
@click.option("--change", metavar="X,Y", help="Where bits are changed by hand, from the zero; or none: where it parks.")
@click.option("--spindle", metavar="WHO", help="Who switches the spindle: words (the file), the default, or manual.")
@click.option("--rpm", metavar="MIN,MAX", help="How slow and how fast the spindle turns; 8000,24000 by default.")
@click.option("--units", metavar="UNITS", help="What its controller counts in, and you here: mm, the default, or inch.")
@click.option("--left-handed", is_flag=True, help="Confirm, after a second look, a left-handed frame.")
@FORCE
@JSON
def new_machine(  # noqa: PLR0913 - each is an option of the command
    out: Path, name: str | None, dialect_name: str | None, corner: str | None, x: str | None, y: str | None, z: str,
    bed: str | None, park: str | None, change: str | None, spindle: str | None, rpm: str | None, units: str | None,
    left_handed: bool, force: bool, as_json: bool,
) -> int:  # fmt: skip
    """Write the profile of a machine, and a picture of where its X+ and Y+ point.

    Asks for missing options; a wrong answer is asked for again.
    """
    from pathkit.handover.atomic_write import write_beside
    from pathkit.machine.limits import travel_findings
    from pathkit.machine.profile import Machine
    from pathkit.registry import find_dialect
    from pathkit.starters.compass import compass
    from pathkit.starters.machine_profile import CORNERS, Answers, beside_the_board, checked_name, profile_text

    out = toml_file(out)
    picture = out.with_suffix(".svg")
    if None in (dialect_name, name, corner, x, y, bed) and not (force or as_json):
        _refuse_taken(out, picture)
    ask = Asking(as_json)
    speaks = ask.value("--dialect", dialect_name, "Which dialect does its controller speak?", "grbl", find_dialect)
    named = ask.value("--name", name, "What do you call the machine?", out.stem, checked_name)
    question = "Stand at the front. Which corner of the board is zero?"
    zero = cast("Corner", ask.one("--zero", corner, question, CORNERS))
    ways = _ways(ask, x, y, z, left_handed)
    units = ask.one("--units", units, "Does its controller count in mm or in inches?", tuple(MM_PER_UNIT), "mm")
    unit, example = bed_in(units)
    question = f"How far does it move along X, Y and Z, in {unit}?"
    moves = ask.value("--bed", bed, question, example, partial(bed_of, units=units))
    question = "Who switches the spindle: the file, by words, or you, by its own switch (manual)?"
    control = ask.one("--spindle", spindle, question, ("words", "manual"), "words")
    question = "How slow and how fast does the spindle turn, in rpm?"
    speeds = ask.rest("--rpm", rpm, question, "8000,24000", speeds_of, Answers.rpm)
    answers = Answers(named, speaks.name, zero, *ways, moves, control, units, left_handed=ways.left_handed, rpm=speeds)
    free = beside_the_board(answers)
    likely = "none" if free is None else ",".join(f"{round(each / MM_PER_UNIT[units], 1):g}" for each in free)
    question = f"Where shall it park at the end, X,Y from the zero in {unit} (beside the board, to free its corner)?"
    parked = ask.rest("--park", park, question, likely, partial(place_of, flag="--park", units=units), None)
    question = f"Where do you change bits by hand, X,Y from the zero in {unit} (none: where it parks)?"
    changed = ask.rest("--change", change, question, "none", partial(place_of, flag="--change", units=units), None)
    answers = replace(answers, park=parked, change=changed)
    text = profile_text(answers, spoken())
    described = Machine.from_toml(text, str(out))
    drawn = compass(described, spoken())
    write_beside(out.parent, {out.name: text.encode("utf-8"), picture.name: drawn.encode("utf-8")}, force=force)
    if as_json:
        findings = [finding.as_dict() for finding in travel_findings(described)]
        click.echo(json.dumps({"ok": True, "out": str(out), "picture": str(picture), "findings": findings}, indent=1))
        return 0
    echo(f"{out}: X+ {answers.x}, Y+ {answers.y}, zero at the board's {answers.corner}")
    tell(travel_findings(described))
    echo(f"{picture}: look at it beside the machine. Do the arrows point where X+ and Y+ go?")
    click.echo()
    echo(f"Then rehearse in the air: pathkit rehearse JOB --machine {out} --out rehearsal")
    return 0


class _Ways(NamedTuple):
    """Where the bit goes as X, Y and Z grow."""

    x: Sideways
    y: Sideways
    z: Upright

    @property
    def left_handed(self) -> bool:
        from pathkit.machine.profile import Axes

        return Axes(*self).left_handed


def _ways(ask: Asking, x: str | None, y: str | None, z: str, left_handed: bool) -> _Ways:
    """The ways of the axes. Answers that cannot be, or that are rare, are asked for again.

    Raises `InputError` for options that contradict each other.
    """
    from pathkit.starters.machine_profile import SIDES, refuse_frame

    fixed = (x is not None and y is not None) or ask.silent
    over = "Jog {}+ a little. Where does the bit go, over the board?"
    while True:
        ways = _Ways(
            cast("Sideways", ask.one("--x", x, over.format("X"), SIDES)),
            cast("Sideways", ask.one("--y", y, over.format("Y"), SIDES)),
            cast("Upright", z),
        )
        try:
            left = ways.left_handed
        except InputError as error:
            if fixed:
                raise
            tell_again(error)
            continue
        if fixed:
            refuse_frame(ways, left_handed=left_handed)
        elif left != left_handed and not _sure_of(ask, ways):
            continue
        return ways


def _sure_of(ask: Asking, ways: _Ways) -> bool:
    """Whether a second look confirms the hand of a frame."""
    if ways.left_handed:
        rare = (
            f"X {ways.x}, Y {ways.y}, Z {ways.z} make a left-handed frame, which is rare: a wrong one mirrors the parts"
        )
        echo(rare, indent="  ", err=True)
        return ask.sure("Jog X+, Y+ and Z+ once more. Is it left-handed?")
    echo(f"X {ways.x}, Y {ways.y}, Z {ways.z} make a right-handed frame", indent="  ", err=True)
    return ask.sure("Jog X+, Y+ and Z+ once more. Is it right-handed?")


def _refuse_taken(*files: Path) -> None:
    """Raises `InputError` before anything is asked that could not be stored."""
    if taken := [file for file in files if file.exists()]:
        raise InputError(f"{str(taken[0])!r} is there already; choose another name with --out, or use --force")
