"""The command that draws what a cut file does."""

from __future__ import annotations

import json
from pathlib import Path

import click

from pathkit.cli.showing import DONE, FORCE, JSON, LANGUAGE, OF_CERTIFICATE
from pathkit.errors import InputError
from pathkit.texts.language import Language


@click.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--out", metavar="F", type=click.Path(path_type=Path), required=True, help="Picture: .svg or .png.")
@click.option(
    "--before",
    metavar="BEFORE",
    type=click.Path(path_type=Path),
    help="Another cut file, or the job file (.toml), drawn beside it.",
)
@OF_CERTIFICATE
@LANGUAGE
@FORCE
@JSON
def draw(
    file: Path, out: Path, before: Path | None, machine: str | None, language: Language | None, force: bool,
    as_json: bool,
) -> int:  # fmt: skip
    """Draw what FILE does, as it is read back: cuts coloured by depth, the bit's width, travel, starts, tabs, zero.

    The board and the bits come from the certificate beside FILE. PNG needs the extra 'png'. With a job file as BEFORE:
    what it asks for in its own order, before travel was ordered.
    """
    from pathkit.handover.atomic_write import write_beside
    from pathkit.handover.pages.file_picture import as_png, file_picture
    from pathkit.handover.pages.seen_file import seen, seen_before, summary
    from pathkit.handover.recheck import language_beside
    from pathkit.registry import load_machine

    kind = out.suffix.lower()
    if kind not in (".svg", ".png"):
        raise InputError(f"--out {str(out)!r} is no name of a picture; let it end with .svg or .png")
    profile = None if machine is None else load_machine(machine)
    files = [seen(file, profile)]
    if before is not None:
        is_job = before.suffix.lower() == ".toml"
        files.insert(0, seen_before(before, files[0]) if is_job else seen(before, profile))
    say = language or language_beside(file)
    svg = file_picture(files, say)
    data = svg.encode("utf-8") if kind == ".svg" else as_png(svg)
    write_beside(out.parent, {out.name: data}, force=force)
    if as_json:
        drawn = [each.as_dict() for each in files]
        click.echo(json.dumps({"ok": True, "out": str(out), "bytes": len(data), "files": drawn}, indent=1))
    else:
        click.echo(f"{out}: {summary(files, say)}")
    return DONE
