"""The parts of a list beside a study that is done: each is put to the checks of the study's best cell, as if the cell
stood for it alone.

No physics of its own: the same checks, the same formulas, the same limits. Most parts pass them all at the likely
values; the others are looked at again with every range, as the study looks at a concept.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from millhand.model.catalogue import Catalogue, Rule
from millhand.model.concept import Concept
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.layout import Layout
from millhand.model.part import Part, Size
from millhand.model.part_list import ListedPart
from millhand.model.part_mix import NOT_SERVED, PartMix
from millhand.model.study import Result, Study
from millhand.model.timing import Timing
from millhand.model.walk import facts_in, with_facts
from millhand.road import visited
from millhand.sizing import best_cell
from millhand.stages.concepts import CHOICES, Choices, first_rule, inquiry_words, plain_words
from millhand.stages.feasibility.asked import Asked
from millhand.stages.feasibility.checks import all_held, first_missed
from millhand.stages.feasibility.grip_travel import gripped
from millhand.stages.layout.ground import Ground
from millhand.stages.layout.pockets import laid, pockets
from millhand.stages.part_mix import Beside, Fit, Grouping, Miss, part_mix
from millhand.stages.tried import of_cell, tried
from millhand.trace import Sheet, apply, needed

WEEK_D = 5.0
NO_PLACE = "no place of the presenter or the outfeed holds it, by its size or by its mass"
USUAL_JAWS = "parallel_single"  # by which families are made where no cell works
# Words of a part that rules on combinations ask about; what they say of the shop was asked when the cell was made.
OF_A_PART = frozenset(("shape", "bore", "light", "slender", "long"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Stand:
    """A cell as the parts of the list meet it, once with every range and once at the likely values alone."""

    inquiry: Inquiry
    concept: Concept
    layout: Layout
    timing: Timing
    catalogue: Catalogue
    template: Part  # what the list does not say of a part
    reached: tuple[str, ...]  # names of the machines that it serves
    rules: tuple[Rule, ...]


def with_part_mix(done: Study, inquiry: Inquiry, catalogue: Catalogue) -> Study:
    """The study with the part list of its inquiry beside its best cell; as it is without a list."""
    listed = inquiry.part_list
    if listed is None:
        return done
    asked, best = visited(inquiry), best_cell(done)
    sheet = Sheet(done.facts.values())
    fits = tuple(bare_fit(part) for part in listed.parts)
    if best is not None and best.layout is not None and best.timing is not None:
        stand = stand_of(asked, best, catalogue)
        quick = at_likely_values(stand)
        fits = tuple(fit_of(part, stand, quick, done) for part in listed.parts)
    beside = Beside(
        sheet=sheet, part_list=listed, concept=best.concept.id if best is not None else None,
        grouping=grouping(asked, best, catalogue), weeks_per_y=weeks_per_y(asked),
        priced_sets=priced_sets(asked, best, sheet), passes=asked.parts[0].operations[0].passes,
    )  # fmt: skip
    mix = part_mix(beside, fits)
    put_first(mix, done, whole=sheet)
    needed_price(mix, best, sheet)
    sheet.extend(fact for fact in beside.grouping.facts if fact.id not in sheet)
    new = {fact_id: fact for fact_id, fact in sheet.facts.items() if fact_id not in done.facts}
    return replace(done, facts={**done.facts, **new}, part_mix=mix)


# --- the cell ---


def stand_of(inquiry: Inquiry, best: Result, catalogue: Catalogue) -> Stand:
    """The best cell of a study, with what the list takes over of the family that it was planned for."""
    assert best.layout is not None
    assert best.timing is not None
    template = next(part for part in inquiry.parts if part.name == best.timing.part)
    return Stand(
        inquiry=inquiry, concept=best.concept, layout=best.layout, timing=best.timing, catalogue=catalogue,
        template=replace(template, bears_n=None, mesh=None), rules=part_rules(catalogue),
        reached=tuple(dict.fromkeys(operation.machine for operation in template.operations)),
    )  # fmt: skip


def part_rules(catalogue: Catalogue) -> tuple[Rule, ...]:
    """The rules that look at what a list says of a part."""
    return tuple(rule for rule in catalogue.rules if OF_A_PART & rule.when.keys())


def at_likely_values(stand: Stand) -> Stand:
    """The same cell, each figure exact."""
    figures = {name: exact(fact) for name, fact in stand.catalogue.figures.items()}
    known = {fact.id: exact(fact) for record in (stand.inquiry, stand.concept) for fact in facts_in(record)
             if isinstance(fact, Fact)}  # fmt: skip
    return replace(
        stand, inquiry=with_facts(stand.inquiry, known), concept=with_facts(stand.concept, known),
        template=with_facts(stand.template, known), catalogue=replace(stand.catalogue, figures=figures),
    )  # fmt: skip


def exact(fact: Fact) -> Fact:
    """The fact at its likely value."""
    return replace(fact, low=None, high=None, shape="point")


def grouping(inquiry: Inquiry, best: Result | None, catalogue: Catalogue) -> Grouping:
    """How far measures may differ within one set of fingers, one insert, one family."""
    gripper = best.concept.gripper if best is not None else catalogue.components.get(USUAL_JAWS)
    presenter = best.concept.presenter if best is not None else None
    ratio, insert = catalogue.figures["family_mass_ratio"], catalogue.figures["insert_span_m"]
    clearance, scatter = catalogue.figures["jaw_clearance_m"], inquiry.parts[0].raw_tolerance_m
    stroke = gripper.figures.get("stroke_m") if gripper is not None else None
    trays = presenter is not None and "tray_length_m" in presenter.figures
    own = [ratio, *([insert] if trays else []), *([stroke, clearance, scatter] if stroke is not None else [])]
    return Grouping(
        fingers_m=max(stroke.value - clearance.value - scatter.value, 1e-4) if stroke is not None else None,
        insert_m=insert.value if trays else None, mass_ratio=ratio.value, facts=tuple(own),
    )  # fmt: skip


def weeks_per_y(inquiry: Inquiry) -> float:
    """Weeks worked in a year."""
    days = max((s.days_per_week.value for s in inquiry.shifts if s.days_per_week is not None), default=WEEK_D)
    return inquiry.shop.work_days_per_y.value / days


def priced_sets(inquiry: Inquiry, best: Result | None, sheet: Sheet) -> Fact | None:
    """Sets of fingers in the price: one for each family of the inquiry; None where its price holds none."""
    lines = best.estimate.lines if best is not None and best.estimate is not None else ()
    if not any(line.id.rpartition(".")[2] == "fingers" or line.id == "fingers" for line in lines):
        return None
    counts = tuple(part.families for part in inquiry.parts)
    return apply(sheet, "count_of_all", "part_mix.priced_sets", counts=counts)


def put_first(mix: PartMix, done: Study, *, whole: Sheet) -> None:
    """The share of the machine hours in families that are tried before anybody promises them; none, no figure."""
    limits = of_cell(done.decision.part_limits, mix.concept or "")
    first = tried(limits, mix.families, whole.value)
    if mix.concept is not None and first:
        hours = tuple(whole[each.hours] for each in first)
        apply(whole, "share_of_hours", "part_mix.tried_share", hours_h=hours, whole_h=whole[mix.hours])


def needed_price(mix: PartMix, best: Result | None, sheet: Sheet) -> None:
    """What the sets of fingers cost that the list asks for, where the price holds more of them."""
    lines = best.estimate.lines if best is not None and best.estimate is not None else ()
    line = next((sheet[each.amount.id] for each in lines if each.id.rpartition(".")[2] == "fingers"), None)
    if line is None or mix.needed_sets is None or mix.priced_sets is None:
        return
    if sheet.value(mix.needed_sets) < sheet.value(mix.priced_sets):
        known = dict(line.inputs)
        apply(sheet, "priced_pieces_money", "part_mix.needed_sets_price", amount_money=sheet[known["amount_money"]],
              counts=(sheet[mix.needed_sets],), price_factor=sheet[known["price_factor"]])  # fmt: skip


# --- one part ---


def bare_fit(listed: ListedPart) -> Fit:
    """A part where there is no cell to put it to."""
    least, middle, most = sorted((listed.length_m, listed.width_m, listed.height_m))
    across = listed.bore_m if listed.grip == "inside" and listed.bore_m is not None else middle
    return Fit(part=listed, gripped_m=(across, across), long_m=most, wide_m=middle if least else most)


def fit_of(listed: ListedPart, stand: Stand, quick: Stand, done: Study) -> Fit:
    """A part put to the cell: how it is held and laid, and what it misses, if anything."""
    part = as_part(listed, quick.template)
    one_hand = stand.concept.gripper is not None and stand.concept.gripper.words["hands"] == "one"
    bore = part.raw.bore_m if listed.grip == "inside" else None
    sizes = (part.raw, part.finished) if one_hand else (part.raw,)
    across = [(bore or gripped(listed.shape, size)).value for size in sizes]
    ground = ground_of(quick, part)
    pocket = laid(ground, part, part.raw, part.raw_mass_kg)
    miss = plain_miss(listed, part, quick) or limit_miss(listed, stand, quick, done)
    miss = miss or pocket_miss(listed, ground, stand, done)
    return Fit(
        part=listed, gripped_m=(min(across), max(across)), long_m=max(pocket.length.value, pocket.width.value),
        wide_m=min(pocket.length.value, pocket.width.value), miss=miss,
    )  # fmt: skip


def plain_miss(listed: ListedPart, part: Part, stand: Stand) -> Miss | None:
    """What no number says: machines that the cell does not serve, a grip that is not its gripper's, a rule."""
    strange = [name for name in listed.machines if machine_of(name, stand) is None]
    if strange:
        return Miss(check="route", words=f"{NOT_SERVED}{', '.join(strange)}")
    gripper = stand.concept.gripper
    inside = gripper is not None and gripper.words["jaws"] == "inside"
    if (listed.grip == "inside") != inside:
        return Miss(check="grip", words="the jaws of this cell open in a bore" if inside else
                    "it is gripped inside, and the jaws of this cell take parts from outside")  # fmt: skip
    choices = Choices(**{name: getattr(stand.concept, name) for name in CHOICES})
    words = plain_words(choices) | inquiry_words(replace(stand.inquiry, parts=(part,)))
    rule = first_rule(words, stand.rules)
    return Miss(check="rule", words=rule.words) if rule is not None else None


def machine_of(name: str, stand: Stand) -> str | None:
    """The machine of the inquiry that a list means: by its name, whatever its number, in capitals or small letters."""
    plain = plainly(name)
    kind = plain.rstrip("0123456789").rstrip("_-.")
    return next((own for own in stand.reached if plainly(own) in (plain, kind)), None)


def plainly(name: str) -> str:
    """A machine's name in small letters, as one word."""
    return name.strip().lower().replace(" ", "_")


def limit_miss(listed: ListedPart, stand: Stand, quick: Stand, done: Study) -> Miss | None:
    """The first check that the part does not pass, with its figures."""
    if all_held(asked_of(quick, as_part(listed, quick.template))):
        return None
    asked = asked_of(stand, as_part(listed, stand.template))
    asked.sheet.extend((*facts_in(asked.inquiry), *facts_in(asked.concept)))
    found = first_missed(asked)
    if found is None:
        return None
    demand, limit, margin = (asked.sheet[fact_id] for fact_id in (found.demand, found.limit, found.margin))
    return with_own_names(Miss(check=found.check, demand=demand, limit=limit, margin=margin), listed, asked.sheet, done)


def pocket_miss(listed: ListedPart, ground: Ground, stand: Stand, done: Study) -> Miss | None:
    """A presenter or outfeed with no place for the part, and the side of its tray or belt that is too short for it."""
    presenter = ground.concept.presenter
    if presenter is None or ground.concept.outfeed is None or pockets(ground).value >= 1.0:
        return None
    whole = ground_of(stand, as_part(listed, stand.template))
    sheet = Sheet((*facts_in(whole.inquiry), *facts_in(whole.concept)))
    ways = tuple(too_long(replace(whole, sheet=sheet)))
    if not ways:
        return Miss(check="pockets", words=NO_PLACE)
    demand, limit = ways
    margin = apply(sheet, "margin_share", "pockets.margin", demand=demand, limit=limit)
    return with_own_names(Miss(check="pockets", demand=demand, limit=limit, margin=margin), listed, sheet, done)


def too_long(ground: Ground) -> Iterator[Fact]:
    """Of a part with a gap at either end, laid the way that suits it better, the side that asks for most against what
    the presenter has there: demand and limit; nothing where its sides are not what is in the way."""
    part, figures = ground.inquiry.parts[0], ground.concept.presenter.figures if ground.concept.presenter else {}
    kind = next((kind for kind in ("tray", "lane") if f"{kind}_length_m" in figures), None)
    if kind is None:
        return
    lies = laid(ground, part, part.raw, part.raw_mass_kg)
    room = (figures[f"{kind}_length_m"], figures[f"{kind}_width_m"])
    asks = tuple(
        apply(ground.sheet, "sum_of_lengths_m", f"pockets.{name}", lengths_m=(side, gap, gap))
        for name, side, gap in (("along", lies.length, lies.grip_gap), ("across", lies.width, lies.other_gap))
    )
    turned = (tuple(zip(asks, sides, strict=True)) for sides in (room, room[::-1]))
    worst = (max(way, key=over) for way in turned)
    demand, limit = min(worst, key=over)
    if demand.value > limit.value:
        yield from (demand, limit)


def over(way: tuple[Fact, Fact]) -> float:
    """Demand over limit."""
    return way[0].value / way[1].value


def with_own_names(miss: Miss, listed: ListedPart, sheet: Sheet, done: Study) -> Miss:
    """The figures of a miss under names of the part's own, since the study's part has the same ones of itself."""
    assert miss.demand is not None
    assert miss.limit is not None
    assert miss.margin is not None
    behind = needed(sheet.facts, [each.id for each in (miss.demand, miss.limit, miss.margin)])

    def name(fact_id: str) -> str:
        return fact_id if behind[fact_id].formula is None else f"part_mix.row_{listed.row}.{fact_id}"

    renamed = {
        fact.id: replace(fact, id=name(fact.id), inputs=tuple((key, name(source)) for key, source in fact.inputs))
        for fact in behind.values()
    }
    return replace(
        miss, demand=renamed[miss.demand.id], limit=renamed[miss.limit.id], margin=renamed[miss.margin.id],
        facts=tuple(fact for fact in renamed.values() if fact.id not in done.facts),
    )  # fmt: skip


def asked_of(stand: Stand, part: Part) -> Asked:
    """The cell in question with this part as its only one."""
    inquiry = replace(stand.inquiry, parts=(part,))
    return Asked(inquiry=inquiry, concept=stand.concept, layout=stand.layout, timing=stand.timing, sheet=Sheet())


def ground_of(stand: Stand, part: Part) -> Ground:
    """The ground of the cell's pockets with this part as its only one."""
    return Ground(
        sheet=Sheet(), inquiry=replace(stand.inquiry, parts=(part,)), concept=stand.concept, catalogue=stand.catalogue
    )


def as_part(listed: ListedPart, template: Part) -> Part:
    """A row as a part of the inquiry; what it does not say is as of the family that the cell was planned for."""

    def given(key: str, value: float, unit: str, title: str) -> Fact:
        return Fact(id=f"part_list.row_{listed.row}.{key}", value=value, unit=unit, basis="given", source=listed.where,
                    title=f"{title} ({listed.name})")  # fmt: skip

    def alike(key: str, own: Fact, raw: Fact, finished: Fact) -> Fact:
        source = "follows from the raw one in the same proportion as of the inquiry's first family"
        value = own.value * finished.value / raw.value
        return replace(own, id=f"part_list.row_{listed.row}.{key}", value=value, basis="computed", source=source)

    raw = Size(
        length_m=given("length", listed.length_m, "m", "raw length"),
        width_m=given("width", listed.width_m, "m", "raw width"),
        height_m=given("height", listed.height_m, "m", "raw height"),
        bore_m=given("bore", listed.bore_m, "m", "bore") if listed.bore_m is not None else None,
    )  # fmt: skip
    of, made = template.raw, template.finished
    finished = Size(
        length_m=alike("finished_length", raw.length_m, of.length_m, made.length_m),
        width_m=alike("finished_width", raw.width_m, of.width_m, made.width_m),
        height_m=alike("finished_height", raw.height_m, of.height_m, made.height_m),
    )
    mass = given("mass", listed.raw_mass_kg, "kg", "raw mass")
    after = alike("finished_mass", mass, template.raw_mass_kg, template.finished_mass_kg)
    if listed.finished_mass_kg is not None:
        after = given("finished_mass", listed.finished_mass_kg, "kg", "finished mass")
    return replace(
        template, shape=replace(template.shape, value=listed.shape), raw=raw, finished=finished,
        raw_mass_kg=mass, finished_mass_kg=after,
    )  # fmt: skip
