"""Units at the edges. Inside everything is millimetres, mm/min, rpm, seconds and degrees."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Annotated, Any, Final, get_args, get_type_hints

MM_PER_INCH: Final = 25.4
"""Exact by definition: international yard and pound agreement, 1959."""

MM_PER_UNIT: Final = {"mm": 1.0, "inch": MM_PER_INCH}
"""Length units that a file may use, and how many millimetres each has."""


def clock(seconds: float) -> str:
    """A time for people, as a clock shows it: ``4:05``, ``1:04:05``."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes // 60}:{minutes % 60:02d}:{rest:02d}" if minutes >= 60 else f"{minutes}:{rest:02d}"


NEWTON_PER_POUND: Final = 4.4482216152605
"""Newtons in a pound-force. Exact: 0.45359237 kg times 9.80665 m/s² (NIST SP 811, appendix B.8)."""

MM_PER_FOOT: Final = 12.0 * MM_PER_INCH


def shown(mm: float, units: str) -> str:
    """A length for people, in ``mm`` or ``inch``: ``12.7 mm``, ``0.5 in``."""
    return f"{mm / MM_PER_INCH:.4g} in" if units == "inch" else f"{mm:g} mm"


_AMOUNT: Final = r"([+-]?)(?:([0-9]{1,9}(?:\.[0-9]{1,9})?|\.[0-9]{1,9})|(?:([0-9]{1,9}) +)?([0-9]{1,9})/([0-9]{1,9}))"


@dataclass(frozen=True)
class Quantity:
    """A kind of number that people may also write as a text with its unit.

    It stands beside the number's type (``Annotated[float, LENGTH]``): forms from outside then take both, and what reads
    options by their types knows what they are. ``units`` has each unit that a text may have, in mm or mm/min; ``ways``
    tells people how to write it.
    """

    name: str
    ways: str
    units: Mapping[str, Fraction] = field(hash=False)

    @property
    def pattern(self) -> str:
        """A regular expression (ECMAScript and Python alike) of every text that `read` takes."""
        return rf"^{_AMOUNT} *({'|'.join(self.units)})$"

    def read(self, text: str) -> float | None:
        """The number in mm or mm/min, from ``5.5in``, ``1/4in``, ``1 1/2in`` or ``140mm``; None for any other text."""
        found = re.fullmatch(self.pattern, text.strip(" "))
        if found is None:
            return None
        sign, decimal, whole, above, below, unit = found.groups()
        if below is not None and not int(below):
            return None
        amount = Fraction(decimal) if decimal is not None else int(whole or 0) + Fraction(int(above), int(below))
        return float((-amount if sign == "-" else amount) * self.units[unit])

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> Any:
        from pydantic_core import PydanticCustomError, core_schema

        def read(value: Any) -> Any:
            if not isinstance(value, str):
                return value
            if (number := self.read(value)) is None:
                raise PydanticCustomError(f"{self.name}_text", "Input should be a number")
            return number

        return core_schema.no_info_before_validator_function(read, handler(source))

    def __get_pydantic_json_schema__(self, schema: Any, handler: Any) -> Any:
        number = handler(schema)
        return {"anyOf": [number, {"type": "string", "pattern": self.pattern}]}


_INCH: Final = Fraction(254, 10)

LENGTH: Final = Quantity(
    "length", 'mm without quotes, or a text with its unit, as "5.5in", "1/4in" or "140mm"',
    {"mm": Fraction(1), "in": _INCH},
)  # fmt: skip
FEED: Final = Quantity(
    "feed", 'mm/min without quotes, or a text with its unit, as "100in/min" or "2500mm/min"',
    {"mm/min": Fraction(1), "in/min": _INCH},
)  # fmt: skip

Millimetres = Annotated[float, LENGTH]
"""A length among the options of a pass."""


def quantities_of(kind: type) -> dict[str, Quantity]:
    """The fields of a class whose types say that they are quantities."""
    try:
        types = get_type_hints(kind, include_extras=True)
    except NameError:
        # Names that only type checkers import: then nothing is known of its fields.
        return {}
    return {name: found for name, hint in types.items() if (found := _quantity(hint)) is not None}


def _quantity(hint: Any) -> Quantity | None:
    """The quantity that stands anywhere in a type."""
    for each in (*getattr(hint, "__metadata__", ()), *get_args(hint)):
        found = each if isinstance(each, Quantity) else _quantity(each)
        if found is not None:
            return found
    return None
