"""Feeds of a trace, span by span: pairs of a span's number and the feed (mm/min) from that span on."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from pathkit.model.checking import Faults
from pathkit.model.curve import Curve

Feeds = tuple[tuple[int, float], ...]


def checked(feeds: Iterable[tuple[int, float]], curve: Curve, start: float, faults: Faults) -> Feeds:
    """The feeds as a tuple of pairs; every impossible one is added to ``faults``."""
    given = faults.sequence(feeds, "feeds")
    if not given:
        return ()
    if not curve.is_trace or len(curve.sweeps) == 0:
        faults.add("feeds span by span on what is no trace", "its cutting has the feed", "feeds")
        return ()
    if start:
        faults.add("a start on a trace with feeds of its own", "leave the start out", "start")
    if not all(isinstance(pair, tuple | list) and len(pair) == 2 for pair in given):
        faults.add("feeds are not pairs of a span and mm/min", "((0, 900.0), (12, 600.0)), say", "feeds")
        return ()
    spans = [span for span, _ in given]
    if any(not isinstance(span, int) or isinstance(span, bool) for span in spans) or not _counts_up(spans):
        faults.add("the spans of feeds do not count up from 0", "begin with span 0, then go on", "feeds")
    elif spans[-1] >= len(curve.sweeps):
        faults.add(f"feeds name span {spans[-1]} of {len(curve.sweeps)}", "count spans from 0", "feeds")
    right = [faults.number(feed, f"feeds[{index}]", above=0.0) for index, (_, feed) in enumerate(given)]
    return tuple((span, float(feed)) for span, feed in given) if all(right) else ()


def _counts_up(spans: list[int]) -> bool:
    return spans[0] == 0 and all(one < other for one, other in pairwise(spans))


def spread(feeds: Feeds, spans: int) -> NDArray[np.float64]:
    """(spans,) mm/min along each of so many spans."""
    first: NDArray[np.int64] = np.array([span for span, _ in feeds])
    feed = np.array([each for _, each in feeds])
    found: NDArray[np.float64] = np.repeat(feed, np.diff(first, append=spans))
    return found


def gathered(feed: ArrayLike) -> Feeds:
    """Pairs for feeds (m,) given span by span; equal neighbours become one pair."""
    every = np.asarray(feed, dtype=float)
    new = np.ones(len(every), bool)
    new[1:] = every[1:] != every[:-1]
    return tuple((span, float(every[span])) for span in np.flatnonzero(new).tolist())
