"""The two kinds of trouble: input that cannot be used, and our own failures."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass
class InputError(Exception):
    """Input that cannot be used: where it stands, what was read, what to write.

    `where` is file:line:column, sheet!cell or a JSON pointer. `code` is stable: tests, pages and the API share it.
    """

    where: str
    read: str
    write: str
    code: str = "input"

    def __str__(self) -> str:
        return f"{self.where}: read {self.read!r}; write {self.write}."


class InputErrors(Exception):
    """Every InputError of one file together, in the order of their places."""

    def __init__(self, errors: Iterable[InputError]) -> None:
        self.errors = tuple(errors)
        super().__init__("\n".join(str(error) for error in self.errors))


class ToolError(Exception):
    """A failure of the tool itself or of the machine it runs on (full disk, lost worker), never of the input."""

    def __init__(self, words: str, *, code: str = "tool") -> None:
        self.code = code
        super().__init__(words)


class NotYet(ToolError):
    """A thing that the format can say and this version cannot compute: refused by name, never approximated.

    `cure`: how to write it so that it can be computed, where there is such a way.
    """

    def __init__(self, thing: str, *, where: str = "", cure: str = "") -> None:
        self.thing = thing
        self.where = where
        place = f"{where}: " if where else ""
        instead = f"; write {cure}" if cure else ""
        super().__init__(f"{place}this version cannot compute {thing} yet{instead}.", code="not_yet")


class NoneInTime(NotYet):
    """A search whose time was over before it had found anything: with more time there may be an answer."""

    def __init__(self, thing: str) -> None:
        self.thing, self.where = f"a {thing} in so little time", ""
        ToolError.__init__(self, f"No {thing} was found in the time given; give more.", code="none_in_time")


class Contradiction(ToolError):
    """Demands of the input that cannot all be kept: the fewest that contradict each other, and what would help;
    whether there are `others` beside them that do."""

    def __init__(self, demands: Iterable[str], cures: Iterable[str], *, others: bool = False) -> None:
        self.demands, self.cures = tuple(demands), tuple(cures)
        words = f"No cycle keeps all of these: {'; '.join(self.demands)}."
        if self.cures:
            words += f" To change that, {' or '.join(self.cures)}."
        if others:
            words += " Other demands contradict each other besides."
        super().__init__(words, code="contradiction")
