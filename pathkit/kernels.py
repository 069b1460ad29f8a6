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
def kernel(
    *, inline: bool = False, allocates: bool = True, inner: bool = False, pasted: bool = False
) -> Callable[[Callable[Parameters, Result]], Callable[Parameters, Result]]: ...
def kernel(
    function: Any = None,
    /,
    *,
    inline: bool = False,
    allocates: bool = True,
    inner: bool = False,
    pasted: bool = False,
) -> Any:
    """Compile a function with numba, keeping its signature for the type checker.

    Use as `@kernel`, or with options: ``inline=True`` pastes the body into every caller before types are known, for
    one-line helpers in the hottest loops. ``allocates=False`` promises that the function makes no arrays (views are
    fine); it is then compiled without counting references, which makes helpers that are handed many arrays several
    times faster and halves the time to compile them. ``inner=True`` is for what only other kernels call: it gets no
    door from Python, which costs longer to compile than a small function itself. ``pasted=True`` is ``inner=True`` for
    helpers that are handed so many arrays that the call costs more than what they do: their machine code goes into
    each caller, without compiling their Python again as ``inline`` does.

    Dividing by zero gives inf or nan, as in numpy, instead of an exception.
    """
    options: dict[str, Any] = {"cache": True, "nogil": True, "fastmath": False, "error_model": "numpy"}
    options["no_cfunc_wrapper"] = True
    if inline:
        options["inline"] = "always"
    if inner or pasted:
        options["no_cpython_wrapper"] = True
    if pasted:
        options["forceinline"] = True
    compiled = _without_counting(options) if not allocates else _numba.njit(**options)
    return compiled if function is None else compiled(function)


def _without_counting(options: dict[str, Any]) -> Any:
    """numba's switch for this is not part of its public face: where a version lacks it, only speed is lost."""
    try:
        return _numba.njit(_nrt=False, **options)
    except (KeyError, TypeError):
        return _numba.njit(**options)
