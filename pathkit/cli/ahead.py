"""Compiling ahead of the first build."""

from __future__ import annotations

import json

import click

from pathkit.cli.progress import Progress
from pathkit.cli.showing import DONE, JSON
from pathkit.cli.spoken import echo


@click.command()
@click.option("--workers", type=click.IntRange(min=1), help="Processes; by default one a processor.")
@JSON
def warm(workers: int | None, as_json: bool) -> int:
    """Compile ahead what every build needs, so that the first one does not wait for it."""
    compiled = compile_ahead(as_json, workers)
    if as_json:
        click.echo(json.dumps({"compiled": compiled}, indent=1))
    elif not compiled:
        echo("nothing to compile")
    return DONE


def compile_ahead(quiet: bool, workers: int | None = None) -> tuple[str, ...]:
    """Compile what is not compiled yet, and say first what is being waited for."""
    from pathkit import warming

    names = warming.cold()
    if not names:
        return ()
    if not quiet:
        echo(f"compiling for the first time, once, takes about a minute: {', '.join(names)}", err=True)
    with Progress(quiet) as progress:
        return warming.warm(workers=workers, progress=progress)
