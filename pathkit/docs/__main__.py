"""``python -m pathkit.docs OUT`` builds the site."""

from __future__ import annotations

from pathlib import Path

import click

from pathkit.docs.site import FORMATS, build
from pathkit.errors import PathkitError


@click.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--format", "kind", type=click.Choice(FORMATS), default=FORMATS[0], show_default=True)
def main(out: Path, kind: str) -> None:
    """Build the guides, every public name and every key of a file into OUT, a folder that is not there yet."""
    try:
        first = build(out, kind)
    except PathkitError as error:
        raise click.UsageError(str(error)) from None
    click.echo(f"begin with {first}")


if __name__ == "__main__":
    main(prog_name="python -m pathkit.docs")
