"""Shared by the commands: options, exit codes, and how findings, tables and figures are shown."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

import click

from pathkit.cli.source_lines import SourceLines
from pathkit.cli.spoken import SpokenContext, column, figure, spoken, summary_of
from pathkit.errors import InputError
from pathkit.findings import Finding, grouped
from pathkit.texts.language import ENGLISH, LANGUAGES, Language
from pathkit.units import MM_PER_FOOT

if TYPE_CHECKING:
    from pathkit.handover.result import Folder

DONE: Final = 0
FAILED: Final = 1
WRONG: Final = 2
"""Exit codes: done, a check failed, the input is wrong or the output cannot be written."""

JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")
OF_CERTIFICATE = click.option("--machine", metavar="M", help="Profile (.toml) or name; else the certificate's.")
QUIET = click.option("--quiet", is_flag=True, help="No progress, no notes, no summary; warnings and errors still.")
LANGUAGE = click.option(
    "--language",
    type=click.Choice(LANGUAGES),
    callback=lambda _context, _option, code: None if code is None else Language(code),
    help="Language of what is made for people; the job's or the folder's, or en.",
)
FORCE = click.option("--force", is_flag=True, help="Write beside foreign files; replace those of the same name.")


class Commands(click.Group):
    """Commands of one kind; alone it says what it can do."""

    context_class = SpokenContext

    def add_command(self, cmd: click.Command, name: str | None = None) -> None:
        cmd.context_class = SpokenContext
        super().add_command(cmd, name)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        if spoken() == ENGLISH:
            super().format_commands(ctx, formatter)
            return
        names = self.list_commands(ctx)
        size = formatter.width - 6 - max(map(len, names))
        with formatter.section("Commands"):
            formatter.write_dl([(name, summary_of(self.commands[name], size)) for name in names])

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        return super().parse_args(ctx, args if args or ctx.resilient_parsing else ["--help"])


def toml_file(path: Path) -> Path:
    """A file to write, with ``.toml`` added where it has no ending. Raises `InputError` for another ending."""
    if path.suffix == "":
        return path.with_name(f"{path.name}.toml")
    if path.suffix != ".toml":
        raise InputError(
            f"--out is {str(path)!r}; give a name that ends in .toml, as in --out {path.with_suffix('.toml')}"
        )
    return path


_NAMED: Final = 3


def tell(
    findings: Iterable[Finding], indent: str = "", *, err: bool = False, lines: bool = True, quiet: bool = False,
    units: str | Callable[[Finding], str] = "mm",
) -> None:  # fmt: skip
    """A line for each cause, with the toolpaths that it holds for; file by file, each with the ``lines`` that it speaks
    of. ``err``: on standard error; ``quiet``: no notes; ``units``: what its reader counts in, for each or for all."""
    source = SourceLines(err=err)
    said = [each for each in findings if not (quiet and each.severity == "note")]
    for first, more in _by_file(grouped(said)):
        names = list(dict.fromkeys(f"{each.toolpath!r}" for each in more if each.toolpath != first.toolpath))
        shown = ", ".join(names[:_NAMED]) + (", …" if len(names) > _NAMED else "")
        counted = units if isinstance(units, str) else units(first)
        click.echo(f"{indent}{_line(first, len(more), shown, counted)}", err=err)
        for line in source.shown(first, indent) if lines else ():
            click.echo(line, err=err)


def units_of(folders: Iterable[Folder]) -> Callable[[Finding], str]:
    """What a finding of these folders is told in: its machine's units, or those of all of them if it is of none."""
    each = {folder.name: folder.machine.units for folder in folders}
    common = "inch" if set(each.values()) == {"inch"} else "mm"

    def units(finding: Finding) -> str:
        place = finding.file or ""
        return next((own for name, own in each.items() if place == name or place.startswith(f"{name}/")), common)

    return units


def _line(first: Finding, more: int, shown: str, units: str) -> str:
    """A finding in the language and the units of its reader, with how many there are like it, and some of their
    names."""
    if (say := spoken()) == ENGLISH and units == "mm":
        also = f" (and {more} more{': ' if shown else ''}{shown})" if more else ""
        return f"{first.severity}: {first}{also}"
    from pathkit.texts.findings import said

    line = say("finding-severity", severity=first.severity, what=said(first, say, units))
    if more:
        if shown:
            return say("finding-more-named", what=line, count=more, names=shown)
        return say("finding-more", what=line, count=more)
    return line


Group = tuple[Finding, tuple[Finding, ...]]


def _by_file(groups: Sequence[Group]) -> list[Group]:
    """What is said of one file stands together, in the order of its lines; files are in the order of their first."""
    files = {name: place for place, name in enumerate(dict.fromkeys(first.file for first, _ in groups))}
    return sorted(groups, key=lambda group: (files[group[0].file], group[0].line or 0))


def show_table(key: str, rows: Sequence[dict[str, str]], as_json: bool) -> None:
    """Rows under the names of their columns; as JSON under ``key``."""
    if as_json:
        click.echo(json.dumps({"ok": True, key: rows}, indent=1))
        return
    from rich.console import Console
    from rich.table import Table

    table = Table(box=None, pad_edge=False, header_style="bold")
    for name in rows[0] if rows else ():
        table.add_column(column(name), overflow="fold")
    for row in rows:
        table.add_row(*(_escaped(cell) for cell in row.values()))
    # A pipe has no width: names must not be broken there.
    console = Console() if sys.stdout is not None and sys.stdout.isatty() else Console(width=400)
    console.print(table)


def _escaped(text: str) -> str:
    from rich.markup import escape

    return escape(text)


def length(millimetres: float | None, units: str = "mm") -> str:
    """``1.23 m``, or ``4.04 ft`` where the machine counts in inches; a dash if it is not known."""
    if millimetres is None:
        return "-"
    return figure(f"{millimetres / MM_PER_FOOT:.2f} ft" if units == "inch" else f"{millimetres / 1000.0:.2f} m")
