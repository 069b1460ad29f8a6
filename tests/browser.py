"""The Chromium of this machine, driven by Playwright; without either, the test that asks for it is skipped.

Tests ask for the fixture ``browser``: one serves all of a worker, and Playwright runs no second one beside it.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

OPTIONS = ("--no-sandbox", "--disable-gpu", "--disable-background-networking", "--no-first-run")


@contextmanager
def chromium() -> Iterator[Any]:
    """A browser of its own, closed at the end."""
    sync = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    path = next((found for name in ("chromium", "chromium-browser") if (found := shutil.which(name))), None)
    if path is None:
        pytest.skip("there is no chromium on this machine")
    with sync.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(OPTIONS))
        yield browser
        browser.close()
