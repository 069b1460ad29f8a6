"""Commands for support by mail: what a line of a cut file does, and how a file that came back differs."""

from __future__ import annotations

import json
from pathlib import Path

import click

from pathkit.cli.showing import DONE, FAILED, JSON, LANGUAGE, OF_CERTIFICATE
from pathkit.texts.language import Language


@click.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.argument("line", metavar="LINE", type=int)
@OF_CERTIFICATE
@click.option("--message", metavar="N", type=int, help="GRBL showed error:N here; say what it most likely meant.")
@click.option("--alarm", metavar="N", type=int, help="GRBL showed ALARM:N here; say what it most likely meant.")
@LANGUAGE
@JSON
def explain(
    file: Path, line: int, machine: str | None, message: int | None, alarm: int | None, language: Language | None,
    as_json: bool,
) -> int:  # fmt: skip
    """Say what line LINE of a cut file does, as text for a mail.

    Toolpaths and board come from the certificate beside FILE; without one --machine says how to read it.
    """
    from pathkit.handover.recheck import language_beside
    from pathkit.handover.support.explaining import explain as make
    from pathkit.handover.support.mail import as_mail
    from pathkit.registry import load_machine

    profile = None if machine is None else load_machine(machine)
    say = language or language_beside(file)
    told = make(file, line, machine=profile, message=message, alarm=alarm, say=say)
    if as_json:
        click.echo(json.dumps(told.as_dict(), indent=1))
    else:
        click.echo("\n".join(as_mail(told, say)))
    return DONE


@click.command()
@click.argument("sent", metavar="SENT", type=click.Path(path_type=Path))
@click.argument("returned", metavar="RETURNED", type=click.Path(path_type=Path))
@OF_CERTIFICATE
@LANGUAGE
@JSON
def differ(sent: Path, returned: Path, machine: str | None, language: Language | None, as_json: bool) -> int:
    """Say how a cut file that came back differs from the one that was sent.

    Exit code 0 if both make the same moves and the controller takes both alike, 1 if not. Machine, toolpaths and board
    come from the certificate beside SENT; without one --machine says how to read them.
    """
    from pathkit.handover.recheck import language_beside
    from pathkit.handover.support.differing import differ as make
    from pathkit.handover.support.mail import difference_as_mail
    from pathkit.registry import load_machine

    say = language or language_beside(sent)
    told = make(sent, returned, machine=None if machine is None else load_machine(machine), say=say)
    if as_json:
        click.echo(json.dumps(told.as_dict(), indent=1))
    else:
        click.echo("\n".join(difference_as_mail(told, say)))
    return DONE if told.ok else FAILED
