"""What a word-address controller reads and refuses, as data: the reader's half of a dialect's capabilities."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Grammar:
    """Filled in by the read-back room."""
