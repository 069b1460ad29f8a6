"""Check of modes that move nothing and yet change what the machine does: corners rounded off, overrides locked."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final

from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities
from pathkit.proof.evidence import Evidence, check
from pathkit.proof.result import Verdict

_CODE: Final = re.compile(rb"([GM])0*(61\.1|61|64|49)(?:\.0*)?(?![0-9.])")
_PLACE: Final = re.compile(rb"[XYZ][-+.0-9]")
_EXACT: Final = frozenset({"G61", "G61.1"})


@check(
    "path mode",
    "program",
    limits="It looks at path mode and overrides; whether the controller stops at corners, only the machine can show.",
)
def path_mode(evidence: Evidence) -> Verdict:
    """Where the controller can round corners off (G64), the file asks for the exact path; overrides are not locked."""
    grammar = evidence.capabilities.grammar
    if grammar is None or not grammar.codes & {"G64", "M49"}:
        return Verdict()
    plain = _without_comments(evidence.text, evidence.capabilities)
    moving = _PLACE.search(plain)
    found: list[Finding] = []
    exact = "G64" not in grammar.codes
    for at, code in _codes(plain):
        if code in _EXACT and (moving is None or at < moving.start() or exact):
            exact = True
        elif code == "G64" and "G64" in grammar.codes:
            found.append(_finding("G64 lets the controller round corners off", plain, at))
        elif code == "M49" and "M49" in grammar.codes:
            found.append(_finding("M49 takes feed and speed overrides out of the operator's hand", plain, at))
    if not exact and moving is not None:
        what = "moves before the exact path (G61) is asked for: the controller may round corners off"
        found.append(_finding(what, plain, moving.start()))
    return Verdict(found[:20])


def _codes(plain: bytes) -> Iterator[tuple[int, str]]:
    for match in _CODE.finditer(plain):
        yield match.start(), (match[1] + match[2]).decode("ascii")


def _without_comments(text: bytes, capabilities: Capabilities) -> bytes:
    """Capitals, without comments and blanks; lines keep their numbers."""
    marks = [] if capabilities.comment is None else [capabilities.comment]
    marks += [] if capabilities.grammar is None else [m for m in capabilities.grammar.comments if m not in marks]
    for opening, closing in marks:
        shut = re.escape(closing.encode("latin-1"))
        until = b"[^" + shut + b"\n]*" + shut if closing else b"[^\n]*"
        text = re.sub(re.escape(opening.encode("latin-1")) + until, b"", text)
    return re.sub(rb"[ \t\r]+", b"", text).upper()


def _finding(what: str, plain: bytes, at: int) -> Finding:
    fix = "post the program again, and do not edit the file"
    return Finding(check="path mode", what=what, fix=fix, line=plain.count(b"\n", 0, at) + 1)
