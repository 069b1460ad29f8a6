"""Commands that start something new: a plugin for a controller, a profile for a machine."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from pathkit.cli.showing import FORCE, JSON
from pathkit.errors import InputError

if TYPE_CHECKING:
    from pathkit.machine.profile import Upright


SHORTEST, LONGEST = 10.0, 6000.0
"""mm that an axis of such a machine may move: other lengths suggest the wrong units."""


@click.group()
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
    click.echo(f'\nNow: cd {folder} && pip install -e ".[test]" && pytest, then open README.md')
    return 0


@click.group()
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
@click.option("--spindle", type=click.Choice(["words", "manual"]), default="words", show_default=True,
              help="Who switches the spindle: the file, or you?")  # fmt: skip
@click.option("--units", type=click.Choice(["mm", "inch"]), default="mm", show_default=True)
@click.option("--left-handed", is_flag=True, help="Confirm, after a second look, a left-handed frame.")
@FORCE
@JSON
def new_machine(  # noqa: PLR0913 - each is an option of the command
    out: Path, name: str | None, dialect_name: str | None, corner: str | None, x: str | None, y: str | None, z: str,
    bed: str | None, park: str | None, change: str | None, spindle: str, units: str, left_handed: bool, force: bool,
    as_json: bool,
) -> int:  # fmt: skip
    """Write the profile of a machine, and a picture of where its X+ and Y+ point. Asks for missing options."""
    from pathkit.handover.atomic_write import write_beside
    from pathkit.machine.profile import Machine
    from pathkit.registry import find_dialect
    from pathkit.starters.compass import compass
    from pathkit.starters.machine_profile import CORNERS, SIDES, Answers, beside_the_board, profile_text

    if out.suffix != ".toml":
        raise InputError(f"the profile {str(out)!r} must end in .toml")
    ask = _Asking(as_json)
    speaks = find_dialect(ask.text("--dialect", dialect_name, "Which dialect does its controller speak?", "grbl"))
    given: dict[str, Any] = {
        "name": ask.text("--name", name, "What do you call the machine?", out.stem),
        "dialect": speaks.name,
        "corner": ask.one("--zero", corner, "Stand at the front. Which corner of the board is zero?", CORNERS),
        "x": ask.one("--x", x, "Jog X+ a little. Where does the bit go, over the board?", SIDES),
        "y": ask.one("--y", y, "Jog Y+ a little. Where does the bit go, over the board?", SIDES),
        "bed": _bed(ask, bed, units),
    }
    answers = Answers(**given, z=cast("Upright", z), spindle=spindle, units=units, left_handed=left_handed)
    free = beside_the_board(answers)
    question = "Where shall it park at the end, X,Y from the zero (beside the board, to free its corner)?"
    answers = replace(answers, park=_place(ask, ("--park", park), question, free, units))
    question = "Where do you change bits by hand, X,Y from the zero (none: where it parks)?"
    answers = replace(answers, change=_place(ask, ("--change", change), question, None, units))
    text = profile_text(answers)
    picture = out.with_suffix(".svg")
    drawn = compass(Machine.from_toml(text, str(out)))
    write_beside(out.parent, {out.name: text.encode("utf-8"), picture.name: drawn.encode("utf-8")}, force=force)
    if as_json:
        click.echo(json.dumps({"ok": True, "out": str(out), "picture": str(picture)}, indent=1))
        return 0
    click.echo(f"{out}: X+ {answers.x}, Y+ {answers.y}, zero at the board's {answers.corner}")
    click.echo(f"{picture}: look at it beside the machine. Do the arrows point where X+ and Y+ go?")
    click.echo(f"\nThen rehearse in the air: pathkit rehearse JOB --machine {out} --out rehearsal")
    return 0


class _Asking:
    """Asks for what was not given, but not if the output is to be JSON."""

    def __init__(self, silent: bool) -> None:
        self.silent = silent
        self.asked = False

    def text(self, flag: str, given: str | None, question: str, example: str) -> str:
        if given is None and self.silent:
            raise InputError(f"{flag} is missing; --json asks no questions")
        self.asked |= given is None
        return given if given is not None else str(click.prompt(question, default=example, err=True))

    def one(self, flag: str, given: str | None, question: str, choices: Sequence[str]) -> str:
        if given is None and not self.silent:
            self.asked = True
            given = str(click.prompt(question, type=click.Choice(list(choices)), err=True))
        if given is None or given not in choices:
            what = "is missing" if given is None else f"is {given!r}"
            raise InputError(f"{flag} {what}; one of: {', '.join(choices)}")
        return given


def _place(
    ask: _Asking, option: tuple[str, str | None], question: str, likely: tuple[float, float] | None, units: str
) -> tuple[float, float] | None:
    """mm from the zero, or none. Whoever is asked nothing else is not asked this either, and gets none."""
    from pathkit.units import MM_PER_UNIT

    flag, given = option
    if given is None and not ask.asked:
        return None
    unit = MM_PER_UNIT[units]
    example = "none" if likely is None else ",".join(f"{round(each / unit, 1):g}" for each in likely)
    text = ask.text(flag, given, question, example)
    if text.strip().lower() == "none":
        return None
    try:
        x, y = (round(float(part) * unit, 4) for part in text.split(","))
    except ValueError:
        raise InputError(f"{flag} is {text!r}; give two numbers, as in {flag}=-30,-30, or none") from None
    if not (abs(x) <= LONGEST and abs(y) <= LONGEST):
        raise InputError(f"{flag} is {text!r}, further than any such machine reaches; give numbers in --units")
    return x, y


def _bed(ask: _Asking, given: str | None, units: str) -> tuple[float, float, float]:
    """mm, from a text in the machine's own units."""
    from pathkit.units import MM_PER_UNIT

    name, example = ("inches", "24,16,3") if units == "inch" else ("mm", "300,200,60")
    text = ask.text("--bed", given, f"How far does it move along X, Y and Z, in {name}?", example)
    try:
        x, y, z = (round(float(part) * MM_PER_UNIT[units], 4) for part in text.split(","))
    except ValueError:
        raise InputError(f"--bed is {text!r}; give three numbers in {name}, as in --bed {example}") from None
    for axis, length in zip("XYZ", (x, y, z), strict=True):
        if not SHORTEST <= length <= LONGEST:
            raise InputError(
                f"--bed is {text!r}: {axis} would move {length:g} mm; give {name}, or the other --units. Between"
                f" {SHORTEST:g} and {LONGEST:g} mm are accepted"
            )
    return x, y, z
