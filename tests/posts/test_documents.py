"""posts/README.md is true: its code runs, its tables are those of the code, and it names every hook.

Run as a program, this file writes the table of dialects anew: ``python tests/posts/test_documents.py``.
"""

from __future__ import annotations

import inspect
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit import hookspecs
from pathkit.dialect.claims import claims
from pathkit.machine.capabilities import OVERRIDABLE, Capabilities
from pathkit.registry import installed

ROOT = Path(__file__).resolve().parent.parent.parent
README = ROOT / "posts" / "README.md"
START, END = "<!-- dialects -->\n", "<!-- end -->\n"
HOOKS = ("prologue", "event", "epilogue")


def code(language: str) -> list[str]:
    return re.findall(rf"```{language}\n(.*?)```", README.read_text(encoding="utf-8"), re.S)


def shipped() -> list[Any]:
    return [p.value for p in installed().provided("dialect") if "pathkit_posts" in p.package]


def row(dialect: Any) -> list[str]:
    caps: Capabilities = dialect.capabilities
    arcs = caps.arcs if caps.arcs != "none" else f"none ({', '.join(dialect.words.arc_modes)} on request)"
    round_ = [name for name, has in (("full circles", caps.full_circles), ("helices", caps.helical)) if has]
    decimals = ", ".join(f"{caps.decimals[unit]} {unit}" for unit in caps.decimals)
    limits = [f"{caps.line_length} a line"] if caps.line_length else []
    limits += [f"{caps.significant_digits} digits"] if caps.significant_digits else []
    return [
        f"`{dialect.name}`", dialect.title, f"`{dialect.suffix}`", decimals,
        arcs + (f"; {', '.join(round_)}" if round_ and caps.arcs != "none" else ""),
        ", ".join(sorted(caps.drill_cycles)) or "written out", caps.tool_change,
        ", ".join(sorted(caps.coolants)) or "none", f"{caps.offsets[0]}–{caps.offsets[-1]}" if caps.offsets else
        ("set by the file" if caps.sets_zero else "none"), caps.dwell_unit, f"`{caps.program_end}`" if caps.program_end
        else "none", " … ".join(mark for mark in caps.comment if mark) if caps.comment else "none",
        ", ".join(limits) or "none",
    ]  # fmt: skip


def table() -> str:
    head = ["name", "controller", "suffix", "decimals", "arcs", "drill cycles", "bits change by", "coolant", "offsets",
            "dwell in", "end", "comment", "limits"]  # fmt: skip
    lines = [head, ["---"] * len(head), *(row(dialect) for dialect in shipped())]
    return "".join(f"| {' | '.join(cells)} |\n" for cells in lines)


def test_the_table_of_dialects_is_the_code() -> None:
    text = README.read_text(encoding="utf-8")
    written = text[text.index(START) + len(START) : text.index(END)]
    assert written == table(), "run: python tests/posts/test_documents.py"


def test_every_shipped_dialect_has_a_file_of_its_own_and_keeps_its_claims() -> None:
    names = [type(dialect).__module__ for dialect in shipped()]
    assert len(set(names)) == len(names) == 7
    for dialect in shipped():
        assert claims(dialect) == ()
        assert dialect.__doc__


def test_the_module_of_the_readme_is_a_plugin_that_passes_the_kit(tmp_path: Path) -> None:
    module, tests = code("python")
    (entry,) = code("toml")
    assert 'my_posts = "my_posts"' in entry
    (tmp_path / "my_posts.py").write_text(module, encoding="utf-8")
    (tmp_path / "test_mine.py").write_text(tests, encoding="utf-8")
    few = "from hypothesis import settings\nsettings.register_profile('few', deadline=None, max_examples=5)\n"
    (tmp_path / "conftest.py").write_text(few + "settings.load_profile('few')\n")
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-c", "/dev/null", str(tmp_path)],
        capture_output=True, text=True, check=False, cwd=tmp_path,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_module_of_the_readme_posts_and_is_proved() -> None:
    from pathkit import posting
    from pathkit.proof.verify import verify
    from pathkit.testing import demonstration, machine_for

    space: dict[str, Any] = {}
    exec(compile(code("python")[0], "posts/README.md", "exec"), space)
    (mine,) = space["pathkit_dialects"]()
    assert claims(mine) == ()
    machine = machine_for(mine)
    posted = posting.post(demonstration(), machine, dialect=mine)
    assert posted.files[0].name == "cable-tidy-plate.cut"
    proof = verify(posted, demonstration(), machine, mine.capabilities.on(machine))
    assert proof["same path"].status == "passed"


def test_everything_a_profile_may_change_is_named() -> None:
    text = README.read_text(encoding="utf-8")
    part = text[text.index("<!-- overrides -->") : text.index(START)]
    named = [key for row in re.findall(r"^\| (`[^|]+) \|", part, re.M) for key in re.findall(r"`(\w+)`", row)]
    assert sorted(named) == sorted({*OVERRIDABLE, "suffix"})


@pytest.mark.parametrize("hook", [name for name in vars(hookspecs) if name.startswith("pathkit_")])
def test_every_hook_is_described_with_its_arguments_and_has_a_test(hook: str) -> None:
    signature = inspect.signature(getattr(hookspecs, hook))
    named = f"`{hook}({', '.join(signature.parameters)})`"
    assert named in README.read_text(encoding="utf-8")
    plugin = (ROOT / "tests" / "plugin" / "shopfloor_posts.py").read_text(encoding="utf-8")
    assert f"def {hook}(" in plugin
    tried = (ROOT / "tests" / "test_plugin.py").read_text(encoding="utf-8")
    assert {"pathkit_dialects": "dialects", "pathkit_passes": "slow_down", "pathkit_machines": "machines",
            "pathkit_checks": "no mondays"}[hook] in tried  # fmt: skip


@pytest.mark.parametrize("hook", HOOKS)
def test_every_method_to_override_is_described_with_its_arguments_and_is_asked(hook: str) -> None:
    """Each hook is called for every file, with the arguments in the table; what it returns stands in the file."""
    from pathkit_posts.grbl import Grbl

    from pathkit import posting
    from pathkit.testing import demonstration, machine_for

    parameters = list(inspect.signature(getattr(pk.Dialect, hook)).parameters)[1:]
    assert f"| `{hook}({', '.join(parameters)})` |" in README.read_text(encoding="utf-8")
    asked: list[tuple[Any, ...]] = []

    def own(self: Any, *arguments: Any) -> list[str]:
        asked.append(arguments)
        return [*getattr(Grbl, hook)(self, *arguments), f"G4 P{len(asked)}"]

    dialect = type("Own", (Grbl,), {hook: own})()
    text = posting.post(demonstration(), machine_for(dialect), dialect=dialect).text
    assert asked
    assert all(len(arguments) == len(parameters) for arguments in asked)
    assert all(isinstance(arguments[-1], pk.Context) for arguments in asked)
    assert text.splitlines().count(f"G4 P{len(asked)}") >= 1


def test_what_a_dialect_overrides_is_described() -> None:
    public = {name for name, value in vars(pk.Dialect).items() if inspect.isfunction(value)}
    assert public == {*HOOKS, "rewrite"}
    assert "| `rewrite(text, context)` |" in README.read_text(encoding="utf-8")


if __name__ == "__main__":
    text = README.read_text(encoding="utf-8")
    head, rest = text.split(START)
    README.write_text(head + START + table() + END + rest.split(END)[1], encoding="utf-8")
