"""How a command ends: which trouble gives which exit code and which words on standard error.

0 done, 1 the tool failed, 2 the input is wrong, 3 the answer is no and the caller asked to be told so, 130 interrupted.
"""

import os
import sys
from collections.abc import Callable
from concurrent.futures import BrokenExecutor
from contextlib import suppress
from functools import wraps
from typing import ParamSpec, TypeVar

import click

from millhand.errors import Contradiction, InputError, InputErrors, ToolError
from millhand.run import Cancelled

DONE, FAILED, WRONG_INPUT, ANSWER_IS_NO, INTERRUPTED = 0, 1, 2, 3, 130

LOST = "a worker process was lost, most often because memory ran out; fewer --workers need less. Nothing was written."

P = ParamSpec("P")
R = TypeVar("R")


class Refused(Exception):
    """The answer is no, and the caller asked for an exit code that says so."""


TROUBLES = (InputError, InputErrors, ToolError, OSError, Refused, Cancelled, KeyboardInterrupt, BrokenExecutor)


def refuse(words: str, *, fail_on_no: bool) -> None:
    """End with exit 3 where the caller asked for it; else a 'no' is an answer like any other."""
    if fail_on_no:
        raise Refused(words)


def exits(function: Callable[P, R]) -> Callable[P, R]:
    """The same function, with its troubles turned into words and an exit code."""

    @wraps(function)
    def ended(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            result = function(*args, **kwargs)
            sys.stdout.flush()
        except TROUBLES as trouble:
            raise SystemExit(told(trouble)) from trouble
        return result

    return ended


def told(trouble: BaseException) -> int:
    """Say on standard error what went wrong; the exit code that belongs to it."""
    if isinstance(trouble, BrokenPipeError):
        abandon_output()  # who reads us has read enough, `millhand formula | head`: no trouble at all
        return DONE
    code, words = ending(trouble)
    if isinstance(trouble, OSError):
        abandon_output()
    with suppress(OSError):
        click.echo(words, err=True)
    return code


def ending(trouble: BaseException) -> tuple[int, str]:
    """The exit code and the words of one trouble."""
    if isinstance(trouble, InputError | InputErrors | Contradiction):
        return WRONG_INPUT, str(trouble)
    if isinstance(trouble, Refused):
        return ANSWER_IS_NO, str(trouble)
    if isinstance(trouble, Cancelled | KeyboardInterrupt):
        return INTERRUPTED, "millhand: interrupted; nothing was written."
    if isinstance(trouble, BrokenExecutor):
        return FAILED, f"millhand: {LOST}"
    if isinstance(trouble, OSError):
        place = f" ({trouble.filename})" if trouble.filename else ""
        return FAILED, f"millhand: {trouble.strerror or trouble}{place}."
    return FAILED, f"millhand: {trouble}"


def abandon_output() -> None:
    """Point standard output at nothing, so that the interpreter's last flush does not fail once more."""
    with suppress(OSError, ValueError):
        nothing = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nothing, sys.stdout.fileno())
        os.close(nothing)
