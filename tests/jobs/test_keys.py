"""What is said of the keys of job files and profiles is what their forms hold them to."""

from __future__ import annotations

import json
from pathlib import Path

import pathkit_posts
import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE, WRONG
from pathkit.errors import UnknownName
from pathkit.jobs.demo import demo_text
from pathkit.jobs.keys import every_key, keys_like
from pathkit.toml_source import parse_toml


def paths(asked: str) -> list[str]:
    return [key.path for key in keys_like(asked)]


def test_every_key_says_what_it_means() -> None:
    every = every_key()
    assert len(every) > 150
    assert [key.path for key in every if not key.says or not key.kind] == []
    assert [key.path for key in every if "`" in key.says] == []


def test_every_key_of_the_demo_and_of_its_machines_is_known() -> None:
    texts = [demo_text()]
    folder = Path(pathkit_posts.__file__).parent / "machines"
    texts += [path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.toml"))]
    assert len(texts) > 1
    for text in texts:
        lines = parse_toml(text, "").lines
        for path in lines:
            assert keys_like(".".join(str(step) for step in path if not isinstance(step, int))), path


def test_a_key_has_its_type_limits_default_and_the_sentence_that_speaks_of_it() -> None:
    (key,) = keys_like("part.operations.pocket.stepover")
    assert (key.kind, key.limits, key.default) == ("number", "at least 0.01, at most 1", "0.4")
    assert key.says == "stepover is a share of the bit's diameter."
    (key,) = keys_like("stock.thickness")
    assert (key.kind, key.needed, key.default) == ("length", True, "")
    assert key.unit.startswith("mm without quotes, or a text with its unit")
    (key,) = keys_like("part.shapes.outline.polygon")
    assert (key.kind, key.limits.split(", at most")[0]) == ("list of pairs of lengths", "at least 3 in the list")
    (key,) = keys_like("layout.align")
    assert (key.kind, key.default) == ('one of "corner", "centre"', '"corner"')
    (key,) = keys_like("hold_tabs.count")
    assert (key.kind, key.default) == ('whole number or "auto"', "2")
    assert keys_like("passes.hold_tabs")[0].inner[:3] == ("count", "width", "height")
    (key,) = keys_like("part.operations.chamfer.kind")
    assert key.says.startswith("A bevelled edge")


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("stepover", ["part.operations.pocket.stepover", "machine.cutting.stepover"]),
        ("tools.diameter", ["tools.NAME.diameter"]),
        ("tools.my bit.diameter", ["tools.NAME.diameter"]),
        ("$.part[0].operations[2].peck", ["part.operations.drill.peck"]),
        ("machine.travel.x", ["profile.travel.x"]),
        ("machine.homed", ["profile.homed"]),
        ("machine.spin_up", ["handout.machine.spindle.spin_up"]),
        ("output.units", ["profile.output.units"]),
        ("machine.turn", ["machine.turn"]),
    ],
)
def test_a_key_is_found_by_its_end_and_by_any_way_to_it(asked: str, found: list[str]) -> None:
    assert paths(asked) == found


def test_a_key_that_means_the_same_in_many_places_is_told_once() -> None:
    (key,) = keys_like("bottom")
    kinds = {path.split(".")[2] for path in (key.path, *key.also)}
    assert kinds == {"contour", "pocket", "slot", "drill", "engrave"}


@pytest.mark.parametrize(
    ("asked", "near"),
    [("stepovr", "did you mean stepover"), ("stock.thicknes", "stock.thickness"), ("", "lists them all")],
)
def test_an_unknown_key_is_refused_with_the_nearest(asked: str, near: str) -> None:
    with pytest.raises(UnknownName, match=f"no key is called .*{near}"):
        keys_like(asked)


def test_the_command_says_it_and_without_a_key_prints_the_schema(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["schema", "stepover"]) == DONE
    said = capsys.readouterr().out
    assert said.startswith("part.operations.pocket.stepover\n  stepover is a share of the bit's diameter.\n")
    assert "\nmachine.cutting.stepover\n" in said
    assert run(["schema", "stepover", "--json"]) == DONE
    told = json.loads(capsys.readouterr().out)
    assert [key["path"] for key in told["keys"]] == paths("stepover")
    assert run(["schema"]) == DONE
    assert json.loads(capsys.readouterr().out)["title"] == "pathkit job file"
    assert run(["schema", "stepovr"]) == WRONG
    assert "did you mean stepover, stepdown?" in capsys.readouterr().err
