"""How a function of the event loop is compiled: for whole numbers in records, without Python around it.

The loop is some hundred and fifty small functions. Compiled one by one in the ordinary way each of them would be
optimised with all that it calls, so that the innermost would be optimised a hundred times over: a minute in all.
`at_once` lets the compiler only translate the inner ones and optimise the whole a single time, in the entry. Where the
compiler's parts are not as they were when this was written it falls back on the ordinary way, which is slow and right.
What the compiler cannot know is how often something happens: `often` and `seldom` tell it.
"""

import hashlib
import platform
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, TypeVar, cast

import llvmlite
import numba
from numba import njit, types
from numba.core import callconv, codegen, cpu
from numba.core.compiler import CompileResult
from numba.core.registry import cpu_target
from numba.np import arrayobj

Function = TypeVar("Function", bound=Callable[..., Any])
Record = Any  # the cell or the run: one numpy record each, whose fields fields.py lists


MARKED: dict[str, tuple[str, ...]] = {}  # what the compiler is told about functions, by a piece of their long names


def often(function: Function) -> Function:
    """An inner function of which each caller gets a copy: it runs so often that a call would cost more."""
    MARKED[f"{len(function.__name__)}{function.__name__}B"] = ("alwaysinline",)
    return inner(function)


def seldom(function: Function) -> Function:
    """An inner function that is kept apart, so that what runs often stays short."""
    MARKED[f"{len(function.__name__)}{function.__name__}B"] = ("cold", "noinline")
    return inner(function)


def inner(function: Function) -> Function:
    """A function that only others of the loop call."""
    made: Any = njit(nogil=True, error_model="numpy", no_cpython_wrapper=True, no_cfunc_wrapper=True, _nrt=False)(
        function
    )
    if hasattr(made, "get_call_template"):  # not where everything is interpreted
        as_given = made.get_call_template

        def of_any_number(args: Any, kws: Any) -> Any:
            """One translation for all numbers, not one more for each constant that is passed."""
            return as_given(tuple(types.unliteral(each) for each in args), kws)

        made.get_call_template = of_any_number
    return cast(Function, made)


def entry(function: Function) -> Function:
    """A function that Python calls; its machine code is kept in the folder of the kernel's cache."""
    made: Function = njit(nogil=True, error_model="numpy", no_cfunc_wrapper=True, _nrt=False)(function)
    return made


def _with_all_below(library: Any) -> list[Any]:
    """The libraries that one links and all that those link, each before those that it links: what nobody has asked for
    yet is not taken in by the linker."""
    done: list[Any] = []
    begun: set[int] = set()

    def visit(each: Any) -> None:
        begun.add(id(each))
        for below in each._linking_libraries:
            if id(below) not in begun:
                visit(below)
        done.append(each)

    visit(library)
    return done[-2::-1]


@contextmanager
def at_once(name: str) -> Iterator[None]:
    """Inside, functions are only translated; what is called `name` is linked with all of them and optimised."""
    library, context = codegen.JITCodeLibrary, cpu.CPUContext
    finalize, executable = library.finalize, context.get_executable

    def light_or_whole(self: Any) -> None:
        if self.name == name:
            for below in _with_all_below(self):
                self._final_module.link_in(below._get_module_for_linking(), preserve=True)
            self._linking_libraries = []
            for function in self._final_module.functions:
                if not function.is_declaration and name not in function.name:
                    function.linkage = "internal"  # so that what has one caller becomes part of it
                    for mark, words in MARKED.items():
                        for word in words if mark in function.name else ():
                            function.add_function_attribute(word)
            finalize(self)
        else:
            self._raise_if_finalized()
            self._finalized = True

    def none_or_whole(self: Any, whose: Any, description: Any, env: Any) -> Any:
        if whose.name == name:
            return executable(self, whose, description, env)
        return cpu._dynfunc.make_function(
            description.lookup_module(), description.qualname.split(".")[-1], "", 0, env, (whose,)
        )

    def as_it_is(context: Any, builder: Any, kind: Any, index: Any, _size: Any) -> Any:
        """Indices are never negative here, so none is turned round to count from the end."""
        return context.cast(builder, index, kind, types.intp if kind.signed else types.uintp)

    def apart(self: Any, fn: Any, args: Any, fe_argtypes: Any, noalias: bool = False) -> None:
        """The cell and the run never overlap, so what is read of the cell stays known when the run is written."""
        decorated(self, fn, args, fe_argtypes, noalias=True)

    turned, told = arrayobj.fix_integer_index, types.Record.__repr__
    decorated = callconv.CPUCallConv.decorate_function
    callconv.CPUCallConv.decorate_function = apart
    library.finalize, context.get_executable = light_or_whole, none_or_whole
    arrayobj.fix_integer_index = as_it_is
    types.Record.__repr__ = lambda _: (
        "Record"
    )  # which the compiler asks for at each step: 250 fields in words take time
    try:
        yield
    finally:
        library.finalize, context.get_executable = finalize, executable
        arrayobj.fix_integer_index, types.Record.__repr__ = turned, told
        callconv.CPUCallConv.decorate_function = decorated


def signature_of(cell_type: Any, run_type: Any) -> Any:
    """The types that the entry takes: an array of cells, one of runs, a whole number."""
    from numba.np import numpy_support

    cell, run = numpy_support.from_struct_dtype(cell_type), numpy_support.from_struct_dtype(run_type)
    return types.Array(cell, 1, "C"), types.Array(run, 1, "C"), types.int64


def machine_name(shape: Any) -> str:
    """A file name for machine code: the shape, the compiler, the processor."""
    magic = cpu_target.target_context.codegen().magic_tuple()
    words = f"{tuple(shape)} {numba.__version__} {llvmlite.__version__} {platform.python_version()} {magic}"
    return hashlib.sha256(words.encode()).hexdigest()[:24]


def compiled_code(run_to: Any, signature: Any) -> Any:
    """Compile the entry for a signature; what comes back can be pickled and taken up by another process."""
    if signature not in run_to.overloads:
        with at_once(run_to.__name__):
            run_to.compile(signature)
    return run_to.overloads[signature]._reduce()


def take_code(run_to: Any, signature: Any, parts: Any) -> bool:
    """Take up what another process has compiled."""
    context = cpu_target.target_context
    context.refresh()
    made = CompileResult._rebuild(context, *parts)
    run_to.add_overload(made)
    return signature in run_to.overloads
