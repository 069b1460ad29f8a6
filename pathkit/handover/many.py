"""Many builds at once, on any executor: each variant is one job on one machine, and stands for itself.

Variants are built in batches of those that share a program (`pathkit.handover.lowered`); a batch is one task, and each
result is put in place by this process alone, as soon as it comes. So a worker that is killed loses only what it was at
work on. `pathkit.handover.finished` says what a later run may skip.
"""

from __future__ import annotations

import functools
import traceback
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Literal, NamedTuple, TypeAlias

from pathkit.door import expect
from pathkit.errors import InputError, PathkitError, Refused
from pathkit.findings import Finding
from pathkit.handover.build import Setups, prepared, setups_of, with_sheet
from pathkit.handover.finished import digest_of
from pathkit.handover.lowered import Shared, key_of
from pathkit.handover.pages.render import index_of
from pathkit.handover.result import Folder
from pathkit.handover.targets import Index, Target, target_of
from pathkit.jobs.mark import mark_of_jobs
from pathkit.jobs.order import Order
from pathkit.jobs.sources import boards_of
from pathkit.machine.limits import board_fits
from pathkit.machine.profile import Machine, slug
from pathkit.model.job import Job

if TYPE_CHECKING:
    from pathkit.passes.base import Pass

Status = Literal["built", "finished before", "failed"]
Progress = Callable[[int, int, str], bool]

BATCH: Final = 8
"""The most variants in one task: enough to share work, few enough to lose little with a worker."""

LARGEST: Final = 32
"""The same where more variants wait for each worker: then one of them makes and judges a program, and not each."""

_Task: TypeAlias = "list[tuple[int, Order, tuple[tuple[int, ...], ...]]]"
_Made: TypeAlias = "list[tuple[int, Folder | Exception]]"


@dataclass(frozen=True)
class Variant:
    """What came of one variant. ``place`` is its place in the input, from 0; ``folder`` its folder within ``out``.

    ``status`` is ``built``, ``finished before`` (an earlier run made the same files, and they are still whole), or
    ``failed``: then ``error`` says why, and none of its files was written. ``result`` holds the files and the proof of
    what this run built, also if the proof failed.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     done = list(pk.build_many(job, [machine], folder + "/out"))
    >>> done[0].ok, done[0].status
    (True, 'built')
    """

    place: int
    machine: str
    job: str
    folder: str
    status: Status
    digest: str
    result: Folder | None = None
    error: Exception | None = None

    @property
    def ok(self) -> bool:
        """Whether its files are proved and in place."""
        return self.status != "failed"

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Why it failed."""
        if isinstance(self.error, PathkitError):
            return self.error.findings
        if self.error is None:
            return ()
        return (Finding(check="build", what=f"{type(self.error).__name__}: {self.error}", file=self.folder),)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        told = {} if self.result is None else self.result.as_dict()
        return {
            **told,
            "place": self.place,
            "machine": self.machine,
            "job": self.job,
            "folder": self.folder,
            "status": self.status,
            "ok": self.ok,
            "digest": self.digest,
            "findings": [finding.as_dict() for finding in self.findings],
        }


def build_many(  # noqa: PLR0913 - each is its own choice
    jobs: Iterable[Job | Order] | Job | Order,
    machines: Sequence[Machine],
    out: str | Path,
    *,
    executor: Any = None,
    passes: Sequence[Pass] = (),
    setups: Setups = None,
    force: bool = False,
    restart: bool = True,
    progress: Progress | None = None,
    index: Index | None = None,
    once: bool = False,
) -> Iterator[Variant]:
    """Build every job for every machine, prove it, put it into its folder of ``out``, and yield it as soon as it is.

    ``jobs`` are jobs given as toolpaths, each built for each of ``machines`` with ``passes`` and ``setups`` (as for
    `build`); or orders of a job file, which name their machines (``machines`` is then empty). A variant's folder is
    that of its machine; if there are several jobs, one for each job in it. The order of results is that in which they
    come; `Variant.place` is the place in the input (for jobs: all machines of the first, then of the next).

    ``executor`` is any `concurrent.futures.Executor`, or a client of ``dask.distributed``; None builds here, one after
    the other. It is not shut down. All of them give the same bytes.

    A variant that fails is yielded with its error and stops no other. If a worker dies, the variants that it was at
    work on fail with it (an executor may try them again by itself), and on a broken pool so do all that are left;
    what is finished stays. A second run skips what is finished, by a digest of job, machine, setup, passes and code,
    and by the digests of the files themselves, unless ``restart`` is False. A file that was changed since is foreign:
    the run is refused, or with ``force`` builds it anew.

    ``out`` is a folder, or a URL of a kind that ``fsspec`` knows (see `pathkit.handover.remote` for how files get
    there). Each variant is put in place whole or not at all. ``progress(done, total, message)`` is called after each
    variant; returning False stops. ``index`` makes the page ``index.html``, a table of all unless given. ``once``: in a
    folder of this computer the files of equal cuts are stored once (`pathkit.handover.stored_once`).

    Nothing happens before the first result is asked for; closing the iterator stops early, and keeps what is finished.

    Raises `InputError` for variants that cannot be told apart, for an ``executor`` that is none, for foreign files, for
    another build at work in ``out``, and for a URL that cannot be used; `Refused` if ``progress`` returned False;
    `OutputError` if ``out`` cannot be written.

    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     done = list(pk.build_many(job, [machine], folder + "/out"))
    >>> [variant.machine for variant in done]
    ['grbl-front-left']
    """
    workers = _workers_of(executor)
    orders = orders_from(jobs, machines, passes, setups)
    return _run(orders, out, workers, force=force, restart=restart, progress=progress, index=index, once=once)


def orders_from(
    jobs: Iterable[Job | Order] | Job | Order, machines: Sequence[Machine], passes: Sequence[Pass], setups: Setups
) -> tuple[Order, ...]:  # fmt: skip
    """One order for each variant. Raises `InputError` for what `build_many` refuses."""
    expect("build_many", jobs=(jobs, Job, Order, Iterable), machines=(machines, Sequence))
    expect("build_many", **{f"machines[{k}]": (machine, Machine) for k, machine in enumerate(machines)})
    given = [jobs] if isinstance(jobs, (Job, Order)) else list(jobs)
    wrong = [each for each in given if not isinstance(each, (Job, Order))]
    if wrong:
        raise InputError(f"jobs holds {wrong[0]!r}; give pathkit.Job values, or the orders of a job file")
    plain = [each for each in given if isinstance(each, Job)]
    orders = [each for each in given if isinstance(each, Order)]
    if plain and orders:
        raise InputError("jobs holds both jobs and orders; build them one after the other, into two folders")
    if orders and machines:
        raise InputError("orders name their machines; give an empty list of machines with them")
    if not given:
        raise InputError("no job to build; give at least one")
    if plain:
        chosen = setups_of(machines, setups)
        for each in plain:
            mark = mark_of_jobs([each])
            place = slug(each.name) if len(plain) > 1 else ""
            orders += [
                Order(machine, chosen[machine.name], each, tuple(passes), place, mark=mark) for machine in machines
            ]
    _refuse_alike(orders)
    return tuple(order if order.mark else replace(order, mark=mark_of_jobs([order.job])) for order in orders)


def _refuse_alike(orders: Sequence[Order]) -> None:
    seen: dict[str, Order] = {}
    found: list[Finding] = []
    for order in orders:
        other = seen.setdefault(order.folder, order)
        if other is not order:
            what = (
                f"two variants have the folder {order.folder!r}: {other.job.name!r} for {other.machine.name!r},"
                f" {order.job.name!r} for {order.machine.name!r}"
            )
            found.append(Finding(check="build", what=what, fix="give each machine, and each job, its own name"))
    # A folder inside another one could not be told from its files.
    found += [
        Finding(check="build", what=f"the folder {name!r} lies in that of another variant", fix="build them apart")
        for name in seen
        if name.rpartition("/")[0] in seen
    ]
    if found:
        raise InputError(found)


def _run(
    orders: tuple[Order, ...], out: str | Path, workers: _Workers | None, *, force: bool,
    restart: bool, progress: Progress | None, index: Index | None, once: bool,
) -> Iterator[Variant]:  # fmt: skip
    boards = [boards_of(orders, order) for order in orders]
    digests = {o.folder: digest_of(o, b) for o, b in zip(orders, boards, strict=True)}
    done = 0

    def told(variant: Variant) -> Variant:
        nonlocal done
        done += 1
        message = f"{variant.folder}: {variant.status}"
        if progress is not None and progress(done, len(orders), message) is False:
            raise Refused(f"stopped; {done} of {len(orders)} variants are done, and a second run skips those finished")
        return variant

    marks = {order.mark for order in orders}
    title = min((order.job.name for order in orders), key=len)
    index = index or functools.partial(index_of, say=orders[0].language)
    mark = marks.pop() if len(marks) == 1 else ""
    with target_of(out, force=force, mark=mark, title=title, index=index, once=once) as target:
        skipped = target.finished(digests) if restart else frozenset()
        left: _Task = []
        for place, order in enumerate(orders):
            if order.folder in skipped:
                yield told(_variant(place, order, digests, "finished before"))
            else:
                left.append((place, order, boards[place]))
        for place, made in _results(left, workers):
            yield told(_put(target, place, orders[place], made, digests))


def _variant(place: int, order: Order, digests: dict[str, str], status: Status, **more: Any) -> Variant:
    return Variant(place, order.machine.name, order.job.name, order.folder, status, digests[order.folder], **more)


def _put(target: Target, place: int, order: Order, made: Folder | Exception, digests: dict[str, str]) -> Variant:
    """The result in its place, if it is proved. Raises `OutputError` if the target cannot be written."""
    if isinstance(made, Exception):
        return _variant(place, order, digests, "failed", error=_placed(order, made))
    # The order has been through another process: this is the same one, and costs no memory a second time.
    folder = replace(made, order=order)
    if not folder.ok:
        found = [f.at(file=order.folder) for f in (*folder.proof.findings, *folder.twin_proof.findings)]
        unproved = Refused(f for f in order.placed(found) if f.severity == "error")
        return _variant(place, order, digests, "failed", error=unproved, result=folder)
    try:
        target.put(folder, digests[order.folder])
    except InputError as error:
        return _variant(place, order, digests, "failed", error=error, result=folder)
    return _variant(place, order, digests, "built", result=folder)


def _placed(order: Order, error: Exception) -> Exception:
    """The error with the variant that it belongs to, and its place in the job file."""
    if isinstance(error, PathkitError):
        return type(error)(order.placed(finding.at(file=order.folder) for finding in error.findings))
    if isinstance(error, BrokenExecutor) or type(error).__name__ == "KilledWorker":
        what = "the worker that built it died, and nothing of it was written"
        fix = "run the build again: it skips what is finished"
        return WorkerDied([Finding(check="build", what=what, fix=fix, file=order.folder)])
    return error


class WorkerDied(PathkitError):
    """The process that built a variant ended: killed, or out of memory."""


def _results(left: _Task, workers: _Workers | None) -> Iterator[tuple[int, Folder | Exception]]:
    if workers is None:
        shared = Shared()
        for batch in batches(left, 1):
            yield from build_batch(batch, shared)
        return
    running: dict[Future[_Made], _Task] = {}
    try:
        for batch in batches(left, _batch_size(len(left), workers.at_once)):
            try:
                running[workers.submit(batch)] = batch
            except (BrokenExecutor, RuntimeError) as error:
                yield from ((place, error) for place, _, _ in batch)
        while running:
            for future in wait(running, return_when=FIRST_COMPLETED).done:
                batch = running.pop(future)
                # No error of one batch may stop the others, whatever it is; so it becomes the result of each variant.
                broken = future.exception()
                if broken is None:
                    yield from future.result()
                elif isinstance(broken, Exception):
                    yield from ((place, broken) for place, _, _ in batch)
                else:
                    raise broken
    finally:
        for future in running:
            future.cancel()


def _batch_size(variants: int, workers: int | None) -> int:
    """The most variants in one task, so that each of the workers (None: nobody knows how many) has two or more."""
    return BATCH if workers is None else min(max(BATCH, variants // (2 * workers)), LARGEST)


def batches(left: _Task, most: int = BATCH) -> list[_Task]:
    """Variants that share a program together, those of one job next to each other, at most ``most`` in one."""
    groups: dict[tuple[str, Hashable], _Task] = {}
    for each in left:
        order = each[1]
        groups.setdefault((order.job.digest, key_of(order)), []).append(each)
    return [group[at : at + most] for group in groups.values() for at in range(0, len(group), most)]


def build_batch(batch: _Task, shared: Shared | None = None) -> _Made:
    """Build the variants of one batch, in this process. Each gives its place, and its folder or its error.

    All of a batch have one program: what depends on the program alone is worked out once, here.
    """
    make = _SHARED if shared is None else shared
    made: _Made = []
    for place, order, boards in batch:
        try:
            if unfit := board_fits(order.job.stock, order.machine, order.setup):
                raise Refused(unfit)
            made.append((place, with_sheet(prepared(order, boards, make=make, judged=make.judged))))
        except PathkitError as error:
            made.append((place, error))
        except Exception as error:
            # An error of any class may not survive the way to another process; its words do.
            told = "".join(traceback.format_exception(error))
            made.append((place, RuntimeError(f"{type(error).__name__}: {error}\n{told}")))
    return made


_SHARED: Final = Shared()
"""Programs that this process has made: a worker's next batch of the same group need not make its program again."""


class _Workers(NamedTuple):
    """What builds batches elsewhere, and how many of them at a time (None: nobody knows)."""

    submit: Callable[[_Task], Future[_Made]]
    at_once: int | None


def _workers_of(executor: Any) -> _Workers | None:
    if executor is None:
        return None
    at_once = getattr(executor, "_max_workers", None)
    if not isinstance(executor, Executor):
        # A client of dask.distributed gives an executor of this kind itself.
        get = getattr(executor, "get_executor", None)
        if get is None:
            what = f"executor is {type(executor).__name__} {executor!r:.60}, which runs nothing"
            fix = "give a concurrent.futures.Executor, a dask.distributed.Client, or None to build here"
            raise InputError([Finding(check="build", what=what, fix=fix)])
        at_once = sum(executor.nthreads().values()) if hasattr(executor, "nthreads") else None
        executor = get()
    return _Workers(lambda batch: executor.submit(build_batch, batch), at_once)
