"""Reading published instances: TSPLIB's `.tsp` and `.sop`, generalised `.gtsp`, and `.pcglns` with precedence.

Formats: G. Reinelt, TSPLIB, ORSA J. Computing 3(4), 1991; the set sections follow the GTSP libraries built on it and
PCGTSPLIB (Salman, Ekstedt, Damaschke 2020). A `.sop` is an order from the first node to the last; -1 in row i and
column j means that j comes before i. In a `.pcglns` a negative cost forbids the arc.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pathkit.errors import InputError
from pathkit.files import read_bytes
from pathkit.tour.metric import Kind, Metric
from pathkit.tour.problem import Problem

WEIGHTS: dict[str, Kind] = {"EUC_2D": "rounded", "CEIL_2D": "ceil"}
LARGEST = 200_000
LARGEST_TABLE = 6_000

Sections = dict[str, list[str]]


def read(path: Path) -> Problem:
    """The problem in a file; InputError names what is missing or unknown."""
    text = read_bytes(path).decode("ascii", errors="replace")
    head, sections = _split(text)
    if "DIMENSION" not in head:
        raise InputError(f"{path} is not an instance: no DIMENSION line; give a .tsp, .sop, .gtsp or .pcglns file")
    n = _whole(head["DIMENSION"], path, "DIMENSION")
    if not 1 <= n <= LARGEST:
        raise InputError(f"{path}: DIMENSION is {n}; 1 to {LARGEST} can be read")
    kind = head.get("TYPE", "TSP").split()[0].upper()
    name = head.get("NAME", path.stem)
    if kind == "TSP":
        return _plane(path, head, sections, n, name, None)
    if kind == "SOP":
        return _ordering(path, sections, n, name)
    if kind == "GTSP":
        return _plane(path, head, sections, n, name, _groups(path, sections, n))
    if kind == "PCGLNS":
        return _grouped(path, sections, n, name)
    raise InputError(f"{path}: TYPE {kind} is not known; TSP, SOP, GTSP and PCGLNS are")


def _split(text: str) -> tuple[dict[str, str], Sections]:
    """Header lines as a mapping, and each section's words."""
    head: dict[str, str] = {}
    sections: Sections = {}
    current: list[str] | None = None
    for line in text.splitlines():
        words = line.split()
        if not words:
            continue
        if words[0] == "EOF":
            break
        label, colon, value = line.partition(":")
        if colon and label.strip().replace("_", "").isalpha():
            head[label.strip().upper()] = value.strip()
            current = None
        elif words[0][0].isalpha():
            current = sections.setdefault(words[0].upper(), [])
            current.extend(words[1:])
        elif current is not None:
            current.extend(words)
    return head, sections


def _plane(
    path: Path, head: dict[str, str], sections: Sections, n: int, name: str, groups: list[list[int]] | None
) -> Problem:
    weight = head.get("EDGE_WEIGHT_TYPE", "")
    if weight == "EXPLICIT":
        form = head.get("EDGE_WEIGHT_FORMAT", "")
        if not form:
            raise InputError(f"{path}: EDGE_WEIGHT_FORMAT is missing; FULL_MATRIX can be read")
        if form != "FULL_MATRIX":
            raise InputError(f"{path}: EDGE_WEIGHT_FORMAT {form} is not known; FULL_MATRIX is")
        return Problem.from_matrix(_table(path, sections, n), items=groups, closed=True, name=name)
    if not weight:
        raise InputError(f"{path}: EDGE_WEIGHT_TYPE is missing; EUC_2D and CEIL_2D can be read")
    if weight not in WEIGHTS:
        raise InputError(f"{path}: EDGE_WEIGHT_TYPE {weight} is not known; EUC_2D and CEIL_2D are")
    rows = _numbers(path, sections, "NODE_COORD_SECTION", 3 * n).reshape(n, 3)
    if not np.array_equal(rows[:, 0], np.arange(1, n + 1)):
        raise InputError(f"{path}: nodes must be numbered 1 to {n} in turn")
    points = rows[:, 1:]
    metric = Metric(WEIGHTS[weight])
    if groups is None:
        return Problem.from_points(points, closed=True, metric=metric, name=name)
    row = np.array([node for own in groups for node in own])
    sizes = [len(own) for own in groups]
    zeros = np.zeros(len(sizes), dtype=np.int32)
    return Problem(
        offset=np.concatenate([[0], np.cumsum(sizes)]).astype(np.int32),
        given=np.array(sizes, dtype=np.int32),
        entry=points[row],
        exit=points[row],
        matrix=None,
        metric=metric,
        precedence=np.zeros((0, 2), dtype=np.int32),
        stage=zeros,
        group=zeros,
        switch_cost=0.0,
        start=None,
        end=None,
        closed=True,
        first=None,
        name=name,
    )


def _ordering(path: Path, sections: Sections, n: int, name: str) -> Problem:
    words = sections.get("EDGE_WEIGHT_SECTION", [])
    if len(words) == n * n + 1:  # the section repeats the dimension
        sections = {**sections, "EDGE_WEIGHT_SECTION": words[1:]}
    costs = _numbers(path, sections, "EDGE_WEIGHT_SECTION", n * n).reshape(n, n)
    late, early = np.nonzero(costs == -1)
    keep = late != early
    costs = np.where(costs < 0, np.inf, costs)
    np.fill_diagonal(costs, 0.0)
    pairs = np.column_stack([early[keep], late[keep]])
    return Problem.from_matrix(costs, first=0, precedence=map(tuple, pairs.tolist()), name=name)


def _grouped(path: Path, sections: Sections, n: int, name: str) -> Problem:
    groups = _groups(path, sections, n)
    pairs = []
    for own in _lists(path, sections, "GTSP_SET_ORDERING"):
        pairs += [(own[0] - 1, later - 1) for later in own[1:]]
    first = _numbers(path, sections, "START_GROUP_SECTION", 1)[0] if "START_GROUP_SECTION" in sections else 1
    return Problem.from_matrix(
        _table(path, sections, n), items=groups, first=int(first) - 1, closed=True, precedence=pairs, name=name
    )


def _table(path: Path, sections: Sections, n: int) -> NDArray[np.float64]:
    if n > LARGEST_TABLE:
        raise InputError(f"{path}: a matrix of {n} rows is too large; {LARGEST_TABLE} can be read")
    costs = _numbers(path, sections, "EDGE_WEIGHT_SECTION", n * n).reshape(n, n)
    return np.where(costs < 0, np.inf, costs)


def _groups(path: Path, sections: Sections, n: int) -> list[list[int]]:
    """Rows of each group, from 0."""
    groups = []
    for number, own in enumerate(_lists(path, sections, "GTSP_SET_SECTION"), start=1):
        if own[0] != number or len(own) < 2:
            raise InputError(f"{path}: group {number} is missing, out of order or empty")
        groups.append([node - 1 for node in own[1:]])
    if sorted(node for own in groups for node in own) != list(range(n)):
        raise InputError(f"{path}: the groups must hold each of the {n} nodes exactly once")
    return groups


def _lists(path: Path, sections: Sections, name: str) -> Iterator[list[int]]:
    """Lists of whole numbers, each ended by -1."""
    own: list[int] = []
    for word in sections.get(name, []):
        value = _whole(word, path, name)
        if value == -1:
            if own:
                yield own
            own = []
        else:
            own.append(value)
    if own:
        raise InputError(f"{path}: the last list of {name} is not ended by -1")


def _numbers(path: Path, sections: Sections, name: str, count: int) -> NDArray[np.float64]:
    words = sections.get(name, [])
    if len(words) < count:
        raise InputError(f"{path}: {name} holds {len(words)} numbers; {count} are needed")
    try:
        return np.array(words[:count], dtype=np.float64)
    except ValueError:
        return np.array([_number(word, path, name) for word in words[:count]])


def _number(word: str, path: Path, name: str) -> float:
    try:
        return float(word)
    except ValueError:
        raise InputError(f"{path}: {name}: {word!r} is not a number") from None


def _whole(word: str, path: Path, name: str) -> int:
    try:
        return int(_number(word, path, name))
    except (ValueError, OverflowError):
        raise InputError(f"{path}: {name}: {word!r} is not a number") from None
