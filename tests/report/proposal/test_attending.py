"""What the three readers of a trial looked for and the study holds: refills, changeovers, further families, fields."""

from dataclasses import replace
from itertools import chain

import pytest

from millhand.model.fact import Fact
from millhand.model.part_mix import PartMix
from millhand.model.performance import MachineWait
from millhand.model.safeguarding import Distance, Guarded
from millhand.model.safety import EntryStep
from millhand.report.proposal.agreed import timeline
from millhand.report.proposal.alone import left_alone
from millhand.report.proposal.alternatives import reason
from millhand.report.proposal.attending import attending, changeover_steps, set_up
from millhand.report.proposal.cell import cycle, reckoned
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.money import measures
from millhand.report.proposal.near_people import part_held, side_rows, sides
from millhand.report.proposal.records import Paragraph, Say, Table
from millhand.report.proposal.telling import Teller
from millhand.report.proposal.understood import part_list
from millhand.report.tongue import tongue
from tests.report.fixture_study import ARM
from tests.report.proposal.test_safety import usual
from tests.report.proposal.told_proposal import base

TAKES = "feasibility.capacity_refill.takes"
OF_CELL = {
    "feasibility.pockets": (46.0, "parts"), "feasibility.capacity_refill.visits": (4.0, "1"),
    "feasibility.capacity_refill.demand": (141.9, "parts"), "performance.changeover_stands": (4200.0, "s"),
    "performance.changeover_work": (1200.0, "s"), "case.by_family": (2311.6, "money/y"),
}  # fmt: skip
OF_TRADE = {
    "catalogue.programming_family_h": (8.0, "h"), "catalogue.new_families_per_y": (2.0, "1"),
    "catalogue.installation_machine_d": (3.0, "d"), "catalogue.person_speed_m_s": (1.6, "m/s"),
    "near": (0.25, "m/s"), "stop": (0.395, "s"), "visit": (240.0, "s"), "a_part": (6.0, "s"),
}  # fmt: skip


def fact(name: str, value: float, unit: str, **inputs: str) -> Fact:
    """One figure; with inputs it is worked out of them."""
    if inputs:
        return Fact(id=name, value=value, unit=unit, basis="computed", source="", inputs=tuple(inputs.items()))
    return Fact(id=name, value=value, unit=unit, basis="given", source="a test")


def with_figures(*more: Fact) -> Ground:
    """The fixture's cell in the long form, with figures of its own."""
    ground = base("long")
    own = [fact(f"concepts.{ARM}.{name}", *each) for name, each in OF_CELL.items()]
    own += [fact(name, *each) for name, each in OF_TRADE.items()]
    own.append(fact(f"concepts.{ARM}.{TAKES}", 516.0, "s", walk_s="visit", part_s="a_part", parts="pockets"))
    return replace(ground, facts={**ground.facts, **{each.id: each for each in (*own, *more)}})


def plain(ground: Ground, *items: object, language: str = "en") -> str:
    """Items as text, with common spaces."""
    teller = Teller(tongue=tongue(language), facts=ground.facts, currency="USD", pictures={})
    return " ".join(teller.plain(each) for each in items).replace("\u202f", " ")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("language", "told"),
    [("en", ("room for 46 parts", "Fillings a shift: 4 where it begins empty", "for the 142 parts of",
             "takes about 8.6 min: 240 s to walk over",
             "and 6 s for each part",
             "stands about 70 min", "works about 20 min",
             "about 8 h of programming", "counts: 2, at 2300 USD")),
     ("de", ("Platz für 46 Teile", "Füllungen je Schicht: 4, wenn er leer beginnt", "für die 142 Teile einer",
             "dauert etwa 8,6 min: 240 s zum Hingehen",
             "steht etwa 70 min",
             "arbeitet etwa 20 min", "etwa 8 h Programmieren", "zählt: 2, mit 2300 USD"))],
)  # fmt: skip
def test_what_is_done_at_the_cell_is_told_with_its_figures(language: str, told: tuple[str, ...]) -> None:
    """How often it is filled, how long a changeover takes, what a further family asks for."""
    ground = with_figures()
    words = plain(ground, *attending(ground), language=language).replace("2 300", "2300")

    assert [each for each in told if each not in words] == []


def test_simulated_minutes_of_refilling_say_when_somebody_comes(monkeypatch: pytest.MonkeyPatch) -> None:
    """At a level of the stock, so that they go with fillings that are not whole; nothing without a simulated shift."""
    ground = with_figures(fact("catalogue.refill_level_share", 0.25, "1"))
    words = "fills up as soon as 25 % of the stock is left"
    assert words not in plain(ground, *attending(ground))
    monkeypatch.setattr("millhand.report.proposal.attending.of_a_shift", lambda ground: True)

    assert words in plain(ground, *attending(ground)).replace("\u00a0", " ")
    assert words not in plain(with_figures(), *attending(with_figures()))


@pytest.mark.parametrize(
    ("count", "inside", "language", "says", "silent"),
    [
        (2.0, "stop", "en", "the arm are counted as running on. While somebody", "no such words"),
        (2.0, "slow", "en", "the other machines and the arm are counted as running on", "While somebody works for it"),
        (2.0, "stop", "de", "sind währenddessen als weiterlaufend gezählt. Arbeitet dafür", "no such words"),
        (1.0, "stop", "en", "it stands about 70 min", "other machines"),
    ],
)  # fmt: skip
def test_a_changeover_says_what_the_other_machines_do(
    count: float, inside: str, language: str, says: str, silent: str
) -> None:
    """They run on, as the sum has it, and what that leaves out of the arm; one machine has no others."""
    ground = with_figures()
    assert ground.subject is not None
    machine, guard = ground.study.inquiry.machines[0], ground.subject.concept.safeguarding
    assert guard is not None
    several = replace(machine, count=replace(machine.count, value=count))
    made = replace(ground.subject.concept, safeguarding=replace(guard, words={"inside": inside}))
    inquiry = replace(ground.study.inquiry, machines=(several,))
    shop = replace(ground, study=replace(ground.study, inquiry=inquiry), subject=replace(ground.subject, concept=made))
    words = plain(shop, *attending(shop), language=language)

    assert says in words
    assert silent not in words


def test_nothing_is_said_of_a_figure_that_the_study_lacks() -> None:
    """A sentence with a hole in it is worse than none."""
    ground = with_figures()
    without = {name: each for name, each in ground.facts.items() if "changeover" not in name and "refill" not in name}

    assert [each.key for each in attending(replace(ground, facts=without)) if isinstance(each, Say)] == ["hand.family"]


def test_work_by_hand_says_how_long_a_set_up_takes() -> None:
    """A cell has its changeover in the place of it."""
    ground = with_figures(fact(f"concepts.{ARM}.performance.set_ups_work", 3600.0, "s"))

    assert "takes about 60 min of" in plain(ground, *set_up(ground))
    assert list(set_up(with_figures())) == []


def test_a_cell_says_how_long_it_runs_alone() -> None:
    """The least of stock, tools, chips and lot; nothing where that is no time at all."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.performance is not None
    lasts = ground.subject.performance.autonomy_s
    ten, none = (replace(ground, facts={**ground.facts, lasts: fact(lasts, value, "s")}) for value in (36_000.0, 0.0))

    assert plain(ten, *left_alone(ten)).startswith("Without a stop it runs 10 h with nobody there")
    assert "a mean over all hours wished" in plain(ten, *left_alone(ten))
    assert list(left_alone(none)) == []


STOCK, NIGHT = (f"concepts.{ARM}.feasibility.{name}" for name in ("pockets", "capacity_night.limit"))
TOOLS, CHIPS = f"concepts.{ARM}.performance.milling.tool_limit_parts", NIGHT.replace("limit", "chips.mill")


@pytest.mark.parametrize(
    ("least", "language", "told"),
    [(STOCK, "en", "The stock ends it first, after 46 parts: more places for raw and finished parts would lengthen it. "
                   "Next comes a full chip box, after 400 parts."),
     (TOOLS, "en", "Tool life ends it first, after 46 parts: longer lasting or sister tools would lengthen it. "
                   "Next comes the stock, after 300 parts."),
     (CHIPS, "de", "Zuerst endet es am Spänekasten, nach 46 Teilen: ein größerer, oder ein Späneförderer, würde es "
                   "verlängern. Als Nächstes kommt der Vorrat, nach 300 Teilen.")],
)  # fmt: skip
def test_a_wish_for_hours_alone_that_is_not_reached_is_said_with_what_ends_it(
    least: str, language: str, told: str
) -> None:
    """By the limits that the time was worked out from, those behind the least of several too."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.performance is not None
    lasts = ground.subject.performance.autonomy_s
    counted = {STOCK: 300.0, CHIPS: 400.0, TOOLS: 500.0, least: 46.0}
    made = [fact(name, value, "parts") for name, value in counted.items()]
    made.append(fact(NIGHT, 46.0, "parts", **{"values[0]": STOCK, "values[1]": CHIPS}))
    made.append(
        fact(lasts, 10_123.6, "s", **{f"limits_parts[{n}]": each for n, each in enumerate((STOCK, TOOLS, NIGHT))})
    )
    seen = replace(ground, facts={**ground.facts, **{each.id: each for each in made}})

    words = plain(seen, *left_alone(seen), language=language)
    assert told in words
    assert ("at work for 2.8 h of the 8 h wished" in words and "the others go on" in words) or language == "de"
    assert list(left_alone(replace(seen, long=False))) == [*left_alone(seen)][:2] + [*left_alone(seen)][-1:]


def test_the_field_says_what_it_is_reckoned_with() -> None:
    """Person, arm and stop, whose longest is not rounded to the short side; nothing of a fence, which rests on none."""
    slow = fact("slow", 1.5, "m", human_speed_m_s="catalogue.person_speed_m_s", robot_speed_m_s="near", stopping_s="x")
    field = fact("field", 1.75, "m", stopping_s="stop", height_m="y")
    ground = with_figures(slow, field)
    stop = replace(ground.facts["stop"], low=0.3, high=0.6411)
    ground = replace(ground, facts={**ground.facts, "stop": stop})
    row = Guarded(choice="scanner", title="scanner", function="stops", speed="near", distances=(
        Distance(words="slow", rule="a", fact="slow"), Distance(words="stop", rule="b", fact="field"),
    ))  # fmt: skip
    words = plain(ground, *reckoned(ground, row))

    assert "comes at 1.6 m/s, an arm of at most 0.25 m/s near people, and 0.4 s, at most 0.65 s, from" in words
    assert list(reckoned(ground, replace(row, distances=row.distances[1:]))) == []


def test_the_inner_field_can_be_added_up_from_what_is_said() -> None:
    """Reaction and braking from the slow speed, with way, allowances and the person's speed: they give its distance."""
    parts = {"human_speed_m_s": "catalogue.person_speed_m_s", "robot_speed_m_s": "near", "reaction_s": "seen",
             "stopping_s": "brakes", "stopping_path_m": "path", "allowances_m": "more"}  # fmt: skip
    given = {"seen": (0.4, "s"), "brakes": (0.125, "s"), "path": (0.02, "m"), "more": (0.95, "m")}
    known = [replace(fact(name, *each), high=each[0] * 2.0, low=each[0] / 2.0) for name, each in given.items()]
    inner = fact("own.stop_field", 1.91, "m", **parts)
    ground = with_figures(inner, fact("field", 1.75, "m", stopping_s="stop", height_m="y"), *known)
    row = Guarded(choice="scanner", title="scanner", function="stops", speed="near", distances=(
        Distance(words="the stop field begins", rule="a", fact="own.stop_field"),
        Distance(words="field", rule="b", fact="field"),
    ))  # fmt: skip
    words = plain(ground, *reckoned(ground, row))

    assert "from the slow speed, 0.25 m/s: 0.4 s, at most 0.8 s, from being seen" in words
    assert "then 0.13 s, at most 0.25 s, of braking" in words
    assert "measures time and way to stand still at that speed on the real cell" in words
    without = replace(ground, facts={**ground.facts, "own.stop_field": fact("own.stop_field", 1.91, "m", **{
        key: each for key, each in parts.items() if key != "reaction_s"})})  # fmt: skip
    assert "slow speed" not in plain(without, *reckoned(without, row))


def test_running_cost_and_standing_machines_are_said() -> None:
    """The saving is told before upkeep, so the running cost stands below it; the machines' days stand with the time."""
    ground = with_figures()
    names = [name for name, _, _ in measures(ground)]
    section = timeline(ground)
    assert section is not None

    assert names[names.index("saving_only") + 1] == "running"
    assert "each machine stands for it 3 days" in plain(ground, *chain(*section.blocks[0].rows))  # type: ignore[union-attr]


def test_a_way_of_the_same_printed_worth_is_not_said_to_be_worth_less() -> None:
    """Equal as far as it is known, and less where it prints as less."""
    ground = base("long")
    subject = ground.subject
    assert subject is not None
    assert subject.case is not None
    rival = replace(subject, concept=replace(subject.concept, id="rival"))
    poorer = replace(rival, case=replace(subject.case, npv="poorer"))
    facts = {**ground.facts, "poorer": replace(ground.facts[subject.case.npv], id="poorer", value=1.0)}

    assert reason(ground, rival) == "even"
    assert reason(replace(ground, facts=facts), poorer) == "worth"

    richer = replace(rival, case=replace(subject.case, npv="richer"))
    facts = {**ground.facts, "richer": replace(ground.facts[subject.case.npv], id="richer", value=1e7)}
    by_hand = replace(ground.study, decision=replace(ground.study.decision, answer="by_hand"))
    assert reason(replace(ground, facts=facts, study=by_hand), richer) == "on_top"


def test_how_much_of_a_part_list_the_cell_can_load_is_said() -> None:
    """Of its own list alone: nothing where there is none, or where it is of another cell."""
    ground = with_figures(fact("count", 56.0, "1"), fact("able", 0.8519, "1"))
    mix = PartMix(
        concept=ARM, count="count", left_out="", hours="", families=(), means=(), steps=(), able="able",
        priced_sets=None, priced=None, lots="", changeovers="", changeovers_sorted="", left=(), words=(),
    )  # fmt: skip
    own, other = (
        replace(ground, study=replace(ground.study, part_mix=each)) for each in (mix, replace(mix, concept="other"))
    )

    assert "(56 parts) this cell can load 85 % of the machine hours" in plain(own, *part_list(own))
    assert list(part_list(other)) == list(part_list(ground)) == []


@pytest.mark.parametrize(
    ("language", "told"),
    [("en", "waits to be loaded or unloaded in 8.3 % of the hours in which the cell may run (7.9 to 8.7 %), 31 s"),
     ("de", "wartet in 8,3 % der Stunden, in denen die Zelle laufen kann (7,9 bis 8,7 %), 31 s je Beladung, darauf")],
)  # fmt: skip
def test_the_cycle_says_how_long_a_machine_waits_for_the_arm(language: str, told: str) -> None:
    """Share with its interval, and the seconds of a load; nothing where the cell was not simulated."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.performance is not None

    def below(waits: tuple[MachineWait, ...]) -> str:
        seen = replace(ground.subject, performance=replace(ground.subject.performance, waits=waits))  # type: ignore[union-attr,type-var]
        section = cycle(replace(ground, subject=seen))
        assert section is not None
        return plain(ground, *(each.item for each in section.blocks if isinstance(each, Paragraph)), language=language)

    assert told in below(ground.subject.performance.waits)
    assert told not in below(())


@pytest.mark.parametrize(
    ("alone", "told"), [(True, "two parts, and what the arm does besides"), (False, "two parts. The last element")]
)
def test_what_the_arm_does_besides_is_promised_only_where_a_row_shows_it(alone: bool, told: str) -> None:
    """One hand does all of its work while the machine stands."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.timing is not None
    timed = tuple(
        replace(each, elements=tuple(one for one in each.elements if alone or one.side == "machine stands"))
        for each in ground.subject.timing.operations
    )
    seen = replace(ground.subject, timing=replace(ground.subject.timing, operations=timed))
    section = cycle(replace(ground, subject=seen))

    assert section is not None
    assert told in plain(ground, *(each.item for each in section.blocks if isinstance(each, Paragraph)))


def test_a_changeover_is_told_step_by_step_with_its_number_a_year() -> None:
    """What today has and what the cell adds, then both sums, how many there are and their hours; in both languages."""
    top = f"concepts.{ARM}.performance"
    stands = Fact(id=f"{top}.changeover_stands", value=4200.0, unit="s", basis="computed", source="",
                  inputs=(("elements_s[]", "set_up"), ("elements_s[]", "own")))  # fmt: skip
    ground = with_figures(
        fact("set_up", 2400.0, "s"), fact("own", 1800.0, "s"), fact(f"{top}.changeovers", 150.0, "1/y"),
        fact(f"{top}.changeovers_h", 175.0, "h/y"), stands,
    )  # fmt: skip
    table, words = changeover_steps(ground)
    assert isinstance(table, Table)
    assert isinstance(words, Paragraph)
    assert "only while all machines run parts that this set grips" in plain(ground, words.item)

    for language in ("en", "de"):
        shown = [plain(ground, row[1], language=language) for row in table.rows]
        assert shown == ["40 min", "30 min", "70 min", "20 min", "150", "175 h"]
    assert not list(changeover_steps(with_figures()))


def test_the_gap_behind_a_gate_is_held_against_the_far_end_of_the_walk() -> None:
    """Nearer than somebody may walk it protects nobody; the floor where somebody fills is told in the same place."""
    ground = usual()
    made = ground.study.safeguarding
    assert made is not None
    assert made.answers is not None
    step = EntryStep(words="walk", who="somebody", figure="x.entering.walked")
    study = replace(ground.study, safeguarding=replace(made, answers=replace(made.answers, entering=(step,))))
    speed = replace(fact("x.speed", 1.6, "m/s"), source="figures.csv:157, isots15066, a person who walks in")
    time = replace(fact("x.stop", 0.31, "s"), low=0.2, high=0.5)
    walk = replace(fact("x.entering.walked", 0.5, "m"), low=0.3, high=0.8,
                   inputs=(("time_s", time.id), ("speed_m_s", speed.id)))  # fmt: skip

    def said(gate_m: float, filling_m: float) -> str:
        """What is set apart with such gaps."""
        top = f"concepts.{ARM}.layout.people_gap"
        gaps = (walk, speed, time, fact(f"{top}.gates.held", gate_m, "m"),
                fact(f"{top}.presenter.held", filling_m, "m"), fact(f"{top}.outfeed.held", 0.6, "m"))  # fmt: skip
        known = {**ground.facts, **{each.id: each for each in gaps}}
        (caution,) = sides(replace(ground, study=study, facts=known))
        return plain(replace(ground, facts=known), *caution.items)  # type: ignore[union-attr]

    assert "no gate as drawn keeps him from the arm" in said(0.7, 0.4)
    assert "no gate as drawn keeps him from the arm" in said(0.75, 0.4)
    assert "The drawn gap is the longer one." in said(0.85, 0.4)
    assert "1.6 m/s times the time until the arm stands: 0.31 s, at most 0.5 s, makes" in said(0.85, 0.4)
    assert "at most 0.8 m, until" in said(0.85, 0.4)
    assert "0.6 m is left between the floor on which somebody empties" in said(0.7, 0.4)
    assert "0.4 m is left between the floor" in said(0.7, 0.4)
    assert "comes over the floor on which somebody fills" in said(0.7, -0.06)


def test_what_is_drawn_says_that_the_part_is_in_it_and_the_side_that_is_emptied_has_its_row() -> None:
    """How much the part takes off where that is known; a stop that is simulated already is not reckoned anew."""
    ground = usual()
    top = f"concepts.{ARM}.layout.people_gap"
    gaps = (fact(f"{top}.outfeed.held", 0.6, "m"), fact(f"{top}.presenter.held", 0.4, "m"))
    part = fact(f"{top}.part", 0.1, "m")
    without = replace(ground, facts={**ground.facts, **{each.id: each for each in gaps}})
    known = replace(without, facts={**without.facts, part.id: part})
    assert known.subject is not None
    stand = known.subject.concept.presenter
    assert stand is not None

    def anew(refill: str) -> list[bool]:
        """Of each side, whether it is said that a stop is reckoned anew."""
        own = replace(stand, words={"refill": refill})
        concept = replace(known.subject.concept, presenter=own)  # type: ignore[union-attr]
        seen = replace(known, subject=replace(known.subject, concept=concept))  # type: ignore[type-var]
        (caution,) = sides(seen)
        return ["worked out anew" in plain(seen, each) for each in caution.items]  # type: ignore[union-attr]

    assert "somebody empties to what moves" in plain(known, *chain(*side_rows(known)))
    for language, words in (("en", "up to 100 mm, from where it is held"), ("de", "bis zu 100 mm, von der Stelle")):
        said = (each.item for each in part_held(known))  # type: ignore[union-attr]
        assert words in plain(known, *said, language=language)
    assert list(part_held(without)) == []
    assert (anew("inside"), anew("outside")) == ([False, True], [True, True])
