"""What the tests of handing over ask of folders that they write."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from pathlib import Path

from pathkit.handover.pages.render import sheet_page
from pathkit.handover.result import Folder
from pathkit.texts.language import Code, Language


def tree(out: Path) -> dict[str, bytes]:
    """Every file of a folder, by its path in it."""
    return {p.relative_to(out).as_posix(): p.read_bytes() for p in sorted(out.rglob("*")) if p.is_file()}


def sheet_in(folder: Folder, code: Code) -> bytes:
    """The sheet of a folder as it would be in another language, in which nothing else of a folder is made."""
    return sheet_page(replace(folder, order=replace(folder.order, language=Language(code))))


def said(path: Path) -> str:
    """The text of a page as one line, without its drawings."""
    text = re.sub(r"<(svg|style).*?</\1>", " ", path.read_text(encoding="utf-8"), flags=re.S)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", text)))
