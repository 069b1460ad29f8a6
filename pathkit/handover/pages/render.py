"""The pages of a handover folder: a setup sheet for each board, and an index of all. The HTML needs no other files.

Names and notes are untrusted: every value goes through the template engine's escaping. Only the drawings, whose text is
escaped where they are made, go in as they are.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pathkit.handover.atomic_write import listed_in, sha256
from pathkit.handover.pages import sheet
from pathkit.handover.pages.board_drawing import DepthKey, board_drawing
from pathkit.handover.pages.cautions import cautions
from pathkit.handover.pages.cuts import MOST_ROWS, bits, chamfers, order_of_cuts
from pathkit.handover.pages.holding import holding_lines
from pathkit.handover.pages.names import least_of
from pathkit.handover.pages.part_drawing import close_ups, letters_of
from pathkit.handover.pages.picture import board_picture, height_picture
from pathkit.handover.pages.seen_file import seen_texts
from pathkit.handover.revision import PREVIEW
from pathkit.jobs.sources import PREFIX
from pathkit.texts.findings import in_words
from pathkit.texts.language import ENGLISH, Language

if TYPE_CHECKING:
    from jinja2 import Environment

    from pathkit.handover.kept import Kept
    from pathkit.handover.result import Folder
    from pathkit.jobs.about import About
    from pathkit.jobs.photos import Photo

BOARD_ROOM = (436.0, 262.0)
PART_ROOM = (320.0, 166.0)
NARROW = 330.0
"""Width and height of the drawings of a board and of a part, and the width below which there is room for words beside a
board; 96 units an inch on paper."""


def sheet_page(folder: Folder) -> bytes:
    """The setup sheet of one board: UTF-8, self-contained; the same folder gives the same bytes."""
    from markupsafe import Markup

    order, job, machine, say = folder.order, folder.job, folder.machine, folder.order.language
    picture = board_picture(job, machine, order.setup, say)
    seen = seen_texts({name: folder.files[name] for name in folder.cut_files}, machine, order.setup, job)
    depths = DepthKey.of(seen)
    board = board_drawing(seen, depths, letters_of(seen), BOARD_ROOM, say)
    lowest = float(seen.motion.cuts.low.min()) if len(seen.motion.cuts) else job.stock.top
    cuts = order_of_cuts(job, folder.clock, machine, say)
    context = {
        "title": job.name,
        "mark": order.mark,
        "machine": machine,
        "times": order.times,
        "facts": sheet.facts(folder),
        "fit": sheet.fit_words(order),
        "least": least_of(machine, say) if order.handout else [],
        "about": order.about,
        "photos": shown_photos(order.photos, "sheet"),
        "warnings": sheet.warnings(folder),
        "plan": Markup(picture.svg),
        "side": Markup(height_picture(job.stock, lowest, seen.z_word, say)),
        "caption": picture.caption,
        "board": Markup(board.svg),
        "narrow": board.width < NARROW,
        "board_notes": [sheet.measured(seen, say), *board.notes],
        "key": depths.rows(seen, say),
        "there": {zone.kind for zone in job.stock.zones},
        "has_tabs": len(seen.motion.tab_at) > 0,
        "parts": [
            {"title": each.title, "svg": Markup(each.drawing.svg), "lines": each.lines, "notes": each.drawing.notes}
            for each in close_ups(seen, depths, PART_ROOM, say)
        ],
        "zero": sheet.zero(job, machine, say),
        "hold": [*sheet.hold_down(job, machine, say), *holding_lines(job, order.wood, machine, say)],
        "bits": bits(job, machine, folder.clock, say),
        "inch": machine.units == "inch",
        "strength": sheet.shares(order.strength, say),
        "cuts": cuts[:MOST_ROWS],
        "cuts_more": max(0, len(cuts) - MOST_ROWS),
        "chamfers": chamfers(job, machine, say),
        "steps": sheet.steps(folder),
        "cautions": cautions(say, bit=not job.by_beam, beam=job.by_beam),
        "sentences": sheet.proved_sentences(folder),
        "read_back": sheet.read_back(folder),
        "proved": [in_words(check.name, say) for check in folder.proof.checks if check.status == "passed"],
        "not_proved": sheet.not_proved(folder),
        "files": _files(folder),
        "cut_files": [{"name": name, "sha": sha256(folder.files[name])} for name in folder.cut_files],
    }
    return rendered("sheet.html", context, say)


def _files(folder: Folder) -> list[dict[str, Any]]:
    """What each file is; files that are the same follow each other, and only the last of them says so."""
    say = folder.order.language
    what = {
        folder.cut_file: say("sheet-file-cut"),
        folder.air_file: say("sheet-file-air"),
        folder.job_file: say("sheet-file-job"),
        folder.report_file: say("sheet-file-report"),
        PREVIEW: say("sheet-file-preview"),
    }
    does = ("sheet-file-letter", "sheet-file-frame", "sheet-file-measure")
    what |= {name: say(act) for name, act in zip(folder.rehearsal, does, strict=False)}
    for number, (cut, air, report) in enumerate(folder.further, 2):
        what |= {cut: say("sheet-file-further-cut", number=number), air: say("sheet-file-further-air")}
        what |= {report: say("sheet-file-further-report")}
    what |= {name: say("sheet-file-input") for name in folder.files if name.startswith(PREFIX)}
    order = list(dict.fromkeys(what[name] for name in folder.files if name in what))
    names = sorted((name for name in folder.files if name in what), key=lambda name: order.index(what[name]))
    said = [what[name] for name in names] + [""]
    return [
        {"name": name, "what": said[k], "page": name == PREVIEW, "ends": said[k] != said[k + 1]}
        for k, name in enumerate(names)
    ]


def index_page(
    folders: Sequence[Folder], files: Mapping[str, bytes], kept: Sequence[Kept] = (), out: Path | None = None
) -> bytes:
    """Counts, run times and digests of everything; ``files`` are all the other files of the handover folder, by path.

    ``kept`` are folders in ``out`` that stay from an earlier build. If one was made from another revision of the job,
    none of its files is listed.
    """
    mark = folders[0].order.mark
    fresh = [{**sheet.index_row(folder), "current": True} for folder in folders]
    stay = [each.index_row(mark, fresh[0].keys()) for each in kept]
    rows = sorted([*fresh, *stay], key=lambda row: str(row["folder"]))
    listed = [{"name": name, "size": len(data), "sha": sha256(data)} for name, data in files.items()]
    if out is not None:
        sums = listed_in(out)
        whole = [name for each in kept if each.is_of(mark) for name in each.files]
        listed += [{"name": name, "size": (out / name).stat().st_size, "sha": sums[name]} for name in whole]
    title = min((folder.job.name for folder in folders), key=len)
    return index_of(title, mark, rows, listed, folders[0].order.language)


def index_of(
    title: str, mark: str, rows: Sequence[Mapping[str, Any]], listed: Sequence[Mapping[str, Any]],
    say: Language = ENGLISH,
) -> bytes:  # fmt: skip
    """The index from its rows (those of `pathkit.handover.pages.sheet.index_row`, with ``current``) and files (name,
    size, sha). ``mark`` is empty where each row has its own."""
    by_name = sorted(listed, key=lambda file: str(file["name"]))
    shown = [sheet.shown_row(row, say) for row in rows]
    context = {"title": title, "mark": mark, "rows": shown, "cautions": of_rows(rows, say), "files": by_name}
    return rendered("index.html", context, say)


def of_rows(rows: Sequence[Mapping[str, Any]], say: Language) -> tuple[str, ...]:
    """The cautions for whoever runs the files of these rows."""
    beams = [bool(row.get("beam")) for row in rows]
    return cautions(say, bit=not all(beams) or not beams, beam=any(beams))


def shown_photos(photos: Sequence[Photo], use: str) -> list[dict[str, Any]]:
    """What a page says of photos; ``use`` is the size: that of a ``page``, or of a ``sheet``."""
    return [{"alt": each.alt, "caption": each.caption, "picture": getattr(each, use)} for each in photos]


def chooser_of(
    title: str, mark: str, data: Mapping[str, Any], about: About | None = None, photos: Sequence[Photo] = (),
    say: Language = ENGLISH, *, beam: bool = False,
) -> bytes:  # fmt: skip
    """The page on which a stranger chooses, with the cautions of a ``beam`` if the job is for one; ``data`` is that of
    `pathkit.handover.chooser.page_data`."""
    folders = sorted({entry["folder"]: entry for entries in data["files"].values() for entry in entries}.items())
    told = cautions(say, bit=not beam, beam=beam)
    context: dict[str, Any] = {"title": title, "mark": mark, "cautions": told, "data": data, "about": about}
    context |= {
        "folders": folders,
        "photos": shown_photos(photos, "page"),
        "texts": of_tool(say.templates("choose"), beam),
    }
    return rendered("chooser.html", {**context, **_own("chooser")}, say)


def preview_of(
    title: str, mark: str, machine: str, cautions: Sequence[str], data: Mapping[str, Any], say: Language = ENGLISH
) -> bytes:  # fmt: skip
    """The page on which a cut is watched; ``data`` is that of `pathkit.handover.pages.preview.preview_page`."""
    known, beam = data["about"]["board"]["known"], data["about"]["beam"]
    context: dict[str, Any] = {
        "title": title, "mark": mark, "machine": machine, "cautions": cautions, "data": data, "known": known,
        "beam": beam, "texts": of_tool(say.templates("watch"), beam),
    }  # fmt: skip
    context["wrong"] = sum(found["severity"] == "error" for found in data["about"]["findings"])
    context |= {"inflate": _own("inflate", ("js",))["js"], **_own("preview", ("css",))}
    context["parts"] = [_own(f"preview/{name}", ("js",))["js"] for name in _PREVIEW]
    return rendered("preview.html", context, say)


def of_tool(texts: Mapping[str, str], beam: bool) -> dict[str, str]:
    """Texts of a script: of a ``beam`` those whose name ends so, in the place of those without."""
    other = {name.removesuffix(_BEAM): text for name, text in texts.items() if name.endswith(_BEAM)}
    return {
        name: (other if beam else texts).get(name, text) for name, text in texts.items() if not name.endswith(_BEAM)
    }


_BEAM = "-beam"

_PREVIEW = ("data", "places", "wood", "drawing", "words", "playing")
"""The parts of the preview's script, in the order in which they run."""


def rows_of(folders: Sequence[Folder], kept: Sequence[Kept]) -> dict[str, dict[str, Any]]:
    """The rows of the index, for the next build to repeat those of the folders that it keeps."""
    fresh = {f.name: {key: str(value) for key, value in sheet.index_row(f).items()} for f in folders}
    return dict(sorted({**{each.folder: dict(each.row) for each in kept}, **fresh}.items()))


def _own(page: str, kinds: Sequence[str] = ("css", "js")) -> dict[str, str]:
    """The style and the script that only this page has, or those of its parts."""
    from markupsafe import Markup

    environment = _environment()
    loader = environment.loader
    assert loader is not None
    return {name: Markup(loader.get_source(environment, f"{page}.{name}")[0]) for name in kinds}


def rendered(template: str, context: Mapping[str, Any], say: Language) -> bytes:
    """A page from its template: UTF-8."""
    from markupsafe import Markup

    environment = _environment()
    loader = environment.loader
    assert loader is not None
    style = Markup(loader.get_source(environment, "style.css")[0])
    page = environment.get_template(template).render(style=style, t=say.marked_up, lang=say.code, **context)
    return (page + "\n").encode("utf-8")


@functools.cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("pathkit.handover.pages", "templates"), autoescape=True, undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
