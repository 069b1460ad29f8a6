"""Feeds held to what a machine's axes can do."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from pathkit.machine.orientation import orientation
from pathkit.machine.profile import Machine
from pathkit.model.job import Job, Setup
from pathkit.model.span_feeds import gathered
from pathkit.model.toolpath import Toolpath
from pathkit.tolerances import SAME_PLACE


def capped(job: Job, machine: Machine, setup: Setup | None = None) -> tuple[Job, int]:
    """The job with no feed beyond the limits of the machine's axes, and how many of its toolpaths that slowed.

    An arc may point along any axis in the plane, so the slower of the two holds for it and for plans.
    """
    linear = np.abs(orientation(machine, job.stock, setup).linear)
    # Limits belong to the controller's axes; each bench axis is one of them.
    limit = np.asarray(machine.motion.feed_limit, float) @ linear
    paths = [_within(path, limit) for path in job.toolpaths]
    slowed = sum(one is not other for one, other in zip(paths, job.toolpaths, strict=True))
    return (job.with_toolpaths(paths), slowed) if slowed else (job, 0)


def _within(path: Toolpath, limit: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Toolpath:
    cutting, along, down = path.cutting, float(limit[:2].min()), float(limit[2])
    plunge = min(cutting.plunge, down, along)
    feed = min(cutting.feed, along)
    if not path.curve.is_trace or not path.feeds:
        same = plunge == cutting.plunge and feed == cutting.feed
        return path if same else replace(path, cutting=replace(cutting, feed=feed, plunge=plunge))
    spans = path.curve.spans
    step = spans.end - spans.start
    share = np.abs(step) / spans.length[:, None]
    arcs = spans.sweep != 0.0
    # Round an arc each axis in the plane may be reached in full.
    share[arcs, :2] = np.sqrt(1.0 - share[arcs, 2] ** 2)[:, None]
    # Straight up nothing is cut: the axis does what it can.
    share[(step[:, 2] > 0.0) & ~arcs & (np.hypot(step[:, 0], step[:, 1]) <= SAME_PLACE)] = 0.0
    with np.errstate(divide="ignore"):
        most = (limit / share).min(axis=1)
    asked = path.feed_of_spans
    held = np.minimum(asked, np.floor(most))
    if plunge == cutting.plunge and bool((held == asked).all()):
        return path
    fastest = float(held.max())
    cutting = replace(cutting, feed=fastest, plunge=min(plunge, fastest))
    return replace(path, cutting=cutting, feeds=gathered(held))
