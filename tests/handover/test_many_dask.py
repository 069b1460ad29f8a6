"""Many builds at once on a cluster of dask: the same bytes, and a worker that is killed loses nothing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from pathkit.handover.many import build_many
from pathkit.jobs.demo import demo_passes
from pathkit.model.job import Job
from tests.handover.folders import tree
from tests.handover.variants import deadly_in, six_routers

pytestmark = pytest.mark.filterwarnings("default")  # the scheduler of dask warns of its own affairs


@pytest.fixture(scope="module")
def deadly(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with deadly_in(tmp_path_factory.mktemp("deadly")) as found:
        yield found


@pytest.fixture(scope="module")
def cluster(deadly: Any) -> Iterator[Any]:
    """The client of two workers, which find the deadly pass."""
    distributed = pytest.importorskip("distributed")
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as workers,
        distributed.Client(workers) as client,
    ):
        yield client


def test_dask_gives_the_same_bytes(one_plate: Job, cluster: Any, tmp_path: Path) -> None:
    machines = six_routers()
    done = list(build_many(one_plate, machines, tmp_path / "dask", executor=cluster, passes=demo_passes()))
    assert all(v.ok for v in done), [v.findings for v in done]
    list(build_many(one_plate, machines, tmp_path / "here", passes=demo_passes()))
    assert tree(tmp_path / "dask") == tree(tmp_path / "here")


def test_a_killed_worker_is_tried_again(one_plate: Job, cluster: Any, tmp_path: Path, deadly: Any) -> None:
    steps = (*demo_passes(), deadly(str(tmp_path / "flag")))
    done = list(build_many(one_plate, six_routers()[:2], tmp_path / "out", passes=steps, executor=cluster))
    assert (tmp_path / "flag").exists()
    assert all(v.ok for v in done), [v.findings for v in done]
