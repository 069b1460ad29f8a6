"""Commands that list what is available: dialects, machines, and the keys of a job file."""

from __future__ import annotations

import json
import shutil
import textwrap
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any, Final

import click

from pathkit.cli.showing import DONE, JSON, LANGUAGE, show_table, tell
from pathkit.cli.spoken import spoken
from pathkit.texts.language import ENGLISH, Language

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
        tell([replace(finding, severity="warning")], err=True, lines=False)
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
@LANGUAGE
@JSON
def schema(key: str | None, language: Language | None, as_json: bool) -> int:
    """Say what KEY of a job file or a profile means; without KEY, print the JSON schema of a job file for editors.

    KEY is a whole path (part.operations.pocket.stepover) or its end (stepover).
    """
    from pathkit.jobs.key_words import in_language
    from pathkit.jobs.keys import keys_like

    if key is None:
        # It is JSON in any case.
        from pathkit.jobs.schema import json_schema

        click.echo(json.dumps(json_schema(), indent=1))
        return DONE
    # What programs read follows no terminal.
    say = language or (ENGLISH if as_json else spoken())
    found = [in_language(each, say) for each in keys_like(key)]
    if as_json:
        click.echo(json.dumps({"ok": True, "keys": [each.as_dict() for each in found]}, indent=1))
        return DONE
    for number, each in enumerate(found):
        if number:
            click.echo()
        for line in described(each, say):
            click.echo(line)
    return DONE


def described(key: Key, say: Language = ENGLISH) -> Iterator[str]:
    """The lines that say what a key means, as wide as the terminal."""
    from pathkit.jobs.key_words import word

    wide = min(shutil.get_terminal_size((100, 24)).columns, 100)
    more = f" (+ {len(key.also) - _PLACES} {word('more', say)})" if len(key.also) > _PLACES else ""
    rows = (
        ("", key.says),
        ("row-type", key.kind),
        ("row-unit", key.unit),
        ("row-limits", key.limits),
        ("row-default", word("must", say) if key.needed else key.default or word("may", say)),
        ("row-keys", ", ".join(key.inner)),
        ("row-also", ", ".join(key.also[:_PLACES]) + more),
    )
    size = max(len(word(name, say)) for name, _ in rows if name) + 2
    yield key.path
    for name, text in rows:
        if text:
            start = f"  {word(name, say):<{size}}" if name else "  "
            yield from textwrap.wrap(text, wide, initial_indent=start, subsequent_indent=" " * len(start))


def _provided(kind: Any) -> tuple[Any, ...]:
    from pathkit.registry import installed

    provided: tuple[Any, ...] = installed().provided(kind)
    return provided
