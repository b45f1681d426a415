"""Many cells simulated as one work that can be cut off: each chunk of replications is kept as soon as it is done.

A sweep is concepts x samples x replications: one cell for each concept and each sample of what is uncertain. Asked
again, on this machine or on a cluster, it goes on from the chunks that are kept, to the same bytes.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from millhand.model.canonical import content_hash
from millhand.model.cell import Cell
from millhand.model.performance import Output
from millhand.run import UNREADABLE, Runner, Watch, packed, unpacked, watched
from millhand.solvers.kernel.compiled import compiled
from millhand.solvers.kernel.counts import Counts
from millhand.solvers.kernel.replications import NO_WARM_UP, Piece, counted, output_of

CHUNK = 10  # replications that are kept together: what a cut costs at most, per process; few files for many of them
FORMAT = "millhand-sweep/2"  # raised when kept chunks mean something else


@dataclass(frozen=True, slots=True, kw_only=True)
class Chunk:
    """Replications `first` up to, not including, `end` of one cell: a piece of work and what is kept as one."""

    cell: Cell
    hours: float
    seed: int
    first: int
    end: int

    def key(self) -> str:
        """Names all that the counts depend on, so that a longer sweep finds the full chunks of a shorter one."""
        run = f"{self.hours!r} h, seed {self.seed}, replications {self.first} to {self.end}"
        return f"{FORMAT} {content_hash(self.cell)} {run}"


def sweep(
    cells: Sequence[Cell], *, hours: float, replications: int, seed: int, runner: Runner, watch: Watch
) -> Iterator[Output]:
    """The output of each cell, in order, as `simulate` gives it; what is kept is read, the rest made and kept.

    Results are kept in the order of the chunks, as they come: a cut loses only what was under way at that moment.
    """
    ends = range(0, replications, CHUNK)
    chunks = [
        Chunk(cell=cell, hours=hours, seed=seed, first=first, end=min(first + CHUNK, replications))
        for cell in cells
        for first in ends
    ]
    texts = watched(watch, "sweep", _contents(chunks, runner), total=len(chunks))
    for cell in cells:
        counts = [each for _, text in zip(ends, texts, strict=False) for each in _read(text)]
        yield output(cell, counts, hours=hours, seed=seed)


def _contents(chunks: Sequence[Chunk], runner: Runner) -> Iterator[bytes]:
    """The packed counts of each chunk, in order. Kept ones are read twice, so that no more than one is held."""
    kept = [_is_kept(runner, chunk) for chunk in chunks]
    made = iter(runner.map(counts_packed, [chunk for chunk, is_kept in zip(chunks, kept, strict=True) if not is_kept]))
    for chunk, is_kept in zip(chunks, kept, strict=True):
        if is_kept:
            yield runner.kept(chunk.key(), lambda chunk=chunk: counts_packed(chunk))  # type: ignore[misc]
        else:
            text = next(made)
            runner.kept(chunk.key(), lambda text=text: text)  # type: ignore[misc]
            yield text  # what lies there and could not be read is not believed now


def _is_kept(runner: Runner, chunk: Chunk) -> bool:
    """True where an earlier run kept this chunk and this version can read it."""
    try:
        _read(runner.kept(chunk.key(), _nothing_kept))
    except UNREADABLE:
        return False
    return True


def _nothing_kept() -> bytes:
    """Instead of making what was not kept: say so."""
    raise LookupError("nothing kept")


def _read(text: bytes) -> Iterable[Counts]:
    """The counts in kept bytes."""
    found = unpacked(text)
    if not isinstance(found, tuple) or not all(isinstance(each, Counts) for each in found):
        raise ValueError("kept by another version")
    return found


def counts_packed(chunk: Chunk) -> bytes:
    """What each replication of a chunk counted, as bytes; may run in another process or on another machine."""
    return packed(counts_of(chunk.cell, hours=chunk.hours, seed=chunk.seed, numbers=range(chunk.first, chunk.end)))


# --- all that a sweep needs of the kernel: what replications counted, and the output that follows from them ---


def counts_of(cell: Cell, *, hours: float, seed: int, numbers: range) -> tuple[Counts, ...]:
    """What the replications of these numbers counted, each the same whichever others run beside it."""
    c, horizon = compiled(cell), _steps(cell, hours)
    pieces = (Piece(cell=c, horizon=horizon, warm_up=0, seed=seed, replication=number) for number in numbers)
    return tuple(map(counted, pieces))


def output(cell: Cell, counts: Sequence[Counts], *, hours: float, seed: int) -> Output:
    """What all replications say together, the same as `simulate` says of them."""
    found = output_of(compiled(cell), counts, seed=seed, steps=_steps(cell, hours))
    return replace(found, left_out=(*found.left_out, NO_WARM_UP))


def _steps(cell: Cell, hours: float) -> int:
    """The horizon in steps of the cell's grid."""
    return round(hours * 3600 / cell.grid_s)
