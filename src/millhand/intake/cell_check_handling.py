"""Handling rows of a cell by themselves: rows that count, exchanges with two hands, elements that add up."""

from collections.abc import Iterator

from millhand.errors import InputError
from millhand.model.cell import Cell
from millhand.model.handling import Handling, Visit


def row_for(cell: Cell, who: str, station: str, part: str | None) -> Handling | None:
    """The first row that fits an attendant at a station with a part."""
    return next((r for r in cell.handling if who in r.who and station in r.at and r.part in (None, part)), None)


def rows(cell: Cell) -> Iterator[InputError]:
    """Every row says something, and is not hidden behind rows before it."""
    counted: set[tuple[str, str, str | None]] = set()
    for i, row in enumerate(cell.handling):
        if row.pick is None and row.place is None and row.swap is None:
            yield InputError(
                f"/handling/{i}", "neither pick, place nor swap", "at least one of them", "row_says_nothing"
            )
        if row.miss is not None and row.pick is None:
            yield InputError(f"/handling/{i}/miss", "miss without pick", "a pick, which may miss", "miss_without_pick")
        own = {(who, station, row.part) for who in row.who for station in row.at}
        if own and all(key in counted or (*key[:2], None) in counted for key in own):
            write = "a row that adds something; rows before it fit everywhere and the first that fits counts"
            yield InputError(f"/handling/{i}", "a row that never counts", write, "row_hidden")
        counted |= own


def hands(cell: Cell) -> Iterator[InputError]:
    """Who swaps has two hands."""
    for i, row in enumerate(cell.handling):
        for j, who in enumerate(row.who):
            if row.swap is not None and who in cell.attendants and cell.attendants[who].hands < 2:
                write = "somebody with two hands; a swap takes the old part before the new one is put in"
                yield InputError(f"/handling/{i}/who/{j}", f"{who}, 1 hand", write, "swap_one_hand")


def elements(cell: Cell) -> Iterator[InputError]:
    """The elements add up to pick and place, and to the swap (means)."""
    for i, row in enumerate(cell.handling):
        if not row.elements:
            continue
        total = sum(element.time_s for element in row.elements)
        # Each number was rounded to the grid by at most half a step.
        slack = cell.grid_s * (len(row.elements) + 2) / 2 + 1e-9
        for names in (("pick", "place"), ("swap",)):
            visits = [visit for name in names if (visit := getattr(row, name)) is not None]
            held = sum(mean_hold_s(visit) for visit in visits)
            if visits and abs(total - held) > slack:
                holds = " + ".join(f"{name}.hold_s" for name in names if getattr(row, name) is not None)
                write = f"elements that add up to {holds}, {held:g} s"
                yield InputError(f"/handling/{i}/elements", f"{total:g} s together", write, "elements_sum")


def mean_hold_s(visit: Visit) -> float:
    """The mean time in which a visit binds both [s]."""
    return visit.hold_s.mean_s
