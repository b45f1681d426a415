"""The starters: generic cells as starting points, each with an inquiry that runs."""

import difflib
from collections.abc import Mapping
from functools import cache
from pathlib import Path

from millhand.catalogue.words import DATA, data_of
from millhand.errors import InputError
from millhand.model.starter import Starter

FOLDER = DATA / "starters"


@cache
def starters() -> Mapping[str, Starter]:
    """All of them by name, in the order of the file."""
    return {
        name: Starter(
            id=name, title=each["title"], what=each["what"], fits=tuple(each["fits"]), fits_not=tuple(each["fits_not"]),
            concept=each["concept"], lacks=each.get("lacks", ""),
        )
        for name, each in data_of("starters.toml").items()
    }  # fmt: skip


def starter_named(name: str, where: str) -> Starter:
    """The starter of that name; `where` it was named."""
    known = starters()
    if name not in known:
        near = "".join(f" (did you mean {one!r}?)" for one in difflib.get_close_matches(name, known, n=1, cutoff=0.3))
        raise InputError(where, name, f"one of {', '.join(known)}{near}", "unknown_starter")
    return known[name]


def inquiry_of_starter(name: str) -> Path:
    """The file of its inquiry."""
    return FOLDER / f"{name}.yaml"
