"""Load bounds in words."""

from millhand.model.cell import Cell
from millhand.solvers.cycle.loads.sharing import Shared


def words_of(cell: Cell, set_size: int, name: str, long_run: float, bare: float) -> str:
    """A bound in words, per part of a set; `bare` is the same mix without stops, duties and scrap."""
    per_part = long_run * cell.grid_s / set_size
    extra = (long_run - bare) * cell.grid_s / set_size
    beside = ""
    if abs(extra) > 1e-9 * max(1.0, per_part):
        gate = any(each.kind == "gate" and at in name.replace(",", "").split() for at, each in cell.stations.items())
        why = "one at a time comes there" if gate else "no part leaves early"
        less = f", {-extra:.3g} s less than in the cycle, where {why}"
        beside = f", {extra:.3g} s of it for stops, duties and scrap" if extra > 0 else less
    verb = "need" if " and " in name else "needs"
    return f"{name} {verb} at least {per_part:.6g} s a part{beside}"


def name_of(shared: Shared) -> str:
    """A group of resources by name: 'm1, m2 and m3'."""
    *first, last = shared.resources
    return f"{', '.join(first)} and {last}" if first else last
