"""What the tests of handing over ask of folders that they write."""

from __future__ import annotations

from pathlib import Path


def tree(out: Path) -> dict[str, bytes]:
    """Every file of a folder, by its path in it."""
    return {p.relative_to(out).as_posix(): p.read_bytes() for p in sorted(out.rglob("*")) if p.is_file()}
