"""What makers are told before they cut. Common practice, no source; the machine's own manual comes first."""

from __future__ import annotations

from typing import Final

from pathkit.texts.language import ENGLISH, Language

_NAMES: Final = (
    "cautions-manual", "cautions-wear", "cautions-loose", "cautions-hold", "cautions-bit", "cautions-zero",
    "cautions-air", "cautions-fire", "cautions-stay", "cautions-wrong", "cautions-parts",
)  # fmt: skip

_OF_BEAMS: Final = (
    "cautions-manual", "cautions-beam-eyes", "cautions-beam-enclosure", "cautions-beam-material", "cautions-beam-fumes",
    "cautions-beam-fire", "cautions-zero", "cautions-beam-air", "cautions-stay", "cautions-wrong", "cautions-beam-open",
)  # fmt: skip

_OF_PREVIEWS: Final = ("cautions-preview-manual", "cautions-preview-not-a-proof", "cautions-preview-air")


def cautions(say: Language = ENGLISH, *, bit: bool = True, beam: bool = False) -> tuple[str, ...]:
    """One sentence or two each, in the order in which they are needed: for those who cut with a ``bit``, those who
    burn with a ``beam``, or both."""
    names = dict.fromkeys((*(_NAMES if bit else ()), *(_OF_BEAMS if beam else ())))
    return tuple(say(name) for name in names)


def cautions_of_previews(say: Language = ENGLISH, *, rest: bool = False, beam: bool = False) -> tuple[str, ...]:
    """The few that stand on a preview; one more on that of a file that goes on where another was broken off."""
    of_beams = ("cautions-manual", "cautions-beam-eyes", "cautions-beam-fire", "cautions-beam-air")
    names = of_beams if beam else _OF_PREVIEWS
    return tuple(say(name) for name in (*names, *(("cautions-preview-rest",) if rest else ())))
