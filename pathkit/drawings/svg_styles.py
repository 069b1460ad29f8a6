"""How elements of an SVG drawing are painted: attributes, ``style``, and the simple rules of a style sheet."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_KEPT: Final = ("stroke", "fill", "fill-rule", "display", "visibility")


@dataclass(frozen=True)
class Styles:
    """Rules by selector (``path``, ``.cut``, ``#roof``), in the order of the drawing."""

    rules: tuple[tuple[str, dict[str, str]], ...] = field(default_factory=tuple)

    def of(self, element: Element, kind: str) -> dict[str, str]:
        """The paint that one element sets: attributes, then rules by tag, class and id, then its own ``style``."""
        paint = {name: value.strip() for name in _KEPT if (value := element.get(name))}
        style = element.get("style")
        if not self.rules:
            return paint | _declared(style) if style else paint
        selectors = [kind, *(f".{name}" for name in element.get("class", "").split()), f"#{element.get('id')}"]
        for level in (selectors[:1], selectors[1:-1], selectors[-1:]):
            for selector, values in self.rules:
                if selector in level:
                    paint |= values
        return paint | _declared(style or "")


def read_styles(root: Element) -> Styles:
    """The rules of every ``style`` element whose selectors are one tag, class or id; others match nothing."""
    rules: list[tuple[str, dict[str, str]]] = []
    for sheet in root.iter("{http://www.w3.org/2000/svg}style"):
        text = re.sub(r"/\*.*?\*/", "", sheet.text or "", flags=re.S)
        for selectors, body in re.findall(r"([^{}]+)\{([^{}]*)\}", text):
            rules += [(selector.strip(), _declared(body)) for selector in selectors.split(",")]
    return Styles(tuple(rules))


def _declared(text: str) -> dict[str, str]:
    pairs = (part.split(":", 1) for part in text.split(";") if ":" in part)
    paint = {name.strip().lower(): value.replace("!important", "").strip() for name, value in pairs}
    return {name: value for name, value in paint.items() if name in _KEPT}
