"""A list of the parts that run on the machines, as it was read out of a file: plain numbers, each with its row."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ListColumn:
    """How one column of the file was understood."""

    field: str  # length, mass, time ...
    head: str
    where: str
    unit: str  # of its numbers; '': plain, or each cell says its own
    by_hand: bool  # named in the inquiry, not recognised by its head


@dataclass(frozen=True, slots=True, kw_only=True)
class ListedPart:
    """One row: a part that runs on the machines. What no column says stands in the gaps of the list."""

    name: str
    row: int
    where: str  # the row in words: 'parts.xlsx: Sheet1, row 14'
    shape: str  # prismatic, round, flat, other
    grip: str  # outside, inside
    length_m: float
    width_m: float  # of a round part: its diameter
    height_m: float  # of a round part: its diameter
    bore_m: float | None
    raw_mass_kg: float
    finished_mass_kg: float | None
    time_s: float  # machine time of one part
    orders_per_y: float
    lot_size: float
    machines: tuple[str, ...]  # the route, as written

    @property
    def hours_h_per_y(self) -> float:
        """Machine hours that its orders take in a year."""
        return self.orders_per_y * self.time_s / 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BadCell:
    """One cell that could not be read: its row was left out, with consent."""

    row: int
    where: str
    read: str
    write: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartList:
    """The whole list, and what of its file was not taken."""

    file: str
    sheet: str  # '': a text file
    columns: tuple[ListColumn, ...]
    unread: tuple[str, ...]  # heads of columns that nothing was taken from
    gaps: tuple[str, ...]  # words: what no column says, and what stands in for it
    parts: tuple[ListedPart, ...]
    left_out: tuple[BadCell, ...] = ()

    @property
    def rows_left_out(self) -> tuple[int, ...]:
        """The rows that were left out, each once."""
        return tuple(dict.fromkeys(each.row for each in self.left_out))
