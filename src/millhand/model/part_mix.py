"""The parts of a list beside a cell: families, what the cell covers, what each further set of fingers adds."""

from dataclasses import dataclass

NOT_SERVED = "the cell does not serve "  # before the machines that such a part needs, as the list names them


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """One set of fingers or one insert of the presenter, and what it takes; figures are fact ids [m]."""

    name: str
    kind: str  # fingers, insert
    grip: str  # outside, inside; of an insert ''
    least: str  # least measure that is gripped; of an insert the least length of a part in its pocket
    greatest: str
    across: tuple[str, str] | None = None  # of an insert: least and greatest width


@dataclass(frozen=True, slots=True, kw_only=True)
class PartFamily:
    """Parts that share grip, shape, route, fingers and insert, and are alike in mass; figures are fact ids."""

    name: str
    grip: str
    shape: str
    machines: tuple[str, ...]
    means: tuple[str, ...]  # names of its fingers and its insert
    members: tuple[int, ...]  # rows of the file
    count: str  # how many parts
    hours: str  # machine hours a year
    share: str  # of the machine hours of the whole list
    heaviest: str
    longest: str
    lots: str  # lots a week


@dataclass(frozen=True, slots=True, kw_only=True)
class MixStep:
    """One step of the curve: the means that come to those before, and what is covered with them; fact ids."""

    added: tuple[str, ...]
    gain: str  # share of the machine hours that it adds
    share: str  # covered so far


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftPart:
    """One part that is left to people: the first limit that it misses.

    Demand and limit in SI; None where the reason is no number. `figures` are the fact ids of hours, demand, limit and
    margin, for those parts that a page shows.
    """

    row: int
    name: str
    check: str  # route, grip, rule, payload, door_opening, ...
    words: str
    demand: float | None
    limit: float | None
    unit: str
    hours_h_per_y: float
    figures: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PartMix:
    """The answer to a part list; figures are fact ids. Concept None: no cell works, so nothing is covered by one."""

    concept: str | None
    count: str  # parts of the list
    left_out: str  # rows left out with consent
    hours: str  # machine hours a year
    families: tuple[PartFamily, ...]  # the one of most machine hours first
    means: tuple[Means, ...]
    steps: tuple[MixStep, ...]
    able: str | None  # share of the machine hours that the cell can do with all means
    priced_sets: str | None  # sets of fingers in the price
    priced: str | None  # share that the cell covers with so many
    lots: str  # a week
    changeovers: str  # between families, a week, lots in the order in which they come
    changeovers_sorted: str  # lots of a week sorted by family
    left: tuple[LeftPart, ...]  # those of most machine hours first
    words: tuple[str, ...]  # sentences with [[fact id|format]] marks
    needed_sets: str | None = None  # sets of fingers that all parts of the list ask for which the cell can do
