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

    text, edge, handout, _ = re.findall(r"```toml\n(.*?)```", README, re.S)
    machine = load_machine("grbl-front-left")
    (order,) = orders_of(job_file_of(text, "README.md"), [machine])
    assert len(order.job.parts) == 20
    # The chamfer beside it is one more operation of such a file.
    vee = '[tools."vee 90"]\ndiameter = 12\nkind = "vee"\nangle = 90\n[cutting'
    more = text.replace('kind = "contour"', 'kind = "contour"\ntool = "3 mm end mill"').replace("[cutting", vee, 1)
    (order,) = orders_of(job_file_of(more.replace("[layout]", f"{edge}[layout]"), "README.md"), [machine])
    assert sum(len(part.chamfers) for part in order.job.parts) == 20
    from pathkit.jobs.handout import offered_by

    offered = offered_by(job_file_of(text + handout, "README.md"))
    assert len(offered) == 2 * 2 * 2 * 2 * 2
    assert all(each.orders for each in offered)


def test_the_beam_in_readme_burns() -> None:
    from dataclasses import replace

    from pathkit import load_machine
    from pathkit.jobs.planning import orders_of
    from pathkit.jobs.reading import job_file_of

    *_, beam = re.findall(r"```toml\n(.*?)```", README, re.S)
    tools, operation = beam.split("[[part.operations]]")
    head = 'name = "label"\n[stock]\nthickness = 3\n[[board]]\nwidth = 200\ndepth = 100\n'
    part = '[[part]]\nname = "label"\noutline = "edge"\nshapes.edge.rectangle = { width = 50, depth = 20 }\n'
    text = f"{head}{tools}{part}[[part.operations]]{operation}"
    machine = replace(load_machine("grbl-front-left"), dialect="grbl-beam")
    (order,) = orders_of(job_file_of(text, "README.md"), [machine])
    assert order.job.by_beam
    assert sum(path.curve.length for path in order.job.toolpaths) == 2 * 140.0


def test_every_command_in_readme_exists_and_every_command_is_in_readme() -> None:
    named = set(re.findall(r"`pathkit ([a-z]+)", README))
    assert named == set(cli.commands)


def test_both_one_line_commands_are_there() -> None:
    for mark in ("demo command", "test command"):
        assert re.search(rf"<!-- {mark} -->\n```sh\n[^\n]+\n```", README)


def table_after(mark: str) -> list[list[str]]:
    """The cells of the table below a mark, without its heading."""
    (table,) = re.findall(rf"<!-- {mark} -->\n((?:\|.*\n)+)", README)
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in table.splitlines()[2:]]


def test_the_usual_ranges_in_readme_are_those_that_jobs_are_held_against() -> None:
    from pathkit import Tool
    from pathkit.feeds.chips import usual_chip_load
    from pathkit.feeds.materials import USUAL

    bits = [Tool(f"{wide:g} mm", wide) for wide in (3.0, 6.0)]
    expected = []
    for material, usual in USUAL.items():
        chips = ["{:g} to {:g}".format(*usual_chip_load(bit, material, 0.0)) for bit in bits]
        expected.append([material, *chips, f"{usual.depth:g}", f"{usual.speed:g}"])
    assert table_after("usual ranges") == expected


def test_what_readme_says_of_chips_is_what_jobs_are_held_against() -> None:
    from pathkit.feeds import chips
    from pathkit.operations import feeds, judging

    text = " ".join(README.split())
    low, high = chips.DRILLED
    assert f"A drill takes {low:g} to {high:g} mm a tooth at 6 mm" in text
    assert f"its edge runs at {judging.DRILL_SPEED:g} m/min at most" in text
    assert "Spindles turn {:.0f} to {:.0f} rpm".format(*feeds.USUAL_SPEED) in text
    assert chips.STRAIGHT_DOWN == 0.5, "half of the thickest chip straight down"
    assert chips.DEPTH == ((1.0, 1.0), (2.0, 0.75), (3.0, 0.5)), (
        "three quarters at twice the depth, half at three times"
    )


def test_the_materials_that_readme_says_are_refused_are_those_with_the_same_reasons() -> None:
    from pathkit.feeds.materials import DO_NOT_CUT, why_not

    assert table_after("refused materials") == [[name, why] for name, why in DO_NOT_CUT.items()]
    assert all(why_not(name) for name in ("vinyl", "fr4", "asbestos"))
