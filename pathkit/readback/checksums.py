"""Checksums at the ends of lines, as a controller computes them before it reads a line."""

from __future__ import annotations

import re
from functools import reduce
from operator import xor
from typing import Final

from pathkit.machine.grammar import Checksum

_DECIMAL: Final = re.compile(rb"[0-9]{1,3}")
_HEXADECIMAL: Final = re.compile(rb"[0-9A-Fa-f]{2}")


def without_checksum(raw: bytes, rule: Checksum) -> bytes | None:
    """The line before its checksum; None if that is missing or another one."""
    body, _, digits = raw.rpartition(rule.mark.encode("ascii"))
    digits = digits.rstrip(b" \t")
    if len(body) == len(raw) or not (_HEXADECIMAL if rule.hexadecimal else _DECIMAL).fullmatch(digits):
        return None
    total = reduce(xor, body, 0) if rule.kind == "xor" else sum(body) % 256
    return body if int(digits, 16 if rule.hexadecimal else 10) == total else None
