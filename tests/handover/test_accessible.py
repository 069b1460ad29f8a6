"""Every page in a real browser, judged by axe-core: the rules of WCAG 2.2 levels A and AA, and its good practice.

Rules that a program can judge find a part of what is in the way of people; that none is broken is not conformance.
axe-core (MPL 2.0) comes in the package axe-playwright-python.
"""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest

from pathkit.cli.main import run
from pathkit.cli.showing import DONE
from pathkit.handover.build import build_orders
from pathkit.handover.chooser import build_handout
from pathkit.handover.revision import PREVIEW
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.registry import load_machine
from tests.handover.test_handout import FEW, LEAST

PAGES = ("chooser", "sheet", "index", "preview", "sheet of a hand-out", "tuned")
WIDTHS = (1280, 320)


@pytest.fixture(scope="module")
def pages(tags: str, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    out = tmp_path_factory.mktemp("pages")
    zones = 'name = "tag"\nzones = [{ kind = "tape", shape = "recess" }]'
    file = job_file_of(tags.replace('name = "tag"', zones) + "\n[layout]\ncopies = 2\nmargin = 10\n", "job.toml")
    made = build_orders(orders_of(file, [load_machine("portrait-inch")]), out / "built")
    assert made.ok, made.findings
    list(build_handout(job_file_of(FEW + LEAST, "pegs.toml"), out / "handout"))
    (out / "old.nc").write_text("G21 G90\nM3 S9000\nG0 Z5.0\nX5.0 Y5.0\nG1 Z-2.0 F200\nX50.0 F600\nG0 Z5.0\nM5\nM30\n")
    words = [str(out / "old.nc"), "--machine", "portrait-inch", "--out", str(out / "tuned"), "--quiet"]
    assert run(["tune", *words]) == DONE
    folder = out / "built" / made.folders[0].name
    return {
        "chooser": out / "handout" / "index.html", "sheet": folder / made.folders[0].sheet_file,
        "index": out / "built" / "index.html", "preview": folder / PREVIEW,
        "tuned": out / "tuned" / "sheet.html",
        "sheet of a hand-out": next((out / "handout").glob("*/setup-sheet.html")),
    }  # fmt: skip


@pytest.fixture(scope="module")
def rules() -> str:
    package = pytest.importorskip("axe_playwright_python", reason="axe-playwright-python is not installed")
    return files(package).joinpath("axe.min.js").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def court(browser: Any) -> Iterator[Any]:
    """A page in which the rules may run whatever a file forbids."""
    with browser.new_context(bypass_csp=True) as context:
        yield context.new_page()


def judged(page: Any, rules: str, path: Path, width: int) -> dict[str, Any]:
    page.set_viewport_size({"width": width, "height": 800})
    page.goto(path.as_uri())
    if path.name == PREVIEW:
        page.wait_for_selector("html[data-ready]")
    page.evaluate(rules)
    found: dict[str, Any] = page.evaluate("axe.run()")
    found["wide"] = page.evaluate("document.documentElement.scrollWidth")
    return found


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("name", PAGES)
def test_no_rule_is_broken(court: Any, rules: str, pages: dict[str, Path], name: str, width: int) -> None:
    found = judged(court, rules, pages[name], width)
    told = [f"{each['id']}: {each['help']}: {node['html']}" for each in found["violations"] for node in each["nodes"]]
    assert told == []
    assert len(found["passes"]) > 15, "the rules were run"
    assert found["wide"] <= width, "nothing makes the whole page scroll sideways"


def test_the_rules_find_what_is_wrong(court: Any, rules: str, pages: dict[str, Path], tmp_path: Path) -> None:
    text = pages["sheet"].read_text(encoding="utf-8")
    (tmp_path / "bad.html").write_text(text.replace('<html lang="en">', "<html>").replace('role="img"', 'role="imp"'))
    found = judged(court, rules, tmp_path / "bad.html", 1280)
    assert {"html-has-lang", "aria-roles"} <= {each["id"] for each in found["violations"]}
