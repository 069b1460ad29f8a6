"""The comments of files to begin from, in the language of whoever will change these files."""

from __future__ import annotations

import re
import textwrap
from typing import Final

from pathkit.texts.language import ENGLISH, Language
from pathkit.texts.plain import translated

WIDEST: Final = 116
"""Characters of a line of comment, without its mark."""
PARAGRAPH: Final = re.compile(r"(?:^# (?![a-z_]+ = |\[\[).+\n)+", re.MULTILINE)
"""Lines of comment that are one text; none of a key that is only proposed."""
BEHIND: Final = re.compile(r"^([^#\n]*?)( +)# (.+)$", re.MULTILINE)
"""What stands before a comment in the same line, the space between them, and its text."""


def told(template: str, say: Language) -> str:
    """A TOML text for `str.format` with its comments in another language. Its keys and values stay as they are."""
    if say == ENGLISH:
        return template
    told = PARAGRAPH.sub(lambda found: commented(_told(text_of(found[0]), say)) + "\n", template)
    return BEHIND.sub(lambda found: f"{found[1]}{found[2]}# {_told(found[3], say)}", told)


def text_of(paragraph: str) -> str:
    """The text of lines of comment."""
    return " ".join(line.removeprefix("# ") for line in paragraph.splitlines())


def commented(text: str) -> str:
    """A text as lines of comment."""
    return "\n".join(f"# {line}" for line in textwrap.wrap(text, WIDEST))


def _told(text: str, say: Language) -> str:
    plain = text.replace("{{", "{").replace("}}", "}")
    said = translated(plain, "starters", say)
    return said if plain == text else said.replace("{", "{{").replace("}", "}}")
