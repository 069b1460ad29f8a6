"""What makers are told before they cut. Common practice, no source; the machine's own manual comes first."""

from __future__ import annotations

from typing import Final

from pathkit.texts.language import ENGLISH, Language

_NAMES: Final = (
    "cautions-manual", "cautions-wear", "cautions-loose", "cautions-hold", "cautions-bit", "cautions-zero",
    "cautions-air", "cautions-fire", "cautions-stay", "cautions-wrong", "cautions-parts",
)  # fmt: skip

_OF_PREVIEWS: Final = ("cautions-preview-manual", "cautions-preview-not-a-proof", "cautions-preview-air")


def cautions(say: Language = ENGLISH) -> tuple[str, ...]:
    """One sentence or two each, in the order in which they are needed."""
    return tuple(say(name) for name in _NAMES)


def cautions_of_previews(say: Language = ENGLISH, *, rest: bool = False) -> tuple[str, ...]:
    """The few that stand on a preview; one more on that of a file that goes on where another was broken off."""
    return tuple(say(name) for name in (*_OF_PREVIEWS, *(("cautions-preview-rest",) if rest else ())))
