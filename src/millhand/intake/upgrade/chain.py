"""Older formats are read by upgrading them: one dict -> dict function for each step of the format number."""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from millhand.errors import InputError

Data = dict[str, Any]
Upgrade = Callable[[Data], Data]  # from number n to n + 1, `format` aside


def upgraded(data: Mapping[str, Any], *, family: str, steps: Sequence[Upgrade]) -> Data | InputError:
    """The data in the newest format of its family, or the error at `/format`.

    `steps[0]` leads from number 1 to 2, and so on: the newest number is one more than there are steps.
    """
    newest = len(steps) + 1
    written = data.get("format")
    wanted = f"{family}/{newest}"
    if written is None:
        return InputError("/format", "nothing", f"{wanted!r}", "missing_format")
    match = re.fullmatch(re.escape(family) + r"/([1-9][0-9]{0,3})", written) if isinstance(written, str) else None
    if match is None:
        return InputError("/format", str(written)[:60], f"{wanted!r}", "unknown_format")
    number = int(match[1])
    if number > newest:
        write = f"{wanted!r}, the newest that this version reads, or take a newer version of millhand"
        return InputError("/format", str(written), write, "newer_format")
    result = dict(data)
    for step in steps[number - 1 :]:
        result = step(result)
    return {**result, "format": wanted}
