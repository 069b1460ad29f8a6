"""Commands that list what is available: dialects, machines, and the keys of a job file."""

from __future__ import annotations

import json
import shutil
import textwrap
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Final

import click

from pathkit.cli.showing import DONE, JSON, show_table

if TYPE_CHECKING:
    from pathkit.jobs.keys import Key

_PLACES: Final = 5
"""Of a key that stands in more places than this, the others are counted."""


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
@click.argument("key", metavar="[KEY]", required=False)
@JSON
def schema(key: str | None, as_json: bool) -> int:
    """Say what KEY of a job file or a profile means; without KEY, print the JSON schema of a job file for editors.

    KEY is a whole path (part.operations.pocket.stepover) or its end (stepover).
    """
    from pathkit.jobs.keys import keys_like

    if key is None:
        # It is JSON in any case.
        from pathkit.jobs.schema import json_schema

        click.echo(json.dumps(json_schema(), indent=1))
        return DONE
    found = keys_like(key)
    if as_json:
        click.echo(json.dumps({"ok": True, "keys": [each.as_dict() for each in found]}, indent=1))
        return DONE
    for number, each in enumerate(found):
        if number:
            click.echo()
        for line in described(each):
            click.echo(line)
    return DONE


def described(key: Key) -> Iterator[str]:
    """The lines that say what a key means, as wide as the terminal."""
    wide = min(shutil.get_terminal_size((100, 24)).columns, 100)
    more = f", and {len(key.also)} more" if len(key.also) > _PLACES else ""
    rows = (
        ("", key.says),
        ("type", key.kind),
        ("unit", key.unit),
        ("limits", key.limits),
        ("default", "it must be given" if key.needed else key.default or "may be left out"),
        ("keys", ", ".join(key.inner)),
        ("also", ", ".join(key.also[:_PLACES]) + more),
    )
    yield key.path
    for name, text in rows:
        if text:
            start = f"  {name:<9}" if name else "  "
            yield from textwrap.wrap(text, wide, initial_indent=start, subsequent_indent=" " * len(start))


def _provided(kind: Any) -> tuple[Any, ...]:
    from pathkit.registry import installed

    provided: tuple[Any, ...] = installed().provided(kind)
    return provided
