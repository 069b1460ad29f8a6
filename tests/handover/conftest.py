"""One plate of the demo, and its folder for the three machines of the demo: several files look at both."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from pathkit.handover.build import build, build_orders
from pathkit.handover.result import BuildResult
from pathkit.jobs.demo import demo_machines, demo_orders, demo_passes
from pathkit.model.job import Job
from tests.demo import demo_plates
from tests.handover.folders import tree
from tests.handover.previews import hostile_build


@pytest.fixture(scope="session")
def one_plate() -> Job:
    """The first plate of the demo's board, before any pass."""
    return demo_plates("plate 01")


@pytest.fixture(scope="session")
def plate_built(one_plate: Job, tmp_path_factory: pytest.TempPathFactory) -> Iterator[BuildResult]:
    """The build of `one_plate` for three machines."""
    result = build(one_plate, demo_machines(), tmp_path_factory.mktemp("one-plate") / "out", passes=demo_passes())
    assert result.ok, result.findings
    written = tree(result.out)
    yield result
    assert tree(result.out) == written, "a test has changed the folder that all look at"


@pytest.fixture(scope="session")
def plate_folder(plate_built: BuildResult) -> Path:
    """The folder of that build. Copy it before you change anything in it."""
    return plate_built.out


@pytest.fixture(scope="session")
def demo_built(tmp_path_factory: pytest.TempPathFactory) -> BuildResult:
    """The whole demo for its three machines, in as short a travel as is found at once. Copy what you change."""
    made = build_orders(demo_orders(effort=0), tmp_path_factory.mktemp("demo") / "out")
    assert made.ok, made.findings
    return made


@pytest.fixture(scope="session")
def previewed(tags: str, tmp_path_factory: pytest.TempPathFactory) -> BuildResult:
    """The build of `hostile_build`. Copy what you change."""
    return hostile_build(tags, tmp_path_factory.mktemp("preview") / "out")
