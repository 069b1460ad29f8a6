"""Many builds at once: the same bytes on every executor, failures apart, and a second run that skips what is done."""

from __future__ import annotations

import multiprocessing
import pickle
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import pathkit as pk
from pathkit.handover import finished, many
from pathkit.handover.atomic_write import MANIFEST, about, listed_in
from pathkit.handover.build import build_orders
from pathkit.handover.kept import INDEX
from pathkit.handover.many import batches, build_batch, build_many, orders_from
from pathkit.jobs.demo import demo_machines, demo_orders, demo_passes
from pathkit.jobs.order import Order
from pathkit.jobs.planning import orders_of
from pathkit.jobs.reading import job_file_of
from pathkit.machine.profile import Machine
from pathkit.model.job import Job
from tests.handover.folders import tree
from tests.handover.variants import deadly_in, six_routers


@pytest.fixture(scope="module")
def job(one_plate: Job) -> Job:
    return one_plate


@pytest.fixture(scope="module")
def machines() -> list[Machine]:
    return six_routers()


@pytest.fixture
def deadly(tmp_path: Path) -> Iterator[Any]:
    with deadly_in(tmp_path) as found:
        yield found


@contextmanager
def processes() -> Iterator[Executor]:
    with ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn")) as pool:
        yield pool


@pytest.fixture(scope="module")
def serial(job: Job, machines: list[Machine], tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("many") / "out"
    done = list(build_many(job, machines, out, passes=demo_passes()))
    assert [v.status for v in done] == ["built"] * len(machines), [v.findings for v in done]
    assert sorted(v.place for v in done) == list(range(len(machines)))
    return out


@pytest.mark.parametrize("kind", ["threads", "processes"])
def test_every_executor_gives_the_same_bytes(
    job: Job, machines: list[Machine], serial: Path, tmp_path: Path, kind: str
) -> None:
    pools: dict[str, Callable[[], Any]] = {"threads": lambda: ThreadPoolExecutor(2), "processes": processes}
    with pools[kind]() as executor:
        done = list(build_many(job, machines, tmp_path / "out", executor=executor, passes=demo_passes()))
        assert all(v.ok for v in done), [v.findings for v in done]
        assert tree(tmp_path / "out") == tree(serial)


def test_the_bytes_are_those_of_a_build_and_its_check_finds_nothing(
    job: Job, machines: list[Machine], serial: Path, tmp_path: Path
) -> None:
    from pathkit.handover.recheck import recheck
    from pathkit.handover.revision import revisions

    result = pk_build(job, machines, tmp_path / "out")
    assert result.ok
    here, there = tree(serial), tree(tmp_path / "out")
    assert {n: d for n, d in here.items() if n != MANIFEST} == {n: d for n, d in there.items() if n != MANIFEST}
    assert listed_in(serial) == listed_in(tmp_path / "out")
    assert about(serial)["rows"] == about(tmp_path / "out")["rows"]
    assert revisions(serial) == ()
    assert all(each.proof.ok for each in recheck(serial))


def pk_build(job: Job, machines: list[Machine], out: Path) -> Any:
    from pathkit.handover.build import build

    return build(job, machines, out, passes=demo_passes())


def test_a_second_run_skips_what_is_finished(
    job: Job, machines: list[Machine], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    few = machines[:2]
    first = list(build_many(job, few, out, passes=demo_passes()))
    before = tree(out)
    again = list(build_many(job, few, out, passes=demo_passes()))
    assert [v.status for v in again] == ["finished before"] * 2
    assert [v.digest for v in again] == [v.digest for v in sorted(first, key=lambda v: v.place)]
    assert tree(out) == before
    # Another setup, pass, machine or version of the code is another variant.
    assert statuses(job, [few[0], replace(few[1], heights=pk.Heights(12.0))], out) == ["finished before", "built"]
    other = build_many(job, few[:1], out, passes=demo_passes(), setups=pk.Setup(offset="G55"))
    assert [v.status for v in other] == ["built"]
    monkeypatch.setattr(finished, "own_code", lambda: "other")
    assert statuses(job, few[:1], out) == ["built"]
    assert statuses(job, few[:1], out) == ["finished before"]
    assert statuses(job, few[:1], out, restart=False) == ["built"]


def statuses(job: Any, machines: list[Machine], out: Path | str, **more: Any) -> list[str]:
    done = sorted(build_many(job, machines, out, passes=demo_passes(), **more), key=lambda v: v.place)
    return [v.status for v in done]


def test_what_is_lost_or_edited_is_not_finished(job: Job, machines: list[Machine], tmp_path: Path) -> None:
    out, few = tmp_path / "out", machines[:2]
    assert statuses(job, few, out) == ["built", "built"]
    whole = tree(out)
    cut = next(out.glob(f"{few[0].slug}/*.proof.json"))
    cut.unlink()
    assert statuses(job, few, out) == ["built", "finished before"]
    assert tree(out) == whole
    cut.write_bytes(cut.read_bytes() + b" ")
    with pytest.raises(pk.InputError, match="changed since"):
        statuses(job, few, out)
    assert statuses(job, few, out, force=True) == ["built", "finished before"]
    assert tree(out) == whole


def test_a_variant_that_fails_stops_no_other(job: Job, machines: list[Machine], tmp_path: Path) -> None:
    small = replace(machines[0], name="small", travel=pk.Travel(100, 100, 50))
    slow = replace(machines[1], name="slow", spindle=pk.SpindleControl(max=5000.0))
    unknown = replace(machines[1], name="unknown", dialect="esperanto")
    done = {v.machine: v for v in build_many(job, [small, slow, machines[2], unknown], tmp_path, passes=demo_passes())}
    assert {name: v.status for name, v in done.items()} == {
        "small": "failed", "slow": "failed", machines[2].name: "built", "unknown": "failed",
    }  # fmt: skip
    assert isinstance(done["small"].error, pk.Refused)
    assert done["slow"].findings[0].file == "slow"
    assert isinstance(done["unknown"].error, pk.UnknownName)
    assert {p.name for p in tmp_path.iterdir()} == {machines[2].slug, INDEX, MANIFEST}
    assert pickle.loads(pickle.dumps(done)).keys() == done.keys()
    assert done["slow"].as_dict()["ok"] is False


def test_an_unproved_file_is_not_written(
    job: Job, machines: list[Machine], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from pathkit import api

    verify = api.verify_files

    def failing(posted: Any, program: Any, machine: Machine, **more: Any) -> Any:
        proofs = verify(posted, program, machine, **more)
        if machine.name != machines[0].name:
            return proofs
        fault = pk.Finding(check="made up", what="a fault")
        return tuple(replace(p, checks=(replace(p.checks[0], findings=(fault,)), *p.checks[1:])) for p in proofs)

    monkeypatch.setattr(api, "verify_files", failing)
    bad, good = build_many(job, machines[:2], tmp_path / "out", passes=demo_passes())
    assert (bad.status, good.status) == ("failed", "built")
    assert [f.what for f in bad.findings] == ["a fault"]
    assert not (tmp_path / "out" / machines[0].slug).exists()


def test_a_killed_worker_loses_nothing_and_the_next_run_completes_it(
    job: Job, machines: list[Machine], tmp_path: Path, deadly: Any
) -> None:
    out = tmp_path / "out"
    steps = (*demo_passes(), deadly(str(tmp_path / "flag"), str(out / machines[1].slug)))
    few = machines[:3]
    with processes() as pool:
        first = {v.machine: v for v in build_many(job, few, out, passes=steps, executor=pool)}
    dead = first[few[0].name]
    assert (tmp_path / "flag").exists()
    assert dead.status == "failed"
    assert "worker that built it died" in dead.findings[0].what
    kept = {v.folder for v in first.values() if v.ok}
    assert few[1].slug in kept
    assert {p.name for p in out.iterdir() if p.is_dir()} == kept
    second = {v.machine: v.status for v in build_many(job, few, out, passes=steps)}
    assert second[few[0].name] == "built"
    assert second[few[1].name] == "finished before"
    assert {p.name for p in out.iterdir() if p.is_dir()} == {m.slug for m in few}
    fresh = tmp_path / "fresh"
    list(build_many(job, few, fresh, passes=steps))
    assert tree(fresh) == tree(out)


def test_results_come_one_by_one_and_stopping_keeps_them(job: Job, machines: list[Machine], tmp_path: Path) -> None:
    out = tmp_path / "out"
    results = build_many(job, machines[:3], out, passes=demo_passes())
    assert not out.exists(), "nothing happens before the first is asked for"
    first = next(results)
    assert (out / first.folder / first.result.cut_file).is_file()  # type: ignore[union-attr]
    with pytest.raises(pk.InputError, match="another build"):
        next(build_many(job, machines[:1], out))
    results.close()  # type: ignore[attr-defined]
    assert {p.name for p in out.iterdir()} == {first.folder, INDEX, MANIFEST}
    told: list[tuple[int, int, str]] = []

    def stop(done: int, total: int, message: str) -> bool:
        told.append((done, total, message))
        return done < 2

    with pytest.raises(pk.Refused, match="2 of 3"):
        list(build_many(job, machines[:3], out, passes=demo_passes(), progress=stop))
    assert [(a, b) for a, b, _ in told] == [(1, 3), (2, 3)]
    assert len(listed_in(out)) == 1 + sum(len(f) for f in [list((out / m.slug).iterdir()) for m in machines[:2]])


def test_foreign_files_are_refused_and_kept(job: Job, machines: list[Machine], tmp_path: Path) -> None:
    (tmp_path / "thesis.txt").write_text("precious")
    with pytest.raises(pk.InputError, match="was not written by a build"):
        list(build_many(job, machines[:1], tmp_path))
    assert statuses(job, machines[:1], tmp_path, force=True) == ["built"]
    assert (tmp_path / "thesis.txt").read_text() == "precious"


def test_several_jobs_have_a_folder_each(job: Job, machines: list[Machine], tmp_path: Path) -> None:
    from pathkit.handover.revision import revisions

    other = replace(job, name="other plates")
    done = list(build_many([job, other], machines[:2], tmp_path / "out", passes=demo_passes()))
    assert [v.place for v in done] == [0, 1, 2, 3]
    assert [v.folder for v in done] == [
        f"{m.slug}/{s}" for s in ("cable-tidy-plates", "other-plates") for m in machines[:2]
    ]
    assert revisions(tmp_path / "out") == ()
    assert b"another revision" not in (tmp_path / "out" / INDEX).read_bytes()


def test_orders_of_a_job_file(tags: str, tmp_path: Path) -> None:
    orders = orders_of(job_file_of(tags, "tags.toml"), list(demo_machines()[:2]))
    for order in orders:
        assert pickle.loads(pickle.dumps(order)).folder == order.folder
    done = list(build_many(orders, (), tmp_path / "many"))
    assert all(v.ok for v in done), [v.findings for v in done]
    assert build_orders(orders, tmp_path / "one").ok
    one, all_ = tree(tmp_path / "one"), tree(tmp_path / "many")
    assert {n: d for n, d in one.items() if n != MANIFEST} == {n: d for n, d in all_.items() if n != MANIFEST}
    # An order is changed by its job file, of which its job is only a part.
    changed = orders_of(job_file_of(tags.replace("radius = 6", "radius = 5"), "tags.toml"), list(demo_machines()[:1]))
    assert [v.status for v in build_many(changed, (), tmp_path / "many")] == ["built"]
    assert b"another revision" in (tmp_path / "many" / INDEX).read_bytes()


def test_wrong_input_is_told_at_once(job: Job, machines: list[Machine], tmp_path: Path) -> None:
    def said(jobs: Any, of: Any, **more: Any) -> str:
        with pytest.raises(pk.InputError) as raised:
            build_many(jobs, of, tmp_path / "out", **more)
        return str(raised.value)

    assert "jobs holds 'plate'" in said(["plate"], machines)
    assert "no job to build" in said([], machines)
    assert "no machine to build for" in said(job, [])
    assert "which runs nothing (give a concurrent" in said(job, machines, executor="processes")
    assert "two variants have the folder" in said(job, [*machines, machines[0]])
    assert "two variants have the folder" in said([job, job], machines)
    order = Order(machines[0], pk.Setup(), job)
    assert "both jobs and orders" in said([job, order], [])
    assert "orders name their machines" in said([order], machines)
    assert "lies in that of another" in said([order, replace(order, place="last-board")], [])
    assert not (tmp_path / "out").exists()


def test_batches_hold_variants_of_one_program(job: Job, machines: list[Machine]) -> None:
    orders = orders_from([job, replace(job, name="b")], machines, demo_passes(), None)
    made = batches([(k, order, ()) for k, order in enumerate(orders)], 2)
    assert sorted(k for batch in made for k, _, _ in batch) == list(range(len(orders)))
    assert all(len({order.job.name for _, order, _ in batch}) == 1 for batch in made)
    assert max(map(len, made)) == 2
    assert len(made) == len(orders) // 2


@pytest.mark.parametrize(
    ("variants", "workers", "most"),
    [(6, 2, 8), (256, 2, 32), (256, 8, 16), (256, 64, 8), (256, None, 8), (4096, 2, 32)],
)
def test_every_worker_has_batches_and_a_program_few_workers(variants: int, workers: int | None, most: int) -> None:
    assert many._batch_size(variants, workers) == most


def test_executors_say_how_many_batches_they_work_on() -> None:
    with ThreadPoolExecutor(3) as pool:
        workers = many._workers_of(pool)
    assert workers is not None
    assert workers.at_once == 3
    assert many._workers_of(None) is None


def test_what_goes_to_a_worker_and_comes_back_can_be_pickled(job: Job, machines: list[Machine]) -> None:
    order = replace(demo_orders()[0])
    assert isinstance(pickle.loads(pickle.dumps(order)), Order)
    (small,) = orders_from(job, machines[:1], demo_passes(), None)
    ((_, folder),) = build_batch(pickle.loads(pickle.dumps([(0, small, ())])))
    back = pickle.loads(pickle.dumps(folder))
    assert back.files == folder.files  # type: ignore[union-attr]
    assert back.as_dict() == folder.as_dict()  # type: ignore[union-attr]


def test_threads_make_a_shared_program_once(
    job: Job, machines: list[Machine], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from pathkit.handover import lowered

    made: list[str] = []
    real, guard = lowered.lowered, threading.Lock()

    def counted(order: Order, tell: Any = None) -> Any:
        with guard:
            made.append(order.machine.name)
        return real(order)

    monkeypatch.setattr(lowered, "lowered", counted)
    monkeypatch.setattr(many, "_SHARED", lowered.Shared())
    monkeypatch.setattr(many, "BATCH", 2)
    with ThreadPoolExecutor(2) as pool:
        assert all(v.ok for v in build_many(job, machines, tmp_path / "out", passes=demo_passes(), executor=pool))
    assert len(made) == 1
