"""The only use of numba: `kernel` compiles a function on its first call and keeps the machine code on disk.

Importing this module imports numba, which takes longer than the rest of the library together. Only modules with kernels
import it, and those modules are imported inside the functions that need them.

Kernels never use fastmath (results are compared byte by byte), release the interpreter lock, and take their random
state as an argument, so that the same input gives the same output.
"""

from __future__ import annotations

import importlib
import pickle
import warnings
from collections.abc import Callable
from typing import Any, ParamSpec, TypeVar, overload

Parameters = ParamSpec("Parameters")
Result = TypeVar("Result")

# numba has no type stubs; importlib makes it a plain Any, whatever the type checker is told about it.
_numba: Any = importlib.import_module("numba")
_Dispatcher: Any = importlib.import_module("numba.core.registry").CPUDispatcher


class _Inner(_Dispatcher):  # type: ignore[misc]
    """A kernel that Python cannot call: it has no code to convert Python's values."""

    def __call__(self, *_: object, **__: object) -> Any:
        name = self.py_func.__qualname__
        raise TypeError(f"{name} is called by other kernels only; from Python call {name}.py_func")


@overload
def kernel(function: Callable[Parameters, Result], /) -> Callable[Parameters, Result]: ...
@overload
def kernel(
    *, allocates: bool = True, inner: bool = False, pasted: bool = False
) -> Callable[[Callable[Parameters, Result]], Callable[Parameters, Result]]: ...
def kernel(function: Any = None, /, *, allocates: bool = True, inner: bool = False, pasted: bool = False) -> Any:
    """Compile a function with numba, keeping its signature for the type checker.

    Use as `@kernel`, or with options. ``allocates=False`` promises that the function makes no arrays (views are fine);
    it is then compiled without reference counting, which makes helpers that take many arrays several times faster and
    halves their compile time. ``inner=True`` is for kernels that only other kernels call: it skips the entry point for
    Python, which takes longer to compile than a small function itself; calling it from Python raises `TypeError`.
    ``pasted=True`` is ``inner=True`` for helpers that take so many arrays that the call costs more than their work:
    their machine code goes into each caller.

    Dividing by zero gives inf or nan, as in numpy, instead of an exception. If the machine code cannot be kept on disk,
    one warning says so, and every process compiles again.
    """
    options: dict[str, Any] = {"nogil": True, "fastmath": False, "error_model": "numpy", "no_cfunc_wrapper": True}
    if inner or pasted:
        options["no_cpython_wrapper"] = True
    if pasted:
        options["forceinline"] = True

    def compiled(function: Any) -> Any:
        made = _without_counting(options)(function) if not allocates else _numba.njit(**options)(function)
        if isinstance(made, _Dispatcher):  # else compiling is switched off, and it is plain Python
            _keep(made)
            if inner or pasted:
                made.__class__ = _Inner
        return made

    return compiled if function is None else compiled(function)


def _without_counting(options: dict[str, Any]) -> Any:
    """numba's switch for this is not public: in a version without it, only speed is lost."""
    try:
        return _numba.njit(_nrt=False, **options)
    except (KeyError, TypeError):
        return _numba.njit(**options)


_STALE = (AttributeError, ImportError, EOFError, pickle.UnpicklingError)
"""What reading kept code may raise if it refers to values that no longer exist."""


def _keep(made: Any) -> None:
    """Keep the machine code on disk, if there is a place for it."""
    try:
        made.enable_caching()
    except RuntimeError:
        _warn_once("no folder for compiled kernels can be written")
        return
    cache = made._cache
    load, save = cache.load_overload, cache.save_overload

    def loaded(*what: Any) -> Any:
        try:
            return load(*what)
        except _STALE:
            # An earlier version of the library left it there.
            cache.flush()
            return None

    def saved(*what: Any) -> None:
        try:
            save(*what)
        except OSError as error:
            _warn_once(f"compiled kernels cannot be kept in {cache.cache_path}: {error.strerror or error}")

    cache.load_overload, cache.save_overload = loaded, saved


_warned: list[str] = []


def _warn_once(what: str) -> None:
    if not _warned:
        _warned.append(what)
        warnings.warn(f"{what}; set NUMBA_CACHE_DIR, or each run compiles them again", stacklevel=2)
