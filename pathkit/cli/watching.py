"""The command that makes a preview of a cut file."""

from __future__ import annotations

import json
from pathlib import Path

import click

from pathkit.cli.showing import DONE, FAILED, FORCE, JSON, LANGUAGE, OF_CERTIFICATE, tell
from pathkit.cli.spoken import echo
from pathkit.findings import errors_of
from pathkit.texts.language import Language


@click.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--out", metavar="F", type=click.Path(path_type=Path), required=True, help="The page to write (.html).")
@OF_CERTIFICATE
@click.option(
    "--job",
    "job_file",
    metavar="JOB",
    type=click.Path(path_type=Path),
    help="The job (JSON) that it cuts, for its board and bits; else the certificate's.",
)
@LANGUAGE
@FORCE
@JSON
def preview(
    file: Path, out: Path, machine: str | None, job_file: Path | None, language: Language | None, force: bool,
    as_json: bool,
) -> int:  # fmt: skip
    """Make a page on which FILE is watched before it is cut, with what the proof says at its lines.

    The page is one file that needs no network, and is made also where the proof finds errors; they are shown on it.
    Without a certificate or --job neither board nor bits are known.
    """
    from pathkit.files import read_bytes
    from pathkit.handover.atomic_write import write_beside
    from pathkit.handover.recheck import language_beside
    from pathkit.handover.watching import preview_of_file
    from pathkit.model.job import Job
    from pathkit.registry import load_machine

    profile = None if machine is None else load_machine(machine)
    job = None if job_file is None else Job.from_json(read_bytes(job_file), str(job_file))
    made = preview_of_file(file, profile, job, language or language_beside(file))
    write_beside(out.parent, {out.name: made.page}, force=force)
    wrong = errors_of(made.findings)
    if as_json:
        told = [finding.as_dict() for finding in made.findings]
        click.echo(json.dumps({"ok": not wrong, "file": str(file), "out": str(out), "findings": told}, indent=1))
    else:
        echo(f"{out}: open it in a browser. A preview is not a proof of the machine; run the air cut first.")
        tell(wrong, units=made.units)
    return FAILED if wrong else DONE
