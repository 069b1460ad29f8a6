"""How a value refuses what is impossible: collect every finding first, then raise them together."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, ClassVar, Literal, Union, get_args, get_origin

import numpy as np
from annotated_types import MinLen
from numpy.typing import ArrayLike, NDArray

from pathkit.errors import InputError, ModelError
from pathkit.fields import hints
from pathkit.findings import Finding


class Faults:
    """Findings of one value under construction; `raise_any` ends it."""

    def __init__(self, check: str) -> None:
        self.check = check
        self.findings: list[Finding] = []

    def add(self, what: str, fix: str = "", path: str = "") -> None:
        self.findings.append(Finding(check=self.check, what=what, fix=fix, path=f"$.{path}" if path else "$"))

    def text(self, value: object, path: str, *, empty: bool = False) -> None:
        if not isinstance(value, str):
            self.add(f"{path} is {value!r}, not text", path=path)
        elif not value and not empty:
            self.add(f"{path} is empty", "give it a name", path)

    def number(
        self, value: object, path: str, *, above: float | None = None, least: float | None = None,
        most: float | None = None, below: float | None = None, optional: bool = False,
    ) -> bool:  # fmt: skip
        """Check one finite number against its limits; True if it can be used."""
        if value is None and optional:
            return False
        if isinstance(value, bool) or not isinstance(value, (int, float, np.integer, np.floating)):
            self.add(f"{path} is {value!r}, not a number", path=path)
            return False
        if not math.isfinite(value):
            self.add(f"{path} is {value}", "give a finite number", path)
            return False
        for wrong, limit in (
            (above is not None and value <= above, f"more than {above}"),
            (least is not None and value < least, f"at least {least}"),
            (most is not None and value > most, f"at most {most}"),
            (below is not None and value >= below, f"less than {below}"),
        ):
            if wrong:
                self.add(f"{path} is {value}", f"it must be {limit}", path)
                return False
        return True

    def choice(self, value: object, allowed: Iterable[str], path: str) -> None:
        names = tuple(allowed)
        if value not in names:
            self.add(f"{path} is {value!r}", f"one of: {', '.join(names)}", path)

    def sequence(self, value: object, path: str) -> tuple[Any, ...]:
        """The members of a sequence; empty, with a finding, if the value is not one."""
        if isinstance(value, (str, bytes)) or not isinstance(value, Iterable):
            self.add(f"{path} is {value!r}", "pass a tuple", path)
            return ()
        return tuple(value)

    def fits(self, value: Any, hint: Any, path: str) -> Any:
        """Check a value against the type of its field, limits included; returns it, its sequences as tuples."""
        hint, limits = _bare(hint)
        if get_origin(hint) in (Union, UnionType):
            if value is None and NoneType in get_args(hint):
                return value
            kinds = [each for each in get_args(hint) if each is not NoneType]
            if len(kinds) > 1:
                return self._one_of(value, kinds, path)
            hint, limits = _bare(kinds[0])
        if get_origin(hint) is Literal:
            self.choice(value, get_args(hint), path)
        elif get_origin(hint) is tuple:
            return self._members(value, get_args(hint), path)
        elif get_origin(hint) is frozenset:
            return frozenset(self._members(value, (*get_args(hint), Ellipsis), path))
        elif get_origin(hint) is Mapping:
            return self._table(value, get_args(hint), path)
        elif hint is str:
            self.text(value, path, **limits)
        elif hint is Any:
            return value
        elif hint is int and (not isinstance(value, int) or isinstance(value, bool)):
            self.add(f"{path} is {value!r}", "a whole number", path)
        elif hint in (int, float):
            self.number(value, path, **limits)
        elif isinstance(hint, type) and not isinstance(value, hint):
            wanted = "true or false" if hint is bool else f"pass a {hint.__name__}"
            self.add(f"{path} is {value!r}", wanted, path)
        return value

    def _one_of(self, value: Any, kinds: Sequence[Any], path: str) -> Any:
        """A value of one of several types; what the first of them asks for is said of any other value."""
        trials = []
        for kind in kinds:
            trials.append(Faults(self.check))
            fitted = trials[-1].fits(value, kind, path)
            if not trials[-1].findings:
                return fitted
        self.findings += trials[0].findings
        return value

    def _members(self, value: Any, kinds: tuple[Any, ...], path: str) -> tuple[Any, ...]:
        many = kinds[-1] is Ellipsis
        values = tuple(value) if isinstance(value, Iterable) and not isinstance(value, (str, bytes)) else (value,)
        if values == (value,) or not (many or len(values) == len(kinds)):
            wanted = "pass a tuple" if many else f"pass {len(kinds)} values in a tuple"
            self.add(f"{path} is {value!r}", wanted, path)
            return ()
        numbers = not many and _bare(kinds[0])[0] is float
        places = [f".{axis}" for axis in "xyz"] if numbers else [f"[{k}]" for k in range(len(values))]
        return tuple(self.fits(each, kinds[0], path + place) for each, place in zip(values, places, strict=False))

    def _table(self, value: Any, kinds: tuple[Any, Any], path: str) -> Mapping[Any, Any]:
        if not isinstance(value, Mapping):
            self.add(f"{path} is {value!r}", "pass a dict", path)
            return {}
        return {
            self.fits(key, kinds[0], path): self.fits(each, kinds[1], f"{path}[{key!r}]") for key, each in value.items()
        }

    def unique(self, names: Sequence[str], what: str, path: str) -> None:
        seen: set[str] = set()
        for index, name in enumerate(names):
            if name in seen:
                self.add(f"two {what} are called {name!r}", "names must differ", f"{path}[{index}].name")
            seen.add(name)

    def raise_any(self) -> None:
        if self.findings:
            raise ModelError(self.findings)


class Checked:
    """A dataclass that refuses what the types and limits of its fields do not allow.

    ``_check`` adds what must hold between them. All findings are raised together.
    """

    _refusal: ClassVar[type[InputError]] = ModelError

    def __post_init__(self) -> None:
        kind: Any = type(self)
        faults = Faults(kind.__name__.lower())
        for name, hint, surely in _fields(kind):
            value = getattr(self, name)
            if surely(value):
                continue
            fitted = faults.fits(value, hint, name)
            if fitted is not value:
                object.__setattr__(self, name, fitted)
        self._check(faults)
        if faults.findings:
            raise self._refusal(faults.findings)

    def _check(self, faults: Faults) -> None:
        """Findings about what each field allows alone, but not beside the others; the fields' own are in already."""


@cache
def _bare(hint: Any) -> tuple[Any, dict[str, Any]]:
    """A type without its limits, and its limits as `Faults.number` takes them."""
    limits: dict[str, Any] = {}
    if get_origin(hint) is Annotated:
        for limit in hint.__metadata__:
            for sign, name in (("gt", "above"), ("ge", "least"), ("le", "most"), ("lt", "below")):
                if hasattr(limit, sign):
                    limits[name] = getattr(limit, sign)
            if isinstance(limit, MinLen):
                limits["empty"] = limit.min_length == 0
        hint = hint.__origin__
    return hint, limits


@cache
def _fields(kind: Any) -> tuple[tuple[str, Any, Callable[[Any], bool]], ...]:
    return tuple((name, hint, surely_fits(hint)) for name, hint in hints(kind).items())


@cache
def surely_fits(hint: Any) -> Callable[[Any], bool]:
    """Tells at once of most values that `Faults.fits` would find nothing and give them back as they are.

    False says nothing: that value is looked at by `Faults.fits`, which names each place in it and is slow therefore.
    Jobs have thousands of values, and nearly all of them fit.
    """
    hint, limits = _bare(hint)
    origin, inner = get_origin(hint), get_args(hint)
    if origin in (Union, UnionType):
        kinds = [each for each in inner if each is not NoneType]
        # What the first type takes is never made into another.
        first, optional = surely_fits(kinds[0]), len(kinds) < len(inner)
        return lambda value: first(value) or (value is None and optional)
    if origin is Literal:
        words = frozenset(inner)
        return lambda value: type(value) is str and value in words
    if origin is tuple:
        member = surely_fits(inner[0])
        count = None if inner[-1] is Ellipsis else len(inner)
        return lambda value: type(value) is tuple and count in (None, len(value)) and all(map(member, value))
    if origin is frozenset:
        member = surely_fits(inner[0])
        return lambda value: type(value) is frozenset and all(map(member, value))
    if hint is str:
        return lambda value: type(value) is str and (value != "" or limits.get("empty", False))
    if hint in (int, float):
        return _surely_within(hint, **limits)
    if hint is not Any and isinstance(hint, type):
        return lambda value: isinstance(value, hint)
    return lambda value: False  # noqa: ARG005


def _surely_within(
    kind: type, above: float = -math.inf, least: float = -math.inf, most: float = math.inf, below: float = math.inf
) -> Callable[[Any], bool]:
    kinds = (float, int) if kind is float else (int,)
    return lambda value: (
        type(value) in kinds and math.isfinite(value) and above < value < below and least <= value <= most
    )


def locked(values: ArrayLike, dtype: type = float) -> NDArray[np.float64]:
    """A private, read-only copy."""
    array: NDArray[np.float64] = np.array(values, dtype=dtype, copy=True, order="C")
    array.setflags(write=False)
    return array
