"""An inquiry file that lies open: how it writes numbers, what fills its gaps, what was judged, what was found wrong."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from millhand.errors import InputError
from millhand.intake.form import Number, Word
from millhand.intake.text import Manner
from millhand.intake.yaml_tree import Node, Scalar, Table, shown
from millhand.model.fact import Assumption, Choice, Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """One value that the engineer puts in the place of another."""

    value: Node
    reason: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where one thing stands: its id, the key of its assumptions (names left out), and the words it goes by."""

    id: str = ""
    key: str = ""
    words: frozenset[str] = frozenset()

    def down(self, key: str) -> "Place":
        """One step further down."""
        return replace(self, id=f"{self.id}.{key}".lstrip("."), key=f"{self.key}.{key}".lstrip("."))

    def named(self, name: str) -> "Place":
        """One step further down, to a thing with a name of its own."""
        return replace(self, id=f"{self.id}.{name}", key=f"{self.key}.*")

    def told(self, *words: str) -> "Place":
        """The same place, with more words that its assumptions may depend on."""
        return replace(self, words=self.words | {word for word in words if word})


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """One file while it is read. The lists grow; everything else stays."""

    assumptions: Mapping[str, Assumption]
    manner: Manner
    evidence: frozenset[str] = frozenset()
    judged: Mapping[str, Judgement] = field(default_factory=dict)
    answered: Mapping[str, Node] = field(default_factory=dict)  # path: the value as it would stand in its own place
    errors: list[InputError] = field(default_factory=list)
    before: list[Fact | Choice] = field(default_factory=list)
    entries: dict[str, Number | Word] = field(default_factory=dict)  # path of each fact: what may be written there
    leave_out: bool = False  # rows of a part list that cannot be read, whatever the file says

    def bad(self, where: str, read: str, write: str, code: str) -> None:
        """Note one error."""
        self.errors.append(InputError(where, read, write, code))

    def bad_node(self, node: Node, write: str, code: str) -> None:
        """Note that a node cannot be used."""
        self.bad(node.where, shown(node), write, code)

    def assumption(self, place: Place) -> Assumption | None:
        """The row for this place whose words all fit and which names the most of them; None where there is none."""
        fitting = [row for key, row in self.assumptions.items() if fits(key, place)]
        return max(fitting, key=lambda row: row.key.count("@") + row.key.count("+"), default=None)


def fits(key: str, place: Place) -> bool:
    """Whether a row's key, `machines.*.door` or `machines.*.door@mill+hand_vise`, is for this place."""
    path, _, words = key.partition("@")
    return path == place.key and set(words.split("+") if words else ()) <= place.words


def child(table: Table | None, key: str) -> Node | None:
    """The value under a key; None where there is none or it is empty."""
    node = table.entries.get(key) if table is not None else None
    return None if isinstance(node, Scalar) and node.plain and not node.text else node
