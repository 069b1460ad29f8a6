"""The language of a page or a letter: a value that travels with what is written, never a setting of the whole program.

``say("sheet-cut-times", count=3)`` is a whole sentence of the catalogue with its values put in. Values are data: they
are never read as a message, whatever they hold.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final, Literal, get_args

from pathkit.texts import catalogue

if TYPE_CHECKING:
    from markupsafe import Markup

Code = Literal["en", "de"]
"""The codes (BCP 47) of all languages that have a catalogue."""

LANGUAGES: Final[tuple[Code, ...]] = get_args(Code)

_LONG: Final = 1000
"""Characters of a value that the library of messages takes for sure; longer ones are put in after it."""

_HELD: Final = re.compile("\ue000([0-9]+)\ue001")


@dataclass(frozen=True)
class Language:
    """A language that has a catalogue; ``code`` is its tag (BCP 47), as pages carry it in ``lang``."""

    code: Code = "en"

    def __call__(self, name: str, /, **values: str | int) -> str:
        """The text of a message. Raises `LookupError` for a name or a value that is missing."""
        from fluent.runtime.types import fluent_number

        given: dict[str, object] = {}
        held: list[str] = []
        for key, value in values.items():
            if isinstance(value, int):
                given[key] = fluent_number(value, useGrouping=False)
            elif len(value) > _LONG:
                given[key] = f"\ue000{len(held)}\ue001"
                held.append(value)
            else:
                given[key] = str(value)
        bundle = catalogue.bundle(self.code, name)
        pattern = bundle.get_message(name).value
        assert pattern is not None  # `catalogue.message` takes no message without a text
        text, wrong = bundle.format_pattern(pattern, given)
        if wrong:
            raise LookupError(f"{self.code}: {name}: {wrong[0]}")
        return _HELD.sub(lambda found: held[int(found[1])], str(text)) if held else str(text)

    def marked_up(self, name: str, /, **values: str | int) -> Markup:
        """The text of a message for a page: its own ``<strong>`` and ``<code>`` count, and values are escaped."""
        from markupsafe import Markup, escape

        safe = {key: value if isinstance(value, int) else escape(value) for key, value in values.items()}
        return Markup(self(name, **safe))

    def templates(self, file: str) -> dict[str, str]:
        """Every message of a file for a script: each placeholder stands there as ``{name}``, to be replaced once."""
        return {
            name: self(name, **{each: f"{{{each}}}" for each in catalogue.placeholders(message)})
            for name, message in sorted(catalogue.messages(self.code, file).items())
        }

    def number(self, text: str) -> str:
        """Figures with the language's own decimal mark: ``3.5 mm`` is ``3,5 mm``. ``text`` is a number, or several with
        their units, as Python writes them; never a name."""
        return catalogue.figure(self.code, text)

    @property
    def decimal_mark(self) -> str:
        """What stands between a number's whole and its fraction."""
        return catalogue.decimal_mark(self.code)

    def listed(self, clauses: Sequence[str]) -> str:
        """``a, b and c``."""
        if len(clauses) == 1:
            return clauses[0]
        return self("common-and", most=", ".join(clauses[:-1]), last=clauses[-1])

    def either(self, clauses: Sequence[str]) -> str:
        """``a, b or c``."""
        if len(clauses) == 1:
            return clauses[0]
        return self("common-or", most=", ".join(clauses[:-1]), last=clauses[-1])


ENGLISH: Final = Language()


def language_of(code: str) -> Language:
    """The language with this code. Raises `InputError` if there is no catalogue for it."""
    from pathkit.errors import InputError

    if code not in LANGUAGES:
        raise InputError(f"there are no texts in the language {code!r}; choose one of {', '.join(LANGUAGES)}")
    return Language(code)
