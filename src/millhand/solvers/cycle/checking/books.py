"""What lies at a station while a schedule is played, and what has to be over before the next part may come or start.

Parts are numbered in the order in which they are set down, loads in the order of their first parts; what lies there
when the play begins comes before them all. So 'room for the next part' is a matter of numbers: with c slots of b parts
the first part of load l needs load l - c to be gone.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass, field

from millhand.solvers.cycle.unrolled import Turn


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """One part under way: its type and the step of its route that it has reached; None before it is known.

    `entered`: in which period it came in, where that was seen.
    """

    part: str
    step: int | None
    lifted: Turn | None = None  # by which it came into the hand
    entered: int | None = None
    since: Turn | None = None  # with which it came into the machine whose slot or buffer it is in


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """A part at a station since some set-down, and its number there."""

    token: Token
    turn: Turn | None  # None: it lay there from the start
    number: int


@dataclass(slots=True, kw_only=True)
class Book:
    """One station: everything set down, started and lifted there; None for what was before the play began.

    `works`: the schedule says when it starts. A machine with buffers of its own has to.
    """

    batch: int = 1
    works: bool = False
    sets: list[Turn | None] = field(default_factory=list)
    starts: list[Turn | None] = field(default_factory=list)
    lifts: list[Turn | None] = field(default_factory=list)
    brought: list[tuple[Turn, Token]] = field(default_factory=list)
    begun: dict[int, Turn | None] = field(default_factory=dict)  # with own buffers: the start of each part, by number
    lying: list[Lying] = field(default_factory=list)
    outs: dict[int, Turn] = field(default_factory=dict)  # by load: its last lift
    gone: int = 0  # the number of the part that was lifted last
    instead: dict[int, int | None] = field(default_factory=dict)  # by load: the one whose place it takes part for part

    def load(self, number: int) -> int:
        """The load that a part belongs to, both counted from one."""
        return -(-number // self.batch)

    def load_sets(self, load: int) -> list[Turn | None]:
        """The set-downs of one load, as far as they have happened."""
        return self.sets[(load - 1) * self.batch : load * self.batch]

    def load_lies(self, load: int) -> list[Lying]:
        """The parts of one load, as far as they lie there."""
        return [each for each in self.lying if self.load(each.number) == load]

    def start_with(self, tokens: list[Token], *, waiting: int) -> None:
        """What lies there when the play begins; the last ones, so many, have not been started yet.

        Where they make up no whole loads, the missing parts of the oldest load are gone already.
        """
        begun = -(len(tokens) - waiting) % self.batch
        self.starts += [None] * ((begun + len(tokens) - waiting) // self.batch)
        self.begun |= dict.fromkeys(range(1, len(self.starts) + 1))
        self.sets += [None] * (begun + len(tokens))
        self.lifts += [None] * begun
        numbered = enumerate(tokens, begun + 1)
        self.lying += [Lying(token=token, turn=None, number=number) for number, token in numbered]

    def waiting(self, part: str, entered: int | None, steps: Collection[int]) -> Lying | None:
        """The part of a type that lies longest in the buffer before the machine, first those at one of some steps."""
        left = [each for each in self.lying if each.number not in self.begun]
        return self.first(sorted(left, key=lambda each: each.token.step not in steps), part, entered)

    def oldest(self, part: str, entered: int | None = None) -> Lying | None:
        """The part of a type that lies longest; where the schedule says which was begun when, the first of these."""
        rank = {number: at for at, number in enumerate(self.begun)}
        in_turn = sorted(self.lying, key=lambda each: rank.get(each.number, len(rank)))
        return self.first(in_turn, part, entered)

    @staticmethod
    def first(lying: list[Lying], part: str, entered: int | None) -> Lying | None:
        """The first part of a type, of those that entered in one period if that is asked."""
        own = [each for each in lying if each.token.part == part]
        asked = [each for each in own if entered is None or each.token.entered == entered]
        unknown = [each for each in own if each.token.entered is None]
        return next(iter([*asked, *unknown, *own]), None)


def nth(turns: list[Turn | None], number: int) -> Iterator[Turn | None]:
    """The n-th of these, counted from one, where there is such a one and it has happened; None before the play."""
    if 0 < number <= len(turns):
        yield turns[number - 1]
