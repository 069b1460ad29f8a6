"""README is true: its Python runs as it stands, and its commands exist."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from pathkit.cli.main import cli

README = (Path(__file__).resolve().parent.parent / "README.md").read_text(encoding="utf-8")


def test_the_python_in_readme_runs_as_it_stands() -> None:
    (code,) = re.findall(r"```python\n(.*?)```", README, re.S)
    space: dict[str, Any] = {}
    exec(compile(code, "README.md", "exec"), space)
    assert space["posted"].text.startswith("(pathkit: plate)")


def test_the_job_file_in_readme_is_one() -> None:
    from pathkit.jobs.planning import orders_of
    from pathkit.jobs.reading import job_file_of
    from pathkit.registry import load_machine

    text, edge = re.findall(r"```toml\n(.*?)```", README, re.S)
    machine = load_machine("grbl-front-left")
    (order,) = orders_of(job_file_of(text, "README.md"), [machine])
    assert len(order.job.parts) == 20
    # The chamfer beside it is one more operation of such a file.
    vee = '[tools."vee 90"]\ndiameter = 12\nkind = "vee"\nangle = 90\n[cutting'
    more = text.replace('kind = "contour"', 'kind = "contour"\ntool = "3 mm end mill"').replace("[cutting", vee, 1)
    (order,) = orders_of(job_file_of(more.replace("[layout]", f"{edge}[layout]"), "README.md"), [machine])
    assert sum(len(part.chamfers) for part in order.job.parts) == 20


def test_every_command_in_readme_exists_and_every_command_is_in_readme() -> None:
    named = set(re.findall(r"`pathkit ([a-z]+)", README))
    assert named == set(cli.commands)


def test_both_one_line_commands_are_there() -> None:
    for mark in ("demo command", "test command"):
        assert re.search(rf"<!-- {mark} -->\n```sh\n[^\n]+\n```", README)
