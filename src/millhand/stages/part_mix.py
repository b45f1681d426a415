"""A part list beside a cell: families, which share of the machine hours it covers, what each further set adds.

What a cell can do with a part was looked at before, part by part; here parts are put together, hours are added up and
means are bought one after the other.
"""

import math
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from millhand.model.fact import Fact
from millhand.model.letters import letters
from millhand.model.part_list import ListedPart, PartList
from millhand.model.part_mix import LeftPart, Means, MixStep, PartFamily, PartMix
from millhand.solvers.grouping.bands import Span, bands
from millhand.solvers.grouping.coverage import gathered, greedy
from millhand.trace import Sheet, apply, found

SHOWN = 12  # parts left to people, and families, that a page shows with their figures
MOSTLY = 0.8  # of what a cell can do: as many means as bring this are named in a sentence
Ends = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Miss:
    """Why a part is left to people: a limit with what is asked for, or words alone. `facts` are those behind it."""

    check: str
    words: str = ""
    demand: Fact | None = None
    limit: Fact | None = None
    margin: Fact | None = None
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """One part as the cell meets it: what its jaws close on, what its pocket holds; `miss` None: the cell can do it."""

    part: ListedPart
    gripped_m: Ends  # least and greatest measure, raw and finished
    long_m: float  # in its pocket
    wide_m: float
    miss: Miss | None = None

    @property
    def hours(self) -> float:
        """Machine hours a year."""
        return self.part.hours_h_per_y


@dataclass(frozen=True, slots=True, kw_only=True)
class Grouping:
    """How wide the bands are: None where the cell has nothing of the kind (cups have no fingers, belts no inserts)."""

    fingers_m: float | None
    insert_m: float | None
    mass_ratio: float
    facts: tuple[Fact, ...] = ()  # that these follow from


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What the parts are put beside: the sheet, the list, the cell's id, its grouping, weeks worked in a year.

    passes: times that a part comes to the machines, each with fingers of its own; None: once.
    """

    sheet: Sheet
    part_list: PartList
    concept: str | None
    grouping: Grouping
    weeks_per_y: float
    priced_sets: Fact | None = None
    passes: Fact | None = None

    def figure(self, name: str, value: float, unit: str, title: str) -> Fact:
        """A figure added up from the rows of the list."""
        source = f"follows from {self.part_list.file}: {title}"
        fact = Fact(id=f"part_mix.{name}", value=value, unit=unit, basis="computed", source=source, title=title)
        return found(self.sheet, fact)

    def share(self, name: str, hours: Sequence[Fact], whole: Fact) -> Fact:
        """A share of the machine hours."""
        return apply(self.sheet, "share_of_hours", f"part_mix.{name}", hours_h=tuple(hours), whole_h=whole)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A part that the cell can do, with its fingers and its insert."""

    fit: Fit
    fingers: str | None = None
    insert: str | None = None

    @property
    def means(self) -> tuple[str, ...]:
        """What it needs."""
        return tuple(each for each in (self.fingers, self.insert) if each is not None)


def part_mix(beside: Beside, fits: Sequence[Fit]) -> PartMix:
    """The whole answer."""
    whole = beside.figure("hours", sum(fit.hours for fit in fits), "h/y", "machine hours a year of all parts")
    placed = with_means(beside.grouping, [fit for fit in fits if fit.miss is None])
    families = tuple(families_of(beside, placed, whole))
    steps = tuple(curve(beside, families, whole)) if beside.concept is not None else ()
    able = beside.share("able_share", [beside.sheet[each.hours] for each in families], whole)
    lots = tuple(beside.sheet[each.lots] for each in families)
    mix = PartMix(
        concept=beside.concept,
        count=beside.figure("count", float(len(fits)), "1", "parts of the list").id,
        left_out=beside.figure(
            "left_out", float(len(beside.part_list.rows_left_out)), "1", "rows left out with consent"
        ).id,
        hours=whole.id,
        families=families,
        means=tuple(means_of(beside, placed)),
        steps=steps,
        able=able.id if beside.concept is not None else None,
        priced_sets=beside.priced_sets.id if beside.priced_sets is not None else None,
        priced=priced(beside, families, steps, whole),
        lots=beside.figure("lots", math.fsum(each.value for each in lots), "1/week", "lots a week").id,
        changeovers=apply(beside.sheet, "changeovers_as_lots_come", "part_mix.changeovers", lots=lots).id,
        changeovers_sorted=apply(beside.sheet, "changeovers_sorted", "part_mix.changeovers_sorted", lots=lots).id,
        left=tuple(left_parts(beside, fits)),
        words=(),
        needed_sets=needed_sets(beside, steps),
    )
    return replace(mix, words=tuple(sentences(beside, mix)))


# --- which parts go together ---


def with_means(grouping: Grouping, fits: Sequence[Fit]) -> list[Placed]:
    """Each part with its set of fingers and its insert, as far as the cell has such things."""
    placed = [Placed(fit=fit) for fit in fits]
    if grouping.fingers_m is not None:
        names = named_bands(fits, held, lambda fit: fit.gripped_m, grouping.fingers_m)
        placed = [replace(each, fingers=f"fingers_{name}") for each, name in zip(placed, names, strict=True)]
    if grouping.insert_m is not None:
        along = numbered_bands(fits, is_round, lambda fit: (fit.long_m,) * 2, grouping.insert_m)
        of_row = dict(zip((fit.part.row for fit in fits), along, strict=True))
        names = named_bands(fits, lambda fit: of_row[fit.part.row], lambda fit: (fit.wide_m,) * 2, grouping.insert_m)
        placed = [replace(each, insert=f"insert_{name}") for each, name in zip(placed, names, strict=True)]
    return placed


def held(fit: Fit) -> Hashable:
    """What fingers are made for: inside or outside, round or not."""
    return fit.part.grip, is_round(fit)


def is_round(fit: Fit) -> bool:
    """Round parts share neither fingers nor pockets with others."""
    return fit.part.shape == "round"


def numbered_bands(
    fits: Sequence[Fit], key: Callable[[Fit], Hashable], ends: Callable[[Fit], Ends], width: float
) -> list[tuple[Hashable, int]]:
    """The band of each part among those of its key, which names it together with its number."""
    found_: dict[int, tuple[Hashable, int]] = {}
    for own in dict.fromkeys(map(key, fits)):
        places = [place for place, fit in enumerate(fits) if key(fit) == own]
        numbers = bands([Span(*ends(fits[place]), fits[place].hours) for place in places], width)
        found_ |= {place: (own, number) for place, number in zip(places, numbers, strict=True)}
    return [found_[place] for place in range(len(fits))]


def named_bands(
    fits: Sequence[Fit], key: Callable[[Fit], Hashable], ends: Callable[[Fit], Ends], width: float
) -> list[str]:
    """The same with letters for names, the band of most machine hours first."""
    of_each = numbered_bands(fits, key, ends, width)
    hours: dict[tuple[Hashable, int], float] = {}
    for band, fit in zip(of_each, fits, strict=True):
        hours[band] = hours.get(band, 0.0) + fit.hours
    ranked = sorted(hours, key=lambda band: (-hours[band], least_row(fits, of_each, band)))
    names = {band: letters(place) for place, band in enumerate(ranked)}
    return [names[band] for band in of_each]


def least_row(fits: Sequence[Fit], of_each: Sequence[Hashable], band: Hashable) -> int:
    """The first row of a band, by which equal ones keep their order."""
    return min(fit.part.row for fit, own in zip(fits, of_each, strict=True) if own == band)


def families_of(beside: Beside, placed: Sequence[Placed], whole: Fact) -> Iterator[PartFamily]:
    """Parts of one grip, shape, route, fingers and insert, and alike in mass; the family of most hours first."""
    fits = [each.fit for each in placed]
    means = {each.fit.part.row: each.means for each in placed}
    names = named_bands(
        fits,
        lambda fit: (fit.part.grip, fit.part.shape, fit.part.machines, means[fit.part.row]),
        lambda fit: (math.log(fit.part.raw_mass_kg),) * 2,
        math.log(beside.grouping.mass_ratio),
    )
    members: dict[str, list[Placed]] = {}
    for name, each in zip(names, placed, strict=True):
        members.setdefault(name, []).append(each)
    for name in sorted(members, key=lambda each: (len(each), each)):
        yield family(beside, name, members[name], whole)


def family(beside: Beside, name: str, members: Sequence[Placed], whole: Fact) -> PartFamily:
    """One family with its figures."""
    fits = [each.fit for each in members]
    first, base = fits[0].part, f"families.{name}"
    hours = beside.figure(f"{base}.hours", sum(fit.hours for fit in fits), "h/y", "machine hours a year of a family")
    weekly = sum(fit.part.orders_per_y / fit.part.lot_size for fit in fits) / beside.weeks_per_y
    return PartFamily(
        name=name, grip=first.grip, shape=first.shape, machines=first.machines, means=members[0].means,
        members=tuple(fit.part.row for fit in fits), hours=hours.id,
        count=beside.figure(f"{base}.count", float(len(fits)), "1", "parts of a family").id,
        share=beside.share(f"{base}.share", [hours], whole).id,
        heaviest=beside.figure(
            f"{base}.heaviest", max(fit.part.raw_mass_kg for fit in fits), "kg", "heaviest raw part of a family"
        ).id,
        longest=beside.figure(
            f"{base}.longest", max(max(fit.part.length_m, fit.part.width_m, fit.part.height_m) for fit in fits), "m",
            "longest side of the parts of a family",
        ).id,
        lots=beside.figure(f"{base}.lots", weekly, "1/week", "lots a week of a family").id,
    )  # fmt: skip


def means_of(beside: Beside, placed: Sequence[Placed]) -> Iterator[Means]:
    """Every set of fingers and every insert, with what it takes, by their names."""
    by_name: dict[str, list[Fit]] = {}
    for each in placed:
        for name in each.means:
            by_name.setdefault(name, []).append(each.fit)
    for name in sorted(by_name, key=lambda each: (each.partition("_")[0], len(each), each)):
        fits, fingers = by_name[name], name.startswith("fingers")
        ends = [fit.gripped_m for fit in fits] if fingers else [(fit.long_m, fit.long_m) for fit in fits]
        least, greatest = measured(beside, name, ends, "gripped" if fingers else "length")
        across = None if fingers else measured(beside, name, [(fit.wide_m, fit.wide_m) for fit in fits], "width")
        yield Means(
            name=name, kind="fingers" if fingers else "insert", grip=fits[0].part.grip if fingers else "",
            least=least, greatest=greatest, across=across,
        )  # fmt: skip


def measured(beside: Beside, name: str, ends: Sequence[Ends], what: str) -> tuple[str, str]:
    """The least and the greatest of a measure of the parts of one set."""
    low, high = min(each[0] for each in ends), max(each[1] for each in ends)
    words = {"gripped": "measure gripped by a set of fingers", "length": "length in an insert", "width": "width in one"}
    least = beside.figure(f"{name}.{what}_least", low, "m", f"least {words[what]}")
    return least.id, beside.figure(f"{name}.{what}_greatest", high, "m", f"greatest {words[what]}").id


# --- what is covered ---


def curve(beside: Beside, families: Sequence[PartFamily], whole: Fact) -> Iterator[MixStep]:
    """Means in the order in which each brings most, with what is covered so far."""
    weights: dict[frozenset[str], float] = {}
    for each in families:
        key = frozenset(each.means)
        weights[key] = weights.get(key, 0.0) + beside.sheet.value(each.hours)
    had: set[str] = set()
    before: set[str] = {each.name for each in families if not each.means}
    for step in greedy(gathered(weights)):
        had |= set(step.added)
        now = {each.name for each in families if set(each.means) <= had}
        base = f"steps.{'-'.join(step.added)}"
        yield MixStep(
            added=step.added,
            gain=beside.share(f"{base}.gain_share", hours_of(beside, families, now - before), whole).id,
            share=beside.share(f"{base}.covered_share", hours_of(beside, families, now), whole).id,
        )
        before = now


def hours_of(beside: Beside, families: Iterable[PartFamily], names: set[str]) -> list[Fact]:
    """The hours of some families."""
    return [beside.sheet[each.hours] for each in families if each.name in names]


def priced(beside: Beside, families: Sequence[PartFamily], steps: Sequence[MixStep], whole: Fact) -> str | None:
    """What is covered with as many sets of fingers as the price holds, inserts as they are needed."""
    if beside.priced_sets is None or beside.grouping.fingers_m is None:
        return None
    order = [name for step in steps for name in step.added if name.startswith("fingers")]
    bought = set(order[: max(0, round(beside.priced_sets.value / times(beside)))])
    there = {each.name for each in families if {m for m in each.means if m.startswith("fingers")} <= bought}
    return beside.share("priced_share", hours_of(beside, families, there), whole).id


def needed_sets(beside: Beside, steps: Sequence[MixStep]) -> str | None:
    """How many sets of fingers all parts ask for that the cell can do; None where its fingers take all of them."""
    count = sum(name.startswith("fingers") for step in steps for name in step.added)
    if not count or beside.grouping.fingers_m is None:
        return None
    return beside.figure("needed_sets", count * times(beside), "1", "sets of fingers that the list asks for").id


def times(beside: Beside) -> float:
    """How many sets of fingers a part needs: one each time that it comes to the machines."""
    return beside.passes.value if beside.passes is not None else 1.0


def left_parts(beside: Beside, fits: Sequence[Fit]) -> Iterator[LeftPart]:
    """The parts that the cell cannot do, those of most machine hours first; facts for those that a page shows."""
    missed = sorted((fit for fit in fits if fit.miss is not None), key=lambda fit: (-fit.hours, fit.part.row))
    for place, fit in enumerate(missed):
        miss = fit.miss
        assert miss is not None
        figures: tuple[str, ...] = ()
        if place < SHOWN:
            beside.sheet.extend(miss.facts)
            name = f"row_{fit.part.row}.hours"
            own = beside.figure(name, fit.hours, "h/y", f"machine hours a year of {fit.part.where}")
            numbers = (miss.demand, miss.limit, miss.margin)
            figures = (own.id, *(fact.id for fact in numbers if fact is not None))
        yield LeftPart(
            row=fit.part.row, name=fit.part.name, check=miss.check, words=miss.words,
            demand=miss.demand.value if miss.demand is not None else None,
            limit=miss.limit.value if miss.limit is not None else None,
            unit=miss.demand.unit if miss.demand is not None else "", hours_h_per_y=fit.hours, figures=figures,
        )  # fmt: skip


# --- in words ---


def sentences(beside: Beside, mix: PartMix) -> Iterator[str]:
    """What the list comes to."""
    out = f" [[{mix.left_out}|count]] {several(beside, mix.left_out, 'row was', 'rows were')} left out."
    yield (
        f"The list has [[{mix.count}|count]] {several(beside, mix.count, 'part', 'parts')} with [[{mix.hours}|hours]] "
        f"of machine time a year.{out if beside.sheet.value(mix.left_out) else ''}"
    )
    if mix.concept is None:
        yield "No cell works here, so none covers anything: families are as jaws of the usual stroke would have them."
    elif mix.able is not None:
        able = f"The cell can load parts of [[{mix.able}|percent]] of these hours{all_means(beside, mix)}."
        yield f"{able}{enough(beside, mix)}"
    if mix.priced is not None and mix.priced_sets is not None:
        yield (
            f"The price holds [[{mix.priced_sets}|count]] sets of fingers: with so many it covers "
            f"[[{mix.priced}|percent]].{too_many(beside, mix)}"
        )
    less = beside.sheet.value(mix.changeovers_sorted) < beside.sheet.value(mix.changeovers)
    yield (
        f"[[{mix.lots}|ratio]] lots a week ask for [[{mix.changeovers}|ratio]] changeovers between families a week as "
        f"the lots come{f', and for [[{mix.changeovers_sorted}|ratio]] where' if less else '; it brings nothing that'} "
        f"the lots of a week are sorted by family."
    )


def too_many(beside: Beside, mix: PartMix) -> str:
    """What to write where the price holds more sets than the list asks for."""
    if mix.needed_sets is None or mix.priced_sets is None:
        return ""
    if beside.sheet.value(mix.needed_sets) >= beside.sheet.value(mix.priced_sets):
        return ""
    return (
        f" The parts of the list that it can load ask for no more than [[{mix.needed_sets}|count]]: the others are in "
        "the price because the inquiry says so many families. Write as families how many sets are to be bought."
    )


def several(beside: Beside, fact_id: str, one: str, more: str) -> str:
    """A word for one thing or for several."""
    return one if beside.sheet.value(fact_id) == 1.0 else more


def all_means(beside: Beside, mix: PartMix) -> str:
    """How many means that takes, in words."""
    return counted(beside, "all", [name for step in mix.steps for name in step.added])


def enough(beside: Beside, mix: PartMix) -> str:
    """The first step that brings most of it."""
    if mix.able is None or len(mix.steps) < 3:
        return ""
    goal = MOSTLY * beside.sheet.value(mix.able)
    for place, step in enumerate(mix.steps[:-1]):
        if beside.sheet.value(step.share) >= goal:
            names = [name for each in mix.steps[: place + 1] for name in each.added]
            return f" It covers [[{step.share}|percent]]{counted(beside, 'first', names)}."
    return ""


def counted(beside: Beside, which: str, names: Sequence[str]) -> str:
    """' with n sets of fingers and m inserts'."""
    words: Mapping[str, tuple[str, str]] = {
        "fingers": ("set of fingers", "sets of fingers"),
        "insert": ("insert of the presenter", "inserts of the presenter"),
    }
    said = []
    for kind, (single, several) in words.items():
        number = sum(name.startswith(kind) for name in names) * (times(beside) if kind == "fingers" else 1.0)
        if number:
            fact = beside.figure(f"{which}_{kind}", float(number), "1", f"{several}, {which}")
            said.append(f"[[{fact.id}|count]] {single if number == 1 else several}")
    return f" with {' and '.join(said)}" if said else ""
