"""The only use of numba: `kernel` compiles a function on its first call and keeps the machine code in the user's cache.

Importing this module imports numba, which takes longer than the rest of the library together. Only modules with kernels
import it, and those modules are imported inside the functions that need them.

Kernels never use fastmath (results are compared byte by byte), release the interpreter lock, and take their random
state as an argument, so that the same input gives the same output.
"""

from __future__ import annotations

import importlib
import logging
import pickle
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from contextvars import ContextVar
from pathlib import Path
from typing import Any, ParamSpec, TypeVar, overload

import platformdirs

import pathkit

Parameters = ParamSpec("Parameters")
Result = TypeVar("Result")

# numba has no type stubs; importlib makes it a plain Any, whatever the type checker is told about it.
_numba: Any = importlib.import_module("numba")
_types: Any = importlib.import_module("numba.core.types")
_Dispatcher: Any = importlib.import_module("numba.core.registry").CPUDispatcher


def _callee_compiler() -> Any:
    """numba's compiler, less what a kernel does not need whose code becomes a part of its callers.

    numba optimises each callee by itself and makes machine code of it, and then once more within every caller. That
    takes as long again for every level of calls, and nothing would run it. None if this version of numba is built
    otherwise: then only time is lost.
    """
    try:
        compiler: Any = importlib.import_module("numba.core.compiler")
        machinery: Any = importlib.import_module("numba.core.compiler_machinery")
        annotate: Any = importlib.import_module("numba.core.typed_passes").AnnotateTypes
        library: Any = importlib.import_module("numba.core.codegen").JITCodeLibrary

        class PartOfCaller(library):  # type: ignore[misc]
            def _optimize_final_module(self) -> None:
                pass

            def _finalize_final_module(self) -> None:
                self._finalize_dynamic_globals()
                self._finalized = True

            def get_pointer_to_function(self, _: str) -> int:
                self._ensure_finalized()
                return 0

            @property
            def codegen(self) -> Any:
                return self

            def set_env(self, name: str, env: object) -> None:
                """Nothing runs this code, so nothing needs its environment."""

        @machinery.register_pass(mutates_CFG=False, analysis_only=True)
        class ForCallers(machinery.AnalysisPass):  # type: ignore[misc]
            _name = "pathkit_for_callers"

            def __init__(self) -> None:
                super().__init__()

            def run_pass(self, state: Any) -> bool:
                state.library = PartOfCaller(state.targetctx.codegen(), state.func_id.func_qualname)
                return True

        class CalleeCompiler(compiler.CompilerBase):  # type: ignore[misc]
            def define_pipelines(self) -> list[Any]:
                passes = compiler.DefaultPassBuilder.define_nopython_pipeline(self.state)
                passes.add_pass_after(ForCallers, annotate)
                passes.finalize()
                return [passes]

    except (ImportError, AttributeError, TypeError):
        return None
    return CalleeCompiler


_CalleeCompiler: Any = _callee_compiler()


class _Kernel(_Dispatcher):  # type: ignore[misc]
    """A kernel: compiled with an entry for Python when Python calls it, and as a part of each kernel that calls it."""

    callee: Any

    def get_call_template(self, args: tuple[Any, ...], kws: dict[str, Any]) -> Any:
        return self.callee.get_call_template(
            tuple(map(_widened, args)), {name: _widened(kind) for name, kind in kws.items()}
        )

    def get_overload(self, sig: Any) -> Any:
        return self.callee.get_overload(sig)


def _widened(kind: Any) -> Any:
    """The type that a callee is compiled for: numbers of one sort have one width, so that one instance serves all."""
    kind = _types.unliteral(kind)
    if isinstance(kind, _types.Integer) and kind not in (_types.uint64, _types.uintp):
        return _types.int64
    return _types.float64 if isinstance(kind, _types.Float) else kind


@overload
def kernel(function: Callable[Parameters, Result], /) -> Callable[Parameters, Result]: ...
@overload
def kernel(
    *, allocates: bool = True, pasted: bool = False
) -> Callable[[Callable[Parameters, Result]], Callable[Parameters, Result]]: ...
def kernel(function: Any = None, /, *, allocates: bool = True, pasted: bool = False) -> Any:
    """Compile a function with numba, keeping its signature for the type checker.

    Use as `@kernel`, or with options. ``allocates=False`` promises that the function makes no arrays (views are fine);
    it is then compiled without reference counting, which makes helpers that take many arrays several times faster and
    halves their compile time. ``pasted=True`` is for helpers that take so many arrays that the call costs more than
    their work: their machine code goes into each caller.

    What only other kernels call gets no machine code of its own and is not kept: it is a part of its callers. Calling
    it from Python works too, and compiles it for that.

    Dividing by zero gives inf or nan, as in numpy, instead of an exception. If the machine code cannot be kept on disk,
    one warning says so, and every process compiles again.
    """
    options: dict[str, Any] = {"nogil": True, "fastmath": False, "error_model": "numpy", "no_cfunc_wrapper": True}

    def compiled(function: Any) -> Any:
        make = _njit if allocates else _without_counting
        made = make(options)(function)
        if isinstance(made, _Dispatcher):  # else compiling is switched off, and it is plain Python
            for_callers = {**options, "no_cpython_wrapper": True}
            if _CalleeCompiler is not None:
                for_callers["pipeline_class"] = _CalleeCompiler
            if pasted:
                for_callers["forceinline"] = True
            made.callee = make(for_callers)(function)
            made.__class__ = _Kernel
            _keep(made)
        return made

    return compiled if function is None else compiled(function)


def _njit(options: dict[str, Any]) -> Any:
    return _numba.njit(**options)


def _without_counting(options: dict[str, Any]) -> Any:
    """numba's switch for this is not public: in a version without it, only speed is lost."""
    try:
        return _numba.njit(_nrt=False, **options)
    except (KeyError, TypeError):
        return _numba.njit(**options)


def is_kept(function: object) -> bool:
    """Whether the machine code of a kernel is kept on disk."""
    made: Any = function
    return isinstance(made, _Kernel) and hasattr(made._cache, "cache_path") and made._cache.cache_path is not None


def is_compiled(function: object) -> bool:
    """Whether a kernel need not be compiled any more: its machine code is in memory or on disk."""
    made: Any = function
    if not isinstance(made, _Kernel) or made.signatures:
        return True  # without compiling a kernel is plain Python
    # numba has no public question for this; where the private one is gone, the answer is no.
    with suppress(*_STALE):
        return bool(made._cache._cache_file._load_index())
    return False


_STALE = (AttributeError, ImportError, EOFError, pickle.UnpicklingError)
"""What reading kept code may raise if it refers to values that no longer exist."""


_LOG = logging.getLogger(__name__)

_announce: ContextVar[Callable[[str], None] | None] = ContextVar("announce", default=None)


@contextmanager
def announcing(tell: Callable[[str], None]) -> Iterator[None]:
    """Within this context ``tell`` is called with a message before each kernel that must be compiled."""
    before = _announce.set(tell)
    try:
        yield
    finally:
        _announce.reset(before)


def _compiling(made: Any) -> None:
    message = f"compiling {made.py_func.__module__}.{made.py_func.__name__}, once"
    _LOG.info(message)
    if (tell := _announce.get()) is not None:
        tell(message)


def _cache_kind() -> Any:
    """numba's cache, in the user's folder for such files: an installation stays as it was installed, may be read-only,
    and leaves nothing among the modules. A release has a folder of its own, since code is kept with the values it was
    compiled with. ``NUMBA_CACHE_DIR`` comes first. None if this version of numba is built otherwise: it then keeps the
    code where it likes.
    """
    try:
        caching: Any = importlib.import_module("numba.core.caching")
        kind: Any = caching.FunctionCache
        user: Any = caching.UserWideCacheLocator
        chosen: Any = caching.UserProvidedCacheLocator
        runtime: Any = importlib.import_module("numba.core.runtime.nrt").rtsys
        llvm: Any = importlib.import_module("llvmlite.binding")

        class InUserFolder(user):  # type: ignore[misc]
            def __init__(self, function: Any, file: str) -> None:
                super().__init__(function, file)
                self._cache_path = str(folder() / self.get_suitable_cache_subpath(file))

        class Implementation(kind._impl_class):  # type: ignore[misc]
            _locator_classes = (chosen, InUserFolder)

            def reduce(self, made: Any) -> Any:
                """What is kept, less the code in the form in which other code could take it in: nothing takes in a
                kernel that Python calls (see `_Kernel`), and that form takes longer to read than the machine code."""
                whole = super().reduce(made)
                try:
                    library, described, *rest = whole
                    name, form, (code, _) = library
                except (TypeError, ValueError):
                    return whole
                symbols = (described.llvm_func_name, described.llvm_cpython_wrapper_name)
                stubs = "".join(f'define void @"{symbol}"() {{ ret void }}\n' for symbol in symbols)
                return ((name, form, (code, llvm.parse_assembly(stubs).as_bitcode())), described, *rest)

        class KernelCache(kind):  # type: ignore[misc]
            _impl_class = Implementation

            def load_overload(self, signature: Any, context: Any) -> Any:
                """numba's way, less loading the implementations of all of Python and numpy: only compiling needs them,
                and loads them itself."""
                runtime.initialize(context)
                with self._guard_against_spurious_io_errors():
                    return self._load_overload(signature, context)

    except (ImportError, AttributeError, TypeError):
        return None
    return KernelCache


def folder() -> Path:
    """Where machine code is kept unless ``NUMBA_CACHE_DIR`` says otherwise: it may be deleted at any time."""
    return platformdirs.user_cache_path("pathkit", appauthor=False) / pathkit.__version__


_Cache: Any = _cache_kind()


def _keep(made: Any) -> None:
    """Keep the machine code on disk, if there is a place for it, and say so before any is made."""
    try:
        if _Cache is None:
            made.enable_caching()
        else:
            made._cache = _Cache(made.py_func)
    except RuntimeError:
        _warn_once("no folder for compiled kernels can be written")
    cache = made._cache
    load, save = cache.load_overload, cache.save_overload

    def loaded(*what: Any) -> Any:
        try:
            found = load(*what)
        except _STALE:
            # An earlier version of the library left it there.
            cache.flush()
            found = None
        if found is None:
            _compiling(made)
        return found

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
