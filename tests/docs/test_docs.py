"""What is there to read is true: every example runs, every guide's code does, and the site holds every name and key."""

from __future__ import annotations

import doctest
import inspect
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit.docs import pages
from pathkit.docs.__main__ import main
from pathkit.docs.site import build
from pathkit.jobs.keys import every_key
from pathkit.machine.capabilities import OVERRIDABLE
from pathkit.testing.examples import examples

NAMES = [name for names in pages.topics().values() for name in names]
CODE = [
    name for name in NAMES if inspect.isclass(getattr(pk, name)) or inspect.isroutine(inspect.unwrap(getattr(pk, name)))
]


def test_every_public_name_has_a_topic() -> None:
    assert sorted(NAMES) == sorted(set(dir(pk)) - {"__version__"})
    promises = {name for name in NAMES if isinstance(getattr(pk, name), pk.Promise)}
    assert {"same_board", "tabs_keep_place"} <= promises
    aliases = {"Entry", "Event", "Progress", "Role", "Severity"}
    assert set(NAMES) - set(CODE) - promises == {"ARC", "LINE", "RAPID", "hookimpl", *aliases}


@pytest.mark.parametrize("name", CODE)
def test_the_example_of_a_public_name_runs(name: str) -> None:
    parser, runner = doctest.DocTestParser(), doctest.DocTestRunner()
    test = parser.get_doctest(inspect.getdoc(getattr(pk, name)) or "", examples(), name, None, None)
    assert test.examples, "no example"
    assert any(example.want for example in test.examples), "nothing is shown"
    told: list[str] = []
    runner.run(test, out=told.append)
    assert not runner.summarize(verbose=False).failed, "".join(told)


def code_of(name: str) -> list[str]:
    found = re.findall(r"```python\n(.*?)```", pages.guide(name), re.S)
    assert found
    return found


def test_the_guide_to_embedding_cuts_a_plate_in_fifteen_lines(capsys: pytest.CaptureFixture[str]) -> None:
    (code,) = code_of("embed")
    assert len([line for line in code.splitlines() if line.strip()]) <= 17
    exec(code, {})
    assert re.fullmatch(r"cable-tidy-plate\.nc \d\d+ lines\n", capsys.readouterr().out)


def test_the_pass_and_the_check_of_the_guide_work() -> None:
    space: dict[str, Any] = {}
    for code in code_of("pass_and_check"):
        exec(code, space)
    job, machine = examples()["job"], examples()["machine"]
    (slow_down,) = space["pathkit_passes"]()
    slower = pk.Pipeline([slow_down(share=0.25)]).run(job, machine, check=True).job
    assert [path.cutting.feed for path in slower.toolpaths] == [300.0]
    moved = job.with_toolpaths(())
    assert space["same_shapes"](job, moved) is not None
    (check,) = space["pathkit_checks"]()
    registry = pk.Registry()
    registry.add(type("Plugin", (), {"pathkit_checks": staticmethod(space["pathkit_checks"])}), "guide")
    assert registry.find("check", "no small arcs").limits

    class Evidence:
        read = pk.read(
            "G21 G90 G94 G17 G54\nG0 Z5\nG0 X0 Y0\nG1 Z-1 F300\nG3 X0.2 Y0 I0.1\nG3 X10.2 Y0 I5\nM2", "rs274ngc"
        ).program

        def line(self, row: int) -> int:
            return int(self.read.line[row])

    assert [finding.line for finding in check(Evidence())] == [5]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    pytest.importorskip("sphinx")
    pytest.importorskip("myst_parser")
    out = tmp_path_factory.mktemp("docs") / "site"
    # In a process of its own: warnings of Sphinx about its own future are not for these tests.
    done = subprocess.run(
        [sys.executable, "-m", "pathkit.docs", str(out), "--format", "text"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert str(out / "index.txt") in done.stdout
    return out


def test_the_site_holds_every_public_name_with_its_docstring(site: Path) -> None:
    told = " ".join(path.read_text(encoding="utf-8") for path in (site / "names").iterdir())
    for name in NAMES:
        assert re.search(rf"^((final )?class |exception )?(pathkit\.)?{name}\b", told, re.M), name
    assert "Undefined" not in told


def test_the_site_holds_every_key_in_words(site: Path) -> None:
    told = "".join((site / f"{name}.txt").read_text(encoding="utf-8") for name in ("job_file", "profile"))
    for key in every_key():
        assert f'"{key.path.removeprefix("profile.")}"' in told, key.path
    for name in (*OVERRIDABLE, "suffix"):
        assert f'"output.{name}"' in told, name
    assert ">>>" not in told


def test_the_site_holds_the_guides(site: Path) -> None:
    for name, words in (("embed", "fifteen lines"), ("dialects", "twenty minutes"), ("pass_and_check", "A promise")):
        assert words in (site / f"{name}.txt").read_text(encoding="utf-8").replace("*", "")


def test_nothing_is_overwritten(tmp_path: Path) -> None:
    with pytest.raises(pk.InputError, match="is there already"):
        build(tmp_path)


def test_an_unknown_kind_is_refused(tmp_path: Path) -> None:
    with pytest.raises(pk.InputError, match="html, text"):
        build(tmp_path / "out", "paper")


def test_without_sphinx_it_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from click.testing import CliRunner

    monkeypatch.setitem(sys.modules, "myst_parser", None)
    done = CliRunner().invoke(main, [str(tmp_path / "out")])
    assert done.exit_code == 2
    assert 'pip install "pathkit-cam[docs]"' in done.output
    assert not (tmp_path / "out").exists()
