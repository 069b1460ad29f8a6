"""The one door to numba: `kernel` compiles a function on its first call and keeps the machine code on disk.

Importing this module imports numba, which takes longer than all the rest of the library together. Only modules that
hold kernels import it, and they in turn are imported inside the functions that need them.

Kernels never use fastmath (results are compared byte by byte), release the interpreter lock, and are handed their
random state, so that the same input gives the same output.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable
from typing import Any, ParamSpec, TypeVar, overload

Parameters = ParamSpec("Parameters")
Result = TypeVar("Result")

# numba has no type stubs; going through importlib keeps it a plain Any whatever the type checker is told about it.
_numba: Any = importlib.import_module("numba")


@overload
def kernel(function: Callable[Parameters, Result], /) -> Callable[Parameters, Result]: ...
@overload
def kernel(*, inline: bool = False) -> Callable[[Callable[Parameters, Result]], Callable[Parameters, Result]]: ...
def kernel(function: Any = None, /, *, inline: bool = False) -> Any:
    """Compile a function with numba, keeping its signature for the type checker.

    Use as `@kernel` or `@kernel(inline=True)`; the latter pastes the body into every caller before types are known,
    for one-line helpers in the hottest loops.
    """
    options: dict[str, Any] = {"cache": True, "nogil": True, "fastmath": False}
    if inline:
        options["inline"] = "always"
    compiled = _numba.njit(**options)
    return compiled if function is None else compiled(function)
