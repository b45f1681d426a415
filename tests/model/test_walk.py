"""Going through records: every fact in order, and one fact put in the place of another."""

from dataclasses import dataclass, field, replace

from millhand.model.fact import Choice, Fact
from millhand.model.walk import facts_in, with_facts
from tests.report.fixture_inquiry import inquiry


def number(fact_id: str, value: float = 1.0) -> Fact:
    """A given number."""
    return Fact(id=fact_id, value=value, unit="1", basis="given", source="test")


WORD = Choice(id="word", value="yes", options=("yes", "no"), basis="given", source="test")


@dataclass(frozen=True)
class Box:
    """A record that holds facts in every way."""

    name: str
    one: Fact
    word: Choice
    several: tuple[Fact, ...] = ()
    named: dict[str, Fact] = field(default_factory=dict)
    inner: "Box | None" = None
    nothing: Fact | None = None


BOX = Box(
    name="outer",
    one=number("a"),
    word=WORD,
    several=(number("b"), number("c")),
    named={"x": number("d")},
    inner=Box(name="inner", one=number("e"), word=WORD, several=(number("a"),)),
)


def test_every_fact_is_found_in_record_order() -> None:
    """In fields, lists, maps and records inside; a fact that stands twice comes twice."""
    assert [each.id for each in facts_in(BOX)] == ["a", "word", "b", "c", "d", "e", "word", "a"]
    assert list(facts_in(None)) == list(facts_in("text")) == list(facts_in(Box)) == []


def test_a_fact_is_replaced_wherever_it_stands() -> None:
    """Both places of one id, and nothing else."""
    new = number("a", 5.0)
    other = with_facts(BOX, {"a": new})

    assert other.one is new
    assert other.inner is not None
    assert other.inner.several == (new,)
    assert (other.several, other.named, other.word) == (BOX.several, BOX.named, BOX.word)
    assert BOX.one.value == 1.0


def test_what_did_not_change_is_the_same_object() -> None:
    """A foreign id gives the very record back; a change leaves the other branches shared."""
    assert with_facts(BOX, {"unknown": number("unknown")}) is BOX
    assert with_facts(BOX, {"d": number("d", 2.0)}).inner is BOX.inner


def test_a_whole_inquiry_takes_a_word_and_a_number() -> None:
    """The record keeps its type, and the facts that were not named their values."""
    whole = inquiry()
    wage = whole.people.wage_per_h
    door = whole.machines[0].door
    other = with_facts(whole, {wage.id: replace(wage, value=99.0), door.id: replace(door, value="none")})

    assert other.people.wage_per_h.value == 99.0
    assert other.machines[0].door.value == "none"
    changed = {a.id for a, b in zip(facts_in(whole), facts_in(other), strict=True) if a != b}
    assert changed == {wage.id, door.id}
