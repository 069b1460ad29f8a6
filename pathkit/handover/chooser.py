"""A hand-out: files for machines that nobody has seen, and one page on which a stranger finds the file for theirs.

The page asks for what can be seen on a machine, with pictures, and gives out the files of that choice alone. It has a
machine rehearsed before it names a cut file, and keeps nothing: whoever opens it again chooses again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pathkit.errors import InputError
from pathkit.handover.many import Progress, Variant, build_many
from pathkit.handover.pages.names import least_of
from pathkit.handover.pages.render import chooser_of
from pathkit.handover.rehearse import measured_sides
from pathkit.jobs.fit_piece import FITS
from pathkit.jobs.handout import Choice, Offered, Pieces, offered_by, pieces_of
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, Language
from pathkit.units import shown

if TYPE_CHECKING:
    from pathkit.jobs.reading import JobFile

_STEPS = ("corner", "directions", "dialect", "units", "board", "bit")


def build_handout(
    file: JobFile, out: str | Path, *, executor: Any = None, effort: float | None = None, seed: int | None = None,
    force: bool = False, progress: Progress | None = None, language: Language | None = None,
) -> Iterator[Variant]:  # fmt: skip
    """Build and prove the files of every choice that the [handout] of ``file`` offers, and the page to choose by.

    Variants are yielded as they are done, as by `build_many`, whose ``executor``, ``force`` and ``progress`` these are.
    What fails is not offered on the page, which says why. Its pages are in the job file's language unless ``language``
    is given.

    Raises `InputError` for a file without [handout] and for an ``out`` that is a URL, and what `build_many` raises.
    """
    if isinstance(out, str) and "://" in out:
        raise InputError(f"{out!r} is a URL; a hand-out is built in a folder, which can be put anywhere as a whole")
    offered = offered_by(file, effort=effort, seed=seed)
    pieces = pieces_of(file, offered, effort=effort, seed=seed)
    if language is not None:
        offered = tuple(
            replace(each, orders=tuple(replace(order, language=language) for order in each.orders)) for each in offered
        )
        pieces = tuple(
            replace(each, orders={c: replace(order, language=language) for c, order in each.orders.items()})
            for each in pieces
        )
    failed: dict[str, str] = {}

    def page(
        title: str, mark: str, rows: Sequence[Mapping[str, Any]], listed: Sequence[Mapping[str, Any]]
    ) -> bytes:  # fmt: skip
        data = page_data(file, offered, rows, [str(each["name"]) for each in listed], failed, pieces, say)
        one = orders[0]
        return chooser_of(title, mark, data, one.about, one.photos, say, beam=one.job.by_beam)

    orders = [order for each in offered for order in each.orders]
    say = orders[0].language
    tests = {order.folder: order for each in pieces for order in each.orders.values()}
    orders += tests.values()
    for variant in build_many(
        orders, (), out, executor=executor, force=force, progress=progress, index=page, once=True
    ):
        if not variant.ok:
            found = variant.findings
            failed[variant.folder] = found[0].what if found else say("chooser-could-not-be-built")
        yield variant


def page_data(
    file: JobFile, offered: Sequence[Offered], rows: Sequence[Mapping[str, Any]], listed: Sequence[str],
    failed: Mapping[str, str], pieces: Sequence[Pieces] = (), say: Language = ENGLISH,
) -> dict[str, Any]:  # fmt: skip
    """What the page knows: the choices of each step, the files of every combination of them, and why there are none.

    A combination is named by the place of its choice in each of `_STEPS`, as in ``0.3.0.0.1.0``.
    """
    from pathkit.registry import find_dialect

    orders = [order for each in offered for order in each.orders]
    values = {step: list(dict.fromkeys(_said(each.choice)[step] for each in offered)) for step in _STEPS}
    by_folder = {str(row["folder"]): row for row in rows}
    tests = {choice: order for each in pieces for choice, order in each.orders.items()}
    tried: dict[str, dict[str, Any]] = {}
    files: dict[str, list[dict[str, Any]]] = {}
    why: dict[str, str] = {}
    own: dict[str, list[str]] = {}
    for name in listed:
        own.setdefault(name.rpartition("/")[0], []).append(name)
    for each in offered:
        key = ".".join(str(values[step].index(said)) for step, said in _said(each.choice).items())
        folders = [order.folder for order in each.orders]
        lost = [failed[folder] for folder in folders if folder in failed]
        if not folders or lost or any(folder not in by_folder for folder in folders):
            told = each.why or (lost[0] if lost else say("chooser-not-built"))
            why[key] = in_words(told, say, each.choice.units)
        else:
            files[key] = [_entry(by_folder[folder], own.get(folder, [])) for folder in folders]
            test = tests[each.choice].folder if each.choice in tests else ""
            if test in by_folder and test not in failed:
                tried[key] = _entry(by_folder[test], ())
    return {
        "steps": {
            **values,
            "dialect": [[name, find_dialect(name).title] for name in values["dialect"]],
            "board": [_board(file, k, say) for k in values["board"]],
            "bit": [bit or say("chooser-as-designed", bit=_own_bit(file)) for bit in values["bit"]],
        },
        "files": files,
        "why": why,
        "least": {order.machine.units: least_of(order.machine, say) for order in orders},
        "measure": _measures(offered, say),
        "tests": tried,
        "fit": [_fit(each, say) for each in pieces],
    }


def _fit(pieces: Pieces, say: Language) -> dict[str, Any]:
    """What the page says of the test pieces for one bit, or why there is none."""
    if (piece := pieces.piece) is None:
        return {"why": in_words(pieces.why, say)}

    def told(*sizes: float) -> dict[str, str]:
        return {units: say.number(" × ".join(shown(size, units) for size in sizes)) for units in ("mm", "inch")}

    steps = [say.number(f"{fit:+.1f}".replace("-", "−")) if fit else "0" for fit in FITS]
    return {"steps": steps, "recess": told(piece.recess), "slot": told(piece.slot), "board": told(*piece.board)}


def _said(choice: Choice) -> dict[str, Any]:
    return {
        "corner": choice.corner, "directions": f"{choice.x} {choice.y} {choice.z}", "dialect": choice.dialect,
        "units": choice.units, "board": choice.board, "bit": choice.bit,
    }  # fmt: skip


def _entry(row: Mapping[str, Any], listed: Sequence[str]) -> dict[str, Any]:
    """One board's files: its folder, and the names in it."""
    folder = str(row["folder"])

    def named(kind: str) -> str:
        names = (name.rpartition("/")[2] for name in listed)
        return next((name for name in names if name.startswith(f"rehearsal-{kind}-")), "")

    return {
        "folder": folder,
        "sheet": str(row["href"]).rpartition("/")[2],
        "preview": str(row.get("preview", "")).rpartition("/")[2],
        "cut": str(row["cut_files"]).split("\n"),
        "air": str(row["air_files"]).split("\n"),
        "stored": _stored(row),
        "letter": named("letter"),
        "around": named("rectangle"),
        "measure": named("measure"),
        "time": str(row["time"]),
        "quickest": str(row["quickest"]),
        "parts": str(row["each"]),
        "times": str(row["times"]),
    }


def _stored(row: Mapping[str, Any]) -> dict[str, str]:
    """Cut files and air cuts that are stored once for several choices, each with the path where it is."""
    names = [*str(row["cut_files"]).split("\n"), *str(row["air_files"]).split("\n")]
    places: Mapping[str, str] = row.get("stored") or {}
    return {name: places[name] for name in names if name in places}


def _board(file: JobFile, k: int, say: Language) -> dict[str, Any]:
    board, thickness = file.form.board[k], file.form.stock.thickness
    sizes = board.width, board.depth, thickness
    return {
        "name": board.name or "",
        "size": {unit: say.number(" × ".join(shown(size, unit) for size in sizes)) for unit in ("mm", "inch")},
        "share": board.depth / board.width,
    }


def _own_bit(file: JobFile) -> str:
    return ", ".join(sorted(file.used_bits()))


def _measures(offered: Sequence[Offered], say: Language) -> dict[str, list[list[str]]]:
    """By units and board, what `pathkit.handover.rehearse.measure` goes along: the board's width, and its depth."""
    found: dict[str, dict[int, list[str]]] = {}
    for each in offered:
        for order in each.orders[:1]:
            units = each.choice.units
            sides = [say.number(shown(side, units)) for side in measured_sides(order.job, units)]
            found.setdefault(units, {})[each.choice.board] = sides
    boards = list(dict.fromkeys(each.choice.board for each in offered))
    return {units: [sides.get(board, ["", ""]) for board in boards] for units, sides in found.items()}
