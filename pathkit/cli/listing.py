"""Commands that list what is available: dialects, machines, and the keys of a job file."""

from __future__ import annotations

import json
from typing import Any

import click

from pathkit.cli.showing import DONE, JSON, show_table


@click.command()
@JSON
def dialects(as_json: bool) -> int:
    """List the controllers that files can be written for, and the package of each dialect."""
    from pathkit.dialect.claims import claims

    for finding in (finding for p in _provided("dialect") for finding in claims(p.value)):
        click.echo(f"warning: {finding}", err=True)
    rows = [
        {"name": p.name, "title": p.value.title, "suffix": p.value.suffix, "from": p.package}
        for p in _provided("dialect")
        if not claims(p.value)
    ]
    show_table("dialects", rows, as_json)
    return DONE


@click.command()
@JSON
def machines(as_json: bool) -> int:
    """List the machine profiles that can be used by name."""
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
    show_table("machines", rows, as_json)
    return DONE


@click.command()
@JSON
def schema(as_json: bool) -> int:
    """Print the JSON schema of a job file, for editors that complete and check as you type."""
    del as_json  # it is JSON in any case
    from pathkit.jobs.schema import json_schema

    click.echo(json.dumps(json_schema(), indent=1))
    return DONE


def _provided(kind: Any) -> tuple[Any, ...]:
    from pathkit.registry import installed

    provided: tuple[Any, ...] = installed().provided(kind)
    return provided
