"""Hypothesis profiles: `ci` (the default) repeats the same examples, `dev` explores, `nightly` looks longer.

Also a small job file, which tests of jobs and of handing over change line by line.
"""

import gc
import os
import shutil
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

# The first call of a kernel compiles it, so examples have no time limit.
settings.register_profile("dev", deadline=None, max_examples=50)
settings.register_profile(
    "ci", deadline=None, max_examples=25, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.register_profile("nightly", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))

# Whoever runs the tests may have another locale; what they look for is English.
os.environ["PATHKIT_LANGUAGE"] = "en"


def pytest_sessionstart(session: pytest.Session) -> None:
    """Before several workers start, what most tests need is compiled once; else each worker would compile it."""
    config = session.config
    if getattr(config.option, "numprocesses", None) and not config.option.collectonly:
        from pathkit.warming import warm

        warm()


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Iterator[None]:
    """What is made here lives as long as the run: to look through it again and again for garbage takes one part in
    twenty of it."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()
        gc.collect()
        gc.freeze()


TAGS = """
name = "key tags"

[stock]
thickness = 6
underlay = 2
z_zero = "bed"

[[board]]
width = 300
depth = 200

[tools."3 mm mill"]
diameter = 3
centre_cutting = true

[cutting.wood]
feed = 1400
plunge = 400
spindle = 18000

[[part]]
name = "tag"

[part.shapes]
outline.rectangle = { width = 60, depth = 30, radius = 6 }
recess.rectangle = { corner = [16, 8], width = 36, depth = 14, radius = 3 }
hole.points = [[8, 15]]

[[part.operations]]
kind = "pocket"
shape = "recess"
bottom.from_top = 2

[[part.operations]]
kind = "drill"
shape = "hole"
bottom.above_bed = 1.7
peck = 2

[[part.operations]]
kind = "contour"
shape = "outline"
bottom.above_bed = 1.7
stepdown = 2
"""


@pytest.fixture(scope="session")
def tags() -> str:
    return TAGS


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """The Chromium of this machine, driven by Playwright; without either, the test is skipped.

    One serves all tests of a worker, and Playwright runs no second one beside it. Close the pages that you open.
    """
    sync = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    path = next((found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), None)
    if path is None:
        pytest.skip("there is no chromium on this machine")
    options = ["--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run"]
    with sync.sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=path, args=options)
        yield started
        started.close()


@pytest.fixture(scope="session")
def one_page(browser: Any) -> Any:
    """A page for tests that load a file and look at it: to open another takes ten times as long as to load into it."""
    return browser.new_page()


@pytest.fixture
def page(one_page: Any) -> Iterator[Any]:
    """That page, of a usual size and as on a screen."""
    one_page.set_viewport_size({"width": 1280, "height": 720})
    one_page.emulate_media(media="null")
    yield one_page
    one_page.goto("about:blank")
