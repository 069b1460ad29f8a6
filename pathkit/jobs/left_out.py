"""Operations that a recipient leaves out, because no bit of theirs does them."""

from __future__ import annotations

from collections.abc import Sequence

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs.reading import JobFile

Place = tuple[int, int]
"""Which part, and which of its operations."""


def left_out(file: JobFile, wanted: Sequence[str]) -> frozenset[Place]:
    """The operations that ``wanted`` names: by their name, with the part's name before it where several parts have one.

    Raises `InputError` for a name that fits none or several, for a cut that frees a part, and where nothing of a
    part is left.
    """
    every = {(p, k): op for p, part in enumerate(file.form.part) for k, op in enumerate(part.operations)}
    full = {place: f"{file.form.part[place[0]].name} {op.title}" for place, op in every.items()}
    chosen: set[Place] = set()
    found: list[Finding] = []
    for name in wanted:
        fitting = [place for place, op in every.items() if name in (op.title, full[place])]
        if len(fitting) != 1:
            may = [full[place] for place in fitting or every if not every[place].frees]
            what = f"--without {name!r} fits {'several operations' if fitting else 'no operation'} of the job"
            found.append(Finding(check="left out", what=what, fix=f"one of: {', '.join(map(repr, may))}"))
        elif every[fitting[0]].frees:
            what = f"--without {name!r} would leave the part in the board: it is the cut that frees it"
            found.append(Finding(check="left out", what=what, fix="take a bit that can cut it"))
        else:
            chosen.add(fitting[0])
    if found:
        raise InputError(found)
    for p, part in enumerate(file.form.part):
        if all((p, k) in chosen for k in range(len(part.operations))):
            raise InputError(f"--without leaves nothing to cut of the part {part.name!r}; leave out fewer operations")
    return frozenset(chosen)


def notes(file: JobFile, places: frozenset[Place]) -> tuple[Finding, ...]:
    """A warning for each operation that is left out, to whoever cuts and whoever gets the part."""
    return tuple(
        file.finding(
            ("part", p, "operations", k),
            f"the operation {file.form.part[p].operations[k].title!r} of {file.form.part[p].name!r} is left out, as was"
            " asked: the part is not finished when the file ends",
            "do by other means what it would have cut",
            severity="warning",
        )
        for p, k in sorted(places)
    )
