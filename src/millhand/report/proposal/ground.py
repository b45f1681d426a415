"""What every section of a proposal is made from, and the items that several of them share."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from millhand.model.concept import Component, Concept
from millhand.model.fact import Fact
from millhand.model.study import Result, Study
from millhand.report.comparison import subject, title, today_of
from millhand.report.proposal.records import Figure, Given, Item, Joined, Say, Term
from millhand.report.study_json import all_facts


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """One study, the concept that the proposal is about, and today."""

    study: Study
    facts: Mapping[str, Fact]
    subject: Result | None
    today: Result | None
    long: bool

    def value(self, fact_id: str) -> float:
        """The number of a fact."""
        return self.facts[fact_id].value

    def known(self, *fact_ids: str | None) -> Iterator[str]:
        """Those of the ids that the study holds."""
        yield from (each for each in fact_ids if each and each in self.facts)

    def of_concept(self, name: str) -> str | None:
        """A figure of the concept that has no field of its own."""
        if self.subject is None:
            return None
        return next(self.known(f"concepts.{self.subject.concept.id}.{name}"), None)

    def of_case(self, name: str) -> str | None:
        """The same of its case."""
        return self.of_concept(f"case.{name}")

    @property
    def proposed(self) -> bool:
        """Whether the study recommends what the proposal is about."""
        return self.subject is not None and self.study.decision.winner == self.subject.concept.id

    @property
    def offered(self) -> bool:
        """Whether the paper is an offer; else a finding, in which nobody orders, pays or waits for anything."""
        return self.study.decision.answer != "no"

    @property
    def years(self) -> Item:
        """So many years the case looks ahead."""
        return figure(self.study.inquiry.money.horizon_y.id, "years", "value")

    @property
    def cell(self) -> bool:
        """Whether that is a cell."""
        return self.subject is not None and self.subject.concept.kind == "cell"


def ground(study: Study, *, long: bool) -> Ground:
    """The ground of one study."""
    return Ground(study=study, facts=all_facts(study), subject=subject(study), today=today_of(study), long=long)


def short(component: Component) -> Term:
    """A component in a few words."""
    return Term(text=component.words.get("short", component.title))


def by_arm(work: Component) -> Term:
    """A work that the arm does besides loading."""
    return Term(text=f"{work.words.get('short', work.title)} by the arm")


def with_travel(ground: Ground, words: str) -> Item:
    """What the arm stands on or hangs from; a track with the travel that the layout asks for, by which it is priced."""
    layout = ground.subject.layout if ground.subject else None
    if layout is None or not layout.track or ground.of_concept("estimate.track_price") is None:
        return Term(text=words)
    slots: dict[str, Item] = {"mount": Term(text=words), "travel": figure(layout.track, "metres", "value")}
    return Say(key="concept.with_travel", slots=slots)


def concept_item(concept: Concept) -> Item:
    """A concept in a few words, each component by its own so that every language has them."""
    if concept.kind == "today":
        return Say(key="concept.today")
    if concept.kind == "by_hand":
        return Term(text=concept.title)
    presenter = [short(each) for each in (concept.presenter, concept.outfeed) if each and each.id != "back_to_tray"]
    arm = [short(each) for each in (concept.arm, concept.mount) if each]
    hand = [short(each) for each in (concept.gripper,) if each]
    works = [[by_arm(each)] for each in concept.works]
    groups = [Joined(items=tuple(each), between=" ") for each in (presenter, arm, hand, *works) if each]
    return Joined(items=tuple(groups))


def fact_name(fact: Fact) -> Term:
    """What a fact is called before a reader."""
    return Term(text=title(fact))


def terms(*words: str) -> tuple[Term, ...]:
    """The study's own words, one in each cell of a row."""
    return tuple(Term(text=each) for each in words)


def called(name: str) -> Given:
    """A name that the user gave to a machine, a part or a piece of work."""
    return Given(text=name.replace("_", " "))


def figure(fact_id: str | None, form: str = "", part: str = "shown") -> Item:
    """A figure, or a dash where there is none."""
    if fact_id is None:
        return Say(key="page.none")
    return Figure(fact=fact_id, form=form, part=part)  # type: ignore[arg-type]


def of_today(ground: Ground, fact_id: str | None, form: str = "parts") -> tuple[str | None, str]:
    """A figure of today with its format: good parts a shift as the shop told them, not rounded as if worked out."""
    told, made = ground.study.inquiry.today.parts_per_shift, ground.today.performance if ground.today else None
    if made is not None and fact_id == made.parts_per_shift and ground.value(fact_id) == told.value:
        return told.id, "count"
    return fact_id, form


def asked_for(fact_id: str | None, end: str = "value") -> Item:
    """A distance that people keep, or its far end; a dash where there is none."""
    return figure(fact_id, "asked", "most" if end == "high" else "value")


def there(fact_id: str | None) -> Item:
    """A gap or a width that is there; a dash where there is none."""
    return figure(fact_id, "left", "value")


def amounts_in(ground: Ground) -> Say:
    """In which money the amounts of a table are."""
    return Say(key="page.amounts", slots={"currency": Given(text=ground.study.inquiry.shop.currency)})


def ends(ground: Ground, fact_id: str, form: str, part: str = "bare_ends") -> Item:
    """The range of a figure, or a dash where it has none."""
    return figure(fact_id if ground.facts[fact_id].low is not None else None, form, part)
