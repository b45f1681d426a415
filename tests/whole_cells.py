"""What must hold in the run of any cell, and how runs of random cells end: for property tests, soak runs, found cells.

Each cell is made from its number alone, so whatever is found can be made again.

A cell that cannot go on says so by an error with a code (two part types that lock each other up, a store that grows
without end, times of nothing): that is a clear result. Whatever ends in another way is wrong.
"""

from random import Random

import numpy as np
from hypothesis.internal.conjecture.data import ConjectureData
from hypothesis.internal.conjecture.providers import BytestringProvider

from millhand.errors import InputError, InputErrors, NotYet, ToolError
from millhand.intake.cell import cell_from
from millhand.model.cell import Cell
from millhand.solvers.kernel.codes import LOG_OUT, PROCESS, SINK, STORE, SUPPLY, WORK
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts, counts_of
from millhand.solvers.kernel.layout import Compiled
from millhand.solvers.kernel.running import Finished, at_start, ready, run_on
from tests.cells_draws import Data
from tests.cells_strategy import FEATURES, cell_forms
from tests.solvers.kernel import shop

ROOM = 32_768
SEED, REPLICATION = 7, 1
CLEAR = ("deadlock", "store_grows", "no_progress")
MOVES = ("parts", "picked", "gauged")  # what cannot rise any more in a deadlock


def form_of(number: int, features: frozenset[str] = FEATURES) -> Data:
    """The file form of the random cell of this number, with at most these features."""
    kw = {"bytestring": Random(number).randbytes(ROOM)}  # nothing but these bytes, in whatever program they are read
    found: Data = ConjectureData(random=None, provider=BytestringProvider, provider_kw=kw).draw(cell_forms(features))
    return found


def cuts_of(number: int) -> list[float]:
    """At which shares of its horizon the run of this number is stopped and looked at."""
    chance = Random(number)
    return [chance.random() for _ in range(chance.randrange(5))]


def outcome(form: Data, hours: float, cuts: list[float]) -> str:
    """How the run of a cell ended: `balanced`, the code of a clear error, `not valid` or `refused by name`; an
    AssertionError says what is wrong. `cuts` are the shares of the horizon at which the run is stopped and looked at.
    A deadlock `for a while` is one that the turn of some hours or the loss of a part by a fault has ended.
    """
    try:
        cell = cell_from(form)
        c = compiled(cell)
        ready(c)
    except (InputError, InputErrors):
        return "not valid"
    except NotYet:
        return "refused by name"
    horizon = round(hours * 3600 / cell.grid_s)
    sliced, ended = ended_run(c, cell, sorted({round(share * horizon) for share in cuts} | {horizon}))
    whole, ended_whole = ended_run(c, cell, [horizon], logging=False)
    if ended == "deadlock":  # it is looked for at turns of hours and at the end, so it may be found sooner or later
        return "deadlock for a while" if moved_on(sliced, whole) else ended
    assert ended == ended_whole, f"{ended} in slices with a log, {ended_whole} in one piece without"
    if ended == "balanced":
        differs = differing(counts_of(whole), counts_of(sliced))
        assert not differs, f"in one piece and without a log it counts otherwise: {differs}"
    return ended


def ended_run(c: Compiled, cell: Cell, slices: list[int], *, logging: bool = True) -> tuple[Finished, str]:
    """A run that was stopped and looked at here and there, and how it ended."""
    run = Finished(c=c, k=at_start(c, SEED, logging=logging).copy().view(np.recarray)[0])
    run.k.replication, run.k.logging = REPLICATION, logging
    for end in slices:
        code, words = gone_on(run, end)
        if code:
            assert code in CLEAR, words
            return run, code
        wrong = wrongs_of(run, cell, end)
        assert not wrong, f"at {end * cell.grid_s:g} s: {wrong}"
    return run, "balanced"


def gone_on(run: Finished, horizon: int) -> tuple[str, str]:
    """Code and words of the error by which a run ended before its horizon; nothing where it got there."""
    try:
        run_on(run, horizon)
    except ToolError as trouble:
        return trouble.code, str(trouble)
    return "", ""


def moved_on(locked: Finished, later: Finished) -> list[str]:
    """The counts that rose after a deadlock was found."""
    return [
        name for name, count in shop.counts_of(locked).items() if name in MOVES and shop.counts_of(later)[name] > count
    ]


def differing(one: Counts, other: Counts) -> list[str]:
    """The figures that differ; levels, which are sums of floats, to nine digits."""
    names = [name for name in Counts.__dataclass_fields__ if name != "levels"]
    found = [name for name in names if getattr(one, name) != getattr(other, name)]
    levels = zip(one.levels, other.levels, strict=True)
    return found + ["levels"] * any(abs(a - b) > 1e-9 * max(abs(a), abs(b), 1) for a, b in levels)


def wrongs_of(run: Finished, cell: Cell, horizon: int) -> list[str]:
    """What does not add up in a run that has reached a horizon."""
    return [*wrong_parts(run, cell), *wrong_times(run, horizon), *wrong_stocks(run)]


def wrong_parts(run: Finished, cell: Cell) -> list[str]:
    """Parts: lifted = left + inside, left = good + scrapped + escaped, by type and by hour of the day alike."""
    counts, k, found = shop.counts_of(run), run.k, []
    left = counts["good"] + counts["scrapped"] + counts["escaped"]
    inside, types = shop.in_cell(run), run.c.size.parts
    if counts["picked"] != left + inside:
        found.append(f"{counts['picked']} lifted, {left} left, {inside} inside")
    if counts["parts"] != left:
        found.append(f"{counts['parts']} parts, {left} left")
    if counts["parts"] != counts["attended"] + counts["unattended"]:
        found.append("parts with and without people do not add up")
    if counts["parts"] != k.p_out[:types].sum() or counts["picked"] != k.p_given[:types].sum():
        found.append("parts by type do not add up")
    if len(k.free) - k.free_count != inside:
        found.append(f"{len(k.free) - k.free_count} numbers of parts in use, {inside} inside")
    if counts["late"] != k.s_late.sum():
        found.append("late parts by station do not add up")
    if counts["late"] > counts["picked"] or min(counts.values()) < 0:
        found.append(f"counts {counts}")
    lots = {name: part.lot.size * part.lot.count for name, part in cell.parts.items() if part.lot is not None}
    for at, name in enumerate(cell.parts):
        if name in lots and k.p_given[at] > lots[name]:
            found.append(f"{k.p_given[at]} of {lots[name]} {name} lifted")
    out = sum(1 for line in run.log if line[1] == LOG_OUT)
    lost = counts["parts"] - out  # scrapped where they were
    return [*found, *([f"{out} put out, {counts['parts']} parts"] if lost < 0 else [])]


def wrong_times(run: Finished, horizon: int) -> list[str]:
    """Every station and everybody is somewhere at every moment, and only once."""
    names = (*run.c.station_names, *run.c.attendant_names)
    books = dict(zip(names, shop.books_of(run), strict=True))
    return [f"{name}: {book}" for name, book in books.items() if sum(book) != horizon or min(book) < 0]


def wrong_stocks(run: Finished) -> list[str]:
    """No stock below nothing or above its room, no hand that holds more than it can, nothing that goes on before it
    stood."""
    c, k, found = run.c, run.k, []
    for s, name in enumerate(c.station_names):
        stock, room, kind = int(k.s_stock[s]), c.stations.capacity[s], c.stations.kind[s]
        if stock < 0 or (kind in (STORE, SINK, SUPPLY) and 0 <= room < stock):
            found.append(f"{name} holds {stock} of {room}")
        if kind == PROCESS and not 0 <= k.s_inside[s] <= c.stations.batch[s]:
            found.append(f"{name} holds {k.s_inside[s]} of a load of {c.stations.batch[s]}")
        if bool(k.working >> s & 1) != (k.s_mode[s] == WORK):
            found.append(f"{name} works by one book only")
        if k.s_claimed[s] < 0 or k.s_expected[s] < 0:
            found.append(f"{name} is promised {k.s_claimed[s]} and {k.s_expected[s]} times")
        if min(k.s_down[s], k.s_worn[s], k.s_held[s], k.s_trouble[s]) < 0:
            found.append(f"{name} is stopped less often than never")
    for a, name in enumerate(c.attendant_names):
        if k.a_halted[a] < 0:
            found.append(f"{name} is stopped less often than never")
        if not 0 <= k.a_holds[a] <= len(k.a_hand[a]):
            found.append(f"{name} holds {k.a_holds[a]} parts")
    return found
