"""What the tests of handing over ask of folders that they write."""

from __future__ import annotations

import html
import re
from pathlib import Path


def tree(out: Path) -> dict[str, bytes]:
    """Every file of a folder, by its path in it."""
    return {p.relative_to(out).as_posix(): p.read_bytes() for p in sorted(out.rglob("*")) if p.is_file()}


def said(path: Path) -> str:
    """The text of a page as one line, without its drawings."""
    text = re.sub(r"<(svg|style).*?</\1>", " ", path.read_text(encoding="utf-8"), flags=re.S)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", text)))
