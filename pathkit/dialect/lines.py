"""Text from a dialect's author, checked: outside text must never become a command in a file."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any

from pathkit.dialect.base import Dialect
from pathkit.dialect.words import Context
from pathkit.errors import CapabilityError, PathkitError, PluginError
from pathkit.findings import Finding
from pathkit.machine.capabilities import Capabilities

# Printable ASCII without the characters that GRBL takes out of the stream and acts on at once, wherever they are.
_PLAIN = re.compile(r"[ \"->@-}]*+")
_PLAIN_LINES = re.compile(r"(?:[ \"->@-}]++\r?\n)*+")


def is_plain(text: str) -> bool:
    """Whether a text within a line is printable ASCII without characters that act at once."""
    return _PLAIN.fullmatch(text) is not None


def checked_lines(dialect: Dialect, hook: str, ask: Callable[[], Sequence[str]], caps: Capabilities) -> bytes:
    """The lines that a hook returns, each ended for the kernel. Raises `PluginError`."""
    for line in (lines := _asked(dialect, hook, lambda: list(ask()))):
        if not isinstance(line, str) or not is_plain(line) or not line.strip():
            what = f"the dialect {dialect.name!r}: {hook} returned the line {line!r}"
            fix = "write lines of printable ASCII without ! ? ~, none empty; pass outside text through context.comment"
            raise PluginError([Finding(check="dialect", what=what, fix=fix)])
        _check_block(dialect, hook, line, caps)
    return "".join(line + ("\r" if _only_comment(line, caps) else "\n") for line in lines).encode("ascii")


def rewritten(data: bytes, dialect: Dialect, context: Context) -> bytes:
    """The file as its dialect rewrites it, checked as any lines are. Raises `PluginError`, or `CapabilityError` for
    lines that became too long."""
    caps = context.capabilities
    text = _asked(dialect, "rewrite", lambda: dialect.rewrite(data.decode("ascii"), context))
    count = data.count(b"\n")
    fix = f"return printable ASCII without ! ? ~, with the {count} lines that were given, none empty, and their ends"
    if not isinstance(text, str) or _PLAIN_LINES.fullmatch(text) is None or text.count("\n") != count:
        what = f"the dialect {dialect.name!r}: rewrite returned no text of as many plain lines"
        raise PluginError([Finding(check="dialect", what=what, fix=fix)])
    if text.count(caps.line_end) != count or (caps.line_end == "\n" and "\r" in text):
        raise PluginError([Finding(check="dialect", what=f"{dialect.name!r}: rewrite changed the line ends", fix=fix)])
    longest = caps.line_length
    for number, line in enumerate(text.splitlines(), 1):
        _check_block(dialect, "rewrite", line, caps)
        if longest is not None and len(line) > longest:
            what = f"a block of {len(line)} characters; the controller reads {longest}"
            raise CapabilityError([Finding(check="emit", what=what, line=number)])
    return text.encode("ascii")


def _asked(dialect: Dialect, hook: str, ask: Callable[[], Any]) -> Any:
    try:
        return ask()
    except PathkitError:
        raise
    # Code of a plugin may raise anything.
    except Exception as error:
        raise PluginError(f"the dialect {dialect.name!r}: {hook} failed: {type(error).__name__}: {error}") from error


def _check_block(dialect: Dialect, hook: str, line: str, caps: Capabilities) -> None:
    if caps.grammar is not None and caps.grammar.system_prefix and line.startswith(caps.grammar.system_prefix):
        raise PluginError(f"the dialect {dialect.name!r}: {hook} returned {line!r}, which is no block of a program")


def _only_comment(line: str, caps: Capabilities) -> bool:
    """Whether a line does nothing, so that it needs no checksum: one might stand within the comment."""
    opening, closing = caps.comment or ("", "")
    return bool(opening) and line.startswith(opening) and (not closing or line.index(closing) == len(line) - 1)
