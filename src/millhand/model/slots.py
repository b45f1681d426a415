"""The numbers of a cell by their pointers: read one, or scale those that `origins` ties to facts."""

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from annotated_types import Ge, Le

from millhand.model.cell import Cell, MoveTable
from millhand.model.grid import grid_steps
from millhand.model.gridded import placed_on_grid
from millhand.model.handling import Element
from millhand.model.limits import field_limits
from millhand.model.span import Span
from millhand.model.written import NAMES, escaped

Key = str | int
Tree = dict[Key, Any]  # key: Tree, or a factor at the end


class Child(NamedTuple):
    """One value inside another: what a pointer calls it, what the record calls it."""

    token: str
    key: Key
    value: Any


class Slot(NamedTuple):
    """One number or span of a cell, with its pointer and the limits of its field."""

    at: str
    value: float | int | Span
    limits: tuple[Any, ...]


def children(value: Any) -> Iterator[Child]:
    """What a record, list or map holds, under the names of the file."""
    if isinstance(value, Element):
        yield from (Child(str(i), name, getattr(value, name)) for i, name in enumerate(("name", "time_s", "side")))
    elif dataclasses.is_dataclass(value):
        names = NAMES.get(type(value), {})
        for each in dataclasses.fields(value):
            token, child = names.get(each.name, each.name), getattr(value, each.name)
            if token and child is not None:
                yield Child(token, each.name, child)
    elif isinstance(value, Mapping):
        yield from (Child(key, key, child) for key, child in value.items())
    elif isinstance(value, tuple):
        yield from (Child(str(i), i, child) for i, child in enumerate(value))


def slots(value: Any, at: str = "", limits: tuple[Any, ...] = ()) -> Iterator[Slot]:
    """Every number and every span inside a value, with pointers in file form."""
    if isinstance(value, Span) or (isinstance(value, int | float) and not isinstance(value, bool)):
        yield Slot(at, value, limits)
        return
    kind: Any = type(value)
    record = dataclasses.is_dataclass(kind)
    for token, key, child in children(value):
        own = field_limits(kind, str(key)) if record else limits
        yield from slots(child, f"{at}/{escaped(token)}", own)


def path_of(cell: Cell, pointer: str) -> tuple[Key, ...]:
    """The keys that lead from the cell to the number or span at a pointer; LookupError where there is none.

    Loaded moves are found by row and column, and by their pair, `/moves/hoist/loaded_s/s0 s1`.
    """
    if not pointer.startswith("/"):
        raise LookupError(pointer)
    path: list[Key] = []
    value: Any = cell
    for text in pointer[1:].split("/"):
        token = text.replace("~1", "/").replace("~0", "~")
        value, more = follow(value, token, pointer)
        path.extend(more)
    return tuple(path)


def follow(value: Any, token: str, pointer: str) -> tuple[Any, tuple[Key, ...]]:
    """One token further: the value there and the keys that lead to it."""
    if isinstance(value, MoveTable) and token == "loaded_s" and value.loaded_s is not None:
        return Loaded(value.places, value.loaded_s), ("loaded_s",)
    if isinstance(value, Loaded):
        ends = token.split()
        if len(ends) == 2 and set(ends) <= set(value.places):
            i, j = (value.places.index(end) for end in ends)
            return value.rows[i][j], (i, j)
        value = value.rows
    for child in children(value):
        if child.token == token:
            return child.value, (child.key,)
    raise LookupError(pointer)


class Loaded(NamedTuple):
    """Loaded moves on the way of a pointer."""

    places: tuple[str, ...]
    rows: tuple[tuple[float | None, ...], ...]


def value_at(value: Any, path: tuple[Key, ...]) -> Any:
    """What stands at the end of a path."""
    for key in path:
        value = getattr(value, str(key)) if dataclasses.is_dataclass(value) else value[key]
    return value


def pointer_get(cell: Cell, pointer: str) -> float | Span:
    """The number at a JSON pointer of the file form, or the span when it is a distribution; LookupError if neither."""
    value = value_at(cell, path_of(cell, pointer))
    if isinstance(value, Span):
        return value.mean_s if value.dist == "constant" else value
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise LookupError(pointer)
    return value


Paths = Mapping[str, tuple[Key, ...]]


def paths_of(cell: Cell) -> Paths:
    """The way to each number that `origins` names, for those who scale one cell many times."""
    return {pointer: path_of(cell, pointer) for pointer in cell.origins}


def scaled(cell: Cell, factors: Mapping[str, float], paths: Paths | None = None) -> Cell:
    """The cell with every number that `origins` ties to a fact multiplied by that fact's factor.

    Durations go back to the grid, whole numbers are rounded half up, and limits of a field cut the result (a share
    stays a share). A distribution keeps its shape: all its seconds scale together.
    """
    tree: Tree = {}
    for pointer, origin in cell.origins.items():
        factor = factors.get(origin.fact, 1.0)
        if factor != 1.0:
            *way, last = paths[pointer] if paths is not None else path_of(cell, pointer)
            branch = tree
            for key in way:
                branch = branch.setdefault(key, {})
            branch[last] = factor
    return edited(cell, tree, cell.grid_s, ()) if tree else cell


def edited(value: Any, tree: Tree | float, grid_s: float, limits: tuple[Any, ...]) -> Any:
    """A value with the factors of a tree applied."""
    if isinstance(tree, float | int):
        return times(value, tree, limits)
    if isinstance(value, tuple):
        return tuple(edited(item, tree[i], grid_s, limits) if i in tree else item for i, item in enumerate(value))
    if isinstance(value, Mapping):
        return {key: edited(item, tree[key], grid_s, limits) if key in tree else item for key, item in value.items()}
    kind: Any = type(value)
    changed: dict[str, Any] = {}
    for key, branch in tree.items():
        name = str(key)
        new = edited(getattr(value, name), branch, grid_s, field_limits(kind, name))
        on_grid = leaf(branch) and not isinstance(value, Span)
        changed[name] = placed_on_grid(value, name, new, grid_s) if on_grid else new
    return dataclasses.replace(value, **changed)


def leaf(branch: Any) -> bool:
    """Whether a branch of the tree ends at a number or inside a list of numbers."""
    return not isinstance(branch, dict) or all(isinstance(key, int) and leaf(more) for key, more in branch.items())


def times(value: Any, factor: float, limits: tuple[Any, ...]) -> Any:
    """A number or a span times a factor, within the limits of its field."""
    if isinstance(value, Span):
        seconds = ("mean_s", "low_s", "mode_s", "high_s")
        changed = {name: getattr(value, name) * factor for name in seconds if getattr(value, name) is not None}
        values_s = None if value.values_s is None else tuple(one * factor for one in value.values_s)
        return dataclasses.replace(value, **changed, values_s=values_s)
    product = value * factor
    for limit in limits:
        product = max(product, limit.ge) if isinstance(limit, Ge) else product
        product = min(product, limit.le) if isinstance(limit, Le) else product
    return grid_steps(float(product), grid_s=1.0) if isinstance(value, int) else product
