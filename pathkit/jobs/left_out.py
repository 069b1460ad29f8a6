"""Operations that a recipient leaves out because they have no bit for them."""

from __future__ import annotations

from collections.abc import Sequence

from pathkit.errors import InputError
from pathkit.findings import Finding
from pathkit.jobs.reading import JobFile

Place = tuple[int, int]
"""Index of the part, and index of the operation in it."""


def left_out(file: JobFile, wanted: Sequence[str]) -> frozenset[Place]:
    """The operations that ``wanted`` names: by name, with the part's name first if several parts have one of that name.

    Raises `InputError` for a name that fits no operation or several, for a cut that frees a part, and for a part of
    which no operation would be left.
    """
    every = {(p, k): op for p, part in enumerate(file.form.part) for k, op in enumerate(part.operations)}
    full = {place: f"{file.form.part[place[0]].name} {op.title}" for place, op in every.items()}
    chosen: set[Place] = set()
    found: list[Finding] = []
    for name in wanted:
        fitting = [place for place, op in every.items() if name in (op.title, full[place])]
        if len(fitting) != 1:
            may = [full[place] for place in fitting or every if not every[place].frees]
            what = f"--without {name!r} fits several operations of the job"
            what = what if fitting else f"--without {name!r} fits no operation of the job"
            found.append(Finding(check="left out", what=what, fix=f"one of: {', '.join(map(repr, may))}"))
        elif every[fitting[0]].frees:
            what = f"--without {name!r} would leave the part in the board: this operation cuts it free"
            found.append(Finding(check="left out", what=what, fix="use a bit that can cut it"))
        else:
            chosen.add(fitting[0])
    if found:
        raise InputError(found)
    for p, part in enumerate(file.form.part):
        if all((p, k) in chosen for k in range(len(part.operations))):
            raise InputError(f"--without leaves nothing to cut in the part {part.name!r}; leave out fewer operations")
    return frozenset(chosen)


def notes(file: JobFile, places: frozenset[Place]) -> tuple[Finding, ...]:
    """A warning for each operation that is left out, for the operator and for whoever gets the part."""
    return tuple(
        file.finding(
            ("part", p, "operations", k),
            f"the operation {file.form.part[p].operations[k].title!r} of {file.form.part[p].name!r} is left out, as"
            " asked: the part is not finished when the file ends",
            "make this cut by other means",
            severity="warning",
        )
        for p, k in sorted(places)
    )
