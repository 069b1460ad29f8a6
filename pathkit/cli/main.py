"""The command line. Exit codes: 0 done, 1 a check failed, 2 the input is wrong or the output cannot be written, 130
interrupted, 70 a fault in pathkit itself.

Thin: every command parses its arguments, calls the library, and shows the result: text for people or, with ``--json``,
one JSON object on standard output. Progress, warnings and refusals go to standard error.
"""

from __future__ import annotations

import atexit
import gc
import json
import os
import sys
import warnings
from collections.abc import Iterable, Sequence
from contextlib import suppress
from typing import Final, NoReturn

import click

from pathkit.cli.ahead import warm
from pathkit.cli.at_the_machine import rehearse, resume
from pathkit.cli.building import build, demo, handout
from pathkit.cli.by_mail import differ, explain
from pathkit.cli.checking import check, compare, time
from pathkit.cli.drawing import draw
from pathkit.cli.leaving import FAULT, close_quietly, stopped, system_refusal
from pathkit.cli.listing import dialects, machines, schema
from pathkit.cli.memory import keep_memory
from pathkit.cli.new import dialect, machine
from pathkit.cli.new_job import job
from pathkit.cli.showing import DONE, WRONG, Commands, tell
from pathkit.cli.source_lines import only_what_is_named
from pathkit.cli.spoken import echo
from pathkit.cli.tuning import tune
from pathkit.cli.watching import preview
from pathkit.errors import PathkitError
from pathkit.findings import Finding

_COMPLETE: Final = "_PATHKIT_COMPLETE"
"""The variable by which a shell asks for completions, as the library of the command line names it."""


def main(argv: Sequence[str] | None = None) -> NoReturn:
    """Run one command and exit with its code."""
    words = list(sys.argv[1:] if argv is None else argv)
    # Values that live to the end would be searched for cycles again and again, a tenth of the time, and once more
    # while the process ends, another tenth.
    gc.set_threshold(500_000, 50, 100)
    atexit.register(gc.freeze)
    keep_memory()
    try:
        code = run(words)
    except Exception:
        # A failed check exits with 1, and so would Python here.
        import traceback

        traceback.print_exc()
        echo("error: this is a fault in pathkit itself; please report it with the lines above", err=True)
        code = FAULT
    close_quietly()
    sys.exit(code)


def run(words: Sequence[str]) -> int:
    """Run one command and return its exit code; errors are reported in one message, never in a traceback."""
    with only_what_is_named(words):
        return _run(words)


def _run(words: Sequence[str]) -> int:
    as_json = "--json" in words
    before = len(_completed())
    try:
        with warnings.catch_warnings(record=True) as caught:
            warnings.simplefilter("always", UserWarning)
            code = _invoked(words)
        for warning in caught:
            echo(f"warning: {warning.message}", err=True)
        if sys.stdout is not None:
            sys.stdout.flush()
        return code
    except PathkitError as error:
        return _refuse(error.findings, as_json)
    except click.UsageError as error:
        hint = error.ctx.get_usage() if error.ctx is not None else ""
        return _refuse([Finding(check="command line", what=error.format_message(), fix=hint)], as_json)
    except click.ClickException as error:
        return _refuse([Finding(check="command line", what=error.format_message())], as_json)
    except (KeyboardInterrupt, click.Abort) as error:
        code, finding = stopped(error, _completed()[before:])
        return _refuse([finding], as_json, code)
    except (OSError, SystemExit) as error:
        return _refuse([system_refusal(error, _completed()[before:])], as_json=False)


def _completed() -> list[str]:
    """What has been put in place so far; nothing if the code for that was never needed."""
    journal = sys.modules.get("pathkit.handover.journal")
    return [] if journal is None else journal.completed


def _invoked(words: Sequence[str]) -> int:
    """Without the library's own `main`, which would exit with 1 if standard output is closed."""
    if wish := os.environ.get(_COMPLETE):
        from click.shell_completion import shell_complete

        return shell_complete(cli, {}, "pathkit", _COMPLETE, wish)
    try:
        with cli.make_context("pathkit", list(words)) as context:
            code = cli.invoke(context)
    except click.exceptions.Exit as leaving:
        return leaving.exit_code
    return code if isinstance(code, int) else DONE


def _refuse(findings: Iterable[Finding], as_json: bool, code: int = WRONG) -> int:
    findings = tuple(findings)
    # If nothing can be printed, the exit code still tells.
    with suppress(OSError):
        tell(findings, err=True, lines=not as_json)
    with suppress(OSError):
        if as_json:
            click.echo(json.dumps({"ok": False, "findings": [f.as_dict() for f in findings]}, indent=1))
    return code


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="pathkit-cam", prog_name="pathkit")
def cli() -> None:
    """Cut files for small 3-axis routers, each in its machine's own words, proved before any wood is cut."""


_COMMANDS = (
    demo, build, handout, tune, check, compare, time, draw, preview, resume, rehearse, explain, differ, schema,
    dialects, machines, dialect, machine, job, warm,
)  # fmt: skip
for command in _COMMANDS:
    cli.add_command(command)
