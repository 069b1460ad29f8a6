"""The command that starts a job: a commented job file that builds as it is."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import TYPE_CHECKING, Final, cast, get_args

import click

from pathkit.cli.showing import DONE, FORCE, JSON, Commands, toml_file
from pathkit.cli.spoken import echo, spoken
from pathkit.errors import InputError

if TYPE_CHECKING:
    from pathkit.feeds.materials import Material

BOARD: Final = "300x200x6"
BIT: Final = "3mm"
THINNEST, LARGEST = 1.0, 5000.0
"""mm that a board may measure here: other numbers suggest the wrong units."""
NARROWEST, WIDEST = 0.5, 8.0
"""mm that a bit may cut: wider ones need a stronger machine (common practice, no source)."""
MOST: Final = 10_000


@click.group(cls=Commands)
def job() -> None:
    """Start a job of your own."""


@job.command("new")
@click.argument("name", metavar="NAME")
@click.option("--out", metavar="F", type=click.Path(path_type=Path), help="Job file to write (.toml); else from NAME.")
@click.option("--board", default=BOARD, show_default=True, metavar="WxDxT", help="Width, depth and thickness, mm.")
@click.option("--bit", default=BIT, show_default=True, metavar="D", help="Your bit: 3mm, 6mm, 1/8in.")
@click.option("--parts", metavar="N", help="How many are wanted; as many as fit unless given.")
@click.option("--material", default="plywood", show_default=True, help="What the board is made of.")
@click.option("--svg", "drawing", metavar="FILE", type=click.Path(path_type=Path),
              help="The part's outline, from an SVG drawing beside the job file.")  # fmt: skip
@FORCE
@JSON
def new_job(  # noqa: PLR0913 - each is an option of the command
    name: str, out: Path | None, board: str, bit: str, parts: str | None, material: str, drawing: Path | None,
    force: bool, as_json: bool,
) -> int:  # fmt: skip
    """Write a job file called NAME to begin from: it builds as it is, and says what each of its keys means."""
    from pathkit.handover.atomic_write import write_beside
    from pathkit.machine.profile import slug
    from pathkit.registry import installed
    from pathkit.starters.job_file import Wanted, job_text

    file = toml_file(out if out is not None else Path(slug(name)))
    wanted = Wanted(
        _name(name),
        board_size(board),
        _bit(bit),
        _parts(parts),
        _material(material),
        _beside(drawing, file.parent),
        spoken(),
    )
    machines = [provided.value for provided in installed().provided("machine")]
    begun = job_text(wanted, machines, file.parent)
    write_beside(file.parent, {file.name: begun.text.encode("utf-8")}, force=force)
    names = [machine.name for machine in begun.machines]
    if as_json:
        click.echo(json.dumps({"ok": True, "out": str(file), "machines": names}, indent=1))
        return DONE
    echo(f"{file}: a job file to change as you like; the lines with # say what each key means")
    click.echo()
    if names:
        echo(f"Now: pathkit build {file} --out out, which is for {', '.join(names)}")
    else:
        echo(f"No machine here has a bed for this board. Now: pathkit build {file} --machine M --out out")
    return DONE


def _name(name: str) -> str:
    if not 0 < len(name.strip()) <= 80 or not name.isprintable():
        raise InputError(f"NAME is {name!r}; give one of 1 to 80 letters, as in 'key tags'")
    return name


def millimetres(text: str) -> float | None:
    """A number in mm, or a text with its unit; None for anything else."""
    from pathkit.units import LENGTH

    text = text.strip()
    return LENGTH.read(text if text.endswith(tuple(LENGTH.units)) else f"{text}mm")


def board_size(text: str) -> tuple[float, float, float]:
    """Width, depth and thickness, mm, as ``--board`` has them. Raises `InputError` for what can be no board."""
    sides = [millimetres(each) for each in re.split("[xX×]", text)]
    if len(sides) != 3 or None in sides:
        raise InputError(
            f"--board is {text!r}; give width, depth and thickness in mm, as in --board {BOARD}, or 12inx8inx1/4in"
        )
    width, depth, thickness = (cast("float", side) for side in sides)
    if thickness > min(width, depth):
        raise InputError(f"--board is {text!r}, thicker than it is wide; the thickness comes last: --board {BOARD}")
    for side in (width, depth, thickness):
        if not THINNEST <= side <= LARGEST:
            raise InputError(
                f"--board is {text!r}: {side:g} mm is not between {THINNEST:g} and {LARGEST:g} mm; as in --board"
                f" {BOARD}"
            )
    return width, depth, thickness


def _bit(text: str) -> float:
    wide = millimetres(text)
    if wide is None or not NARROWEST <= wide <= WIDEST:
        raise InputError(
            f"--bit is {text!r}; give a diameter from {NARROWEST:g} to {WIDEST:g} mm, as in --bit {BIT} or --bit 1/8in"
        )
    return wide


def _parts(text: str | None) -> int | None:
    if text is None:
        return None
    if not re.fullmatch("[0-9]{1,5}", text) or not 1 <= int(text) <= MOST:
        raise InputError(f"--parts is {text!r}; give a whole number from 1 to {MOST}, as in --parts 20")
    return int(text)


def _material(text: str) -> Material:
    from pathkit.feeds.materials import Material, why_not

    if (why := why_not(text)) is not None:
        raise InputError(f"--material is {text!r}, which must not be cut: {why}; as in --material plywood")
    if text not in get_args(Material):
        raise InputError(f"--material is {text!r}; one of: {', '.join(get_args(Material))}")
    return cast("Material", text)


def _beside(drawing: Path | None, folder: Path) -> str | None:
    """The drawing as the job file names it: by its way from the folder of the job file."""
    if drawing is None:
        return None
    if not drawing.is_file():
        raise InputError(
            f"--svg is {str(drawing)!r}, which is not a file; give a drawing, as in --svg {folder / 'tag.svg'}"
        )
    try:
        return drawing.resolve().relative_to(folder.resolve()).as_posix()
    except ValueError:
        best = drawing.with_suffix(".toml")
        raise InputError(
            f"--svg is {str(drawing)!r}, which is not beside the job file; put the job file beside it: --out {best}"
        ) from None
