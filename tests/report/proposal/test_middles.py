"""What a likely figure is, where half of the cases end, what is left without hours alone, and what is asked of whom."""

from dataclasses import replace

import pytest

from millhand.model.decision import Ask
from millhand.model.estimate import PriceLine
from millhand.model.fact import Fact
from millhand.report.proposal import agreed
from millhand.report.proposal.agreed import both, shifts
from millhand.report.proposal.alone import at_a_lot
from millhand.report.proposal.alternatives import why
from millhand.report.proposal.ask import asked
from millhand.report.proposal.budget import budget
from millhand.report.proposal.cell import cycle
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.leading import leads
from millhand.report.proposal.middles import middle, what_it_is, without_alone
from millhand.report.proposal.money import case, of_line
from millhand.report.proposal.records import Item, Say, Table
from millhand.report.proposal.short import key_figures
from millhand.report.proposal.understood import machine_item
from tests.report.fixture_study import ARM, VISE
from tests.report.proposal.told_proposal import base, teller

DRAWN = {"middle.payback": (31.0, "months"), "middle.npv": (270_000.0, "money"), "middle.saving": (98_000.0, "money/y")}
ALONE = {"without_alone.parts": (54_700.0, "parts/y"), "without_alone.npv": (-9_000.0, "money")}


def fact(name: str, value: float, unit: str) -> Fact:
    """One figure of the cell's case."""
    return Fact(id=f"concepts.{ARM}.case.{name}", value=value, unit=unit, basis="computed", source="a test")


def ground_with(figures: dict[str, tuple[float, str]], *more: Fact) -> Ground:
    """The fixture's cell in the long form, with figures of its own."""
    ground = base("long")
    own = [fact(name, *each) for name, each in figures.items()]
    return replace(ground, facts={**ground.facts, **{each.id: each for each in (*own, *more)}})


def plain(ground: Ground, *items: Item, language: str = "en") -> str:
    """The words."""
    says = replace(teller(language, "long"), facts=ground.facts)
    return " ".join(says.plain(each) for each in items).replace("\u202f", " ")


@pytest.mark.parametrize(
    ("language", "words"),
    [("en", "in half of the cases by 31 months"), ("de", "in der Hälfte der Fälle höchstens 31 Monate")],
)
def test_the_headline_is_where_half_of_the_cases_end(language: str, words: str) -> None:
    """The middle in large letters, the likely value and the hurdle's chance in the words below."""
    ground = ground_with(DRAWN)
    large = next(each for each in key_figures(ground) if each.label.key == "key.payback")
    told = plain(ground, *what_it_is(ground), language=language)

    assert plain(ground, large.figure) == "31 months"
    assert "half of the cases; mostly" in plain(ground, large.note)
    assert words in told
    assert ("about 3 in 5" if language == "en" else "3 von 5") in told


def test_where_half_of_the_cases_never_pay_the_words_say_so() -> None:
    """No middle, though with every figure at its likely value the money comes back."""
    ground = ground_with({})
    assert middle(ground, "payback") is None
    assert "in half of the cases not within 8 years" in plain(ground, *what_it_is(ground))


def test_the_case_has_a_column_of_middles_and_says_what_its_columns_are() -> None:
    """Payback and worth with theirs, a dash where none is known."""
    ground = ground_with(DRAWN)
    section = case(ground)
    assert section is not None
    table = next(each for each in section.blocks if isinstance(each, Table))
    found = {each[0].key: plain(ground, each[2]) for each in table.rows if isinstance(each[0], Say)}

    assert found["case.payback"] == "31 months"
    assert found["case.npv"] == "270 000 USD"
    assert found["case.payback_discounted"] == "–"


@pytest.mark.parametrize(
    ("language", "never", "back"),
    [("en", "the money does not come back within 8 years", "money back in 41 months"),
     ("de", "das Geld kommt, auf 8 Jahre gerechnet, nicht zurück", "Rückfluss 41 Monate")],
)  # fmt: skip
def test_what_is_left_without_the_hours_alone(language: str, never: str, back: str) -> None:
    """Parts a year and payback, or that none comes; nothing where none are counted."""
    lasting = fact("without_alone.payback", 41.0, "months")
    assert never in plain(ground_with(ALONE), *without_alone(ground_with(ALONE)), language=language)
    assert back in plain(ground_with(ALONE, lasting), *without_alone(ground_with(ALONE, lasting)), language=language)
    assert list(without_alone(ground_with({}))) == []


def test_the_customer_is_asked_no_price_of_a_suppliers() -> None:
    """A question for suppliers, or about the house's own reserve, is left out; the shop's own stay."""
    ground = base("long")
    price = Fact(id="catalogue.arm.fenced.price", value=1.0, unit="USD", low=0.5, high=2.0, shape="triangular",
                 basis="assumed", source="a test")  # fmt: skip
    asks = (*ground.study.decision.asks, Ask(fact=price.id, words="What does it cost?", why="", kills=False))
    study = replace(ground.study, decision=replace(ground.study.decision, asks=asks))
    ground = replace(ground, study=study, facts={**ground.facts, price.id: price})
    told = [plain(ground, each[0]) for block in asked(ground).blocks if isinstance(block, Table) for each in block.rows]

    assert any("freed hours" in each for each in told)
    assert not any("cost" in each for each in told)


def test_a_way_of_less_worth_says_by_what() -> None:
    """The change by hand against the cell: fewer parts; and the same way against itself nothing."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.case is not None
    assert ground.subject.performance is not None
    parts = replace(ground.facts[ground.subject.performance.parts_per_y], id="fewer", value=1.0)
    worth = replace(ground.facts[ground.subject.case.npv], id="less", value=1.0)
    other = replace(
        ground.subject,
        concept=replace(ground.subject.concept, id="other"),
        performance=replace(ground.subject.performance, parts_per_y="fewer"),
        case=replace(ground.subject.case, npv="less"),
    )
    ground = replace(ground, facts={**ground.facts, "fewer": parts, "less": worth})

    assert plain(ground, why(ground, other)) == ("worth less over the years: fewer parts a year")
    assert plain(ground, why(ground, other), language="de") == ("über die Jahre weniger wert: weniger Teile im Jahr")


@pytest.mark.parametrize(
    ("npv", "half", "words"),
    [
        (1.0, 300_000.0, "worth less at likely values, which make the order. In half of the cases it is worth as much"),
        (None, 300_000.0, "as closely as it is known. In half of the cases it is worth as much or more"),
        (None, 100_000.0, "as closely as it is known, and less in half of the cases"),
        (1.0, 100_000.0, "worth less over the years"),
    ],
)
def test_a_way_with_the_larger_middle_is_told_what_the_draws_say_of_it(
    npv: float | None, half: float, words: str
) -> None:
    """By likely values it comes behind; that half of the cases say otherwise stands beside it, figures in the table."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.case is not None
    own = ground.facts[ground.subject.case.npv]
    drawn = [
        Fact(id=f"concepts.{way}.sure.{name}", value=value, unit=unit, basis="computed", source="a test")
        for way, middle_worth, back, best in ((ARM, 270_000.0, 24.0, 0.3), ("other", half, 26.0, 0.5))
        for name, value, unit in (
            ("npv_p50", middle_worth, "money"), ("payback_p50", back, "months"), ("best_chance", best, "1"),
        )
    ]  # fmt: skip
    worth = replace(own, id="theirs", value=own.value if npv is None else npv)
    other = replace(
        ground.subject,
        concept=replace(ground.subject.concept, id="other"),
        case=replace(ground.subject.case, npv="theirs"),
    )
    ground = replace(ground, facts={**ground.facts, **{each.id: each for each in (worth, *drawn)}})
    told = plain(ground, why(ground, other))

    assert words in told
    assert ("the order between the two is not firm" in told) is (half > 270_000.0)
    assert "not firm" not in plain(ground, why(replace(ground, long=False), other))
    if half > 270_000.0:
        assert "Folge der beiden steht nicht fest" in plain(ground, why(ground, other), language="de")


def test_the_promised_parts_of_a_shift_are_a_test_and_both_runs_have_a_chance() -> None:
    """The mean of ten shifts reaches the low end; both runs together are passed less often than each."""
    ground = base("long")
    tests = ground.study.acceptance
    assert tests is not None
    rows = list(shifts(ground, tests))

    assert len(rows) == 1
    assert "mean of 10 shifts" in plain(ground, rows[0][0])
    assert "the low end of its range" in plain(ground, rows[0][3])
    assert ground.facts[tests.shifts].source != "as many as for a change by hand"
    assert list(shifts(ground, replace(tests, shifts=""))) == []
    for name, count in ((tests.pass_chance, 1), (None, 0)):
        assert len(list(both(replace(tests, both_chance=name)))) == count


def test_a_machine_that_is_called_what_it_is_is_named_once() -> None:
    """No 'mill (mill)'."""
    ground = base("long")
    machine = ground.study.inquiry.machines[0]
    same = replace(machine, name=machine.kind.value)

    assert f"({machine.kind.value})" not in plain(ground, machine_item(same))
    assert f"({machine.kind.value})" in plain(ground, machine_item(replace(machine, name="the blue one")))


def test_a_pace_of_machines_that_never_wait_says_from_what_it_is_counted() -> None:
    """The pace, the cycle's table and the allowance; where the pace is another's, parts and time alone."""
    ground = base("long")
    tests, subject = ground.study.acceptance, ground.subject
    assert tests is not None
    assert subject is not None
    assert subject.timing is not None
    timed, count = subject.timing.operations[0], ground.study.inquiry.machines[0].count.value
    each_s = (ground.value(timed.gap) + ground.value(timed.process)) / ground.value(timed.parts_per_load)
    pace = replace(ground.facts[tests.pace_per_h], value=3600.0 * count / each_s)
    paced = replace(ground, facts={**ground.facts, pace.id: pace})
    told, other = (plain(each, *next(iter(agreed.test_rows(each, tests)))) for each in (paced, ground))

    assert (
        "per hour, all machines together, and 5 % more. So much an hour is what standing and running of “The cycle"
        in told
    )
    assert "all machines together" not in other


def test_what_the_arm_is_bound_for_is_said_of_the_rows_above() -> None:
    """All rows but door, end of program and restart; where the rows do not add up to that, no word of them."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.timing is not None
    work = ground.facts[ground.subject.timing.operations[0].work]
    keys = []
    for more_s in (0.0, 4.0):
        section = cycle(replace(ground, facts={**ground.facts, work.id: replace(work, value=work.value + more_s)}))
        assert section is not None
        rows = next(each for each in section.blocks if isinstance(each, Table)).rows
        keys.append([row[0].key for row in rows if isinstance(row[0], Say)])

    assert "cycle.work_between" in keys[0]
    assert "cycle.work_between" not in keys[1]
    assert "cycle.work" in keys[1]


@pytest.mark.parametrize(
    ("language", "words"),
    [
        (
            "en",
            "programming of new parts by your people, 2 a year of 8 h each; for 50 % of these hours the cell stands",
        ),
        (
            "de",
            "Programmieren neuer Teile durch Ihre Leute, 2 im Jahr zu je 8 h; für 50 % dieser Stunden steht die Zelle",
        ),
    ],
)
def test_programming_of_new_parts_says_its_hours(language: str, words: str) -> None:
    """Parts, hours and what of them somebody loads by hand, so that the hour's wage can be read off."""
    named = {
        "new_families_per_y": (2.0, "1"),
        "programming_family_h": (8.0, "h"),
        "programming_stands_share": (0.5, "1"),
    }
    more = [
        Fact(id=f"catalogue.{name}", value=value, unit=unit, basis="judged", source="a test")
        for name, (value, unit) in named.items()
    ]
    ground = ground_with({}, *more)
    section = case(ground)
    assert section is not None
    table = next(each for each in section.blocks if isinstance(each, Table))
    said = next(each[0] for each in table.rows if isinstance(each[0], Say))

    assert words in plain(ground, replace(said, key="case.running_of_programming"), language=language)


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "floor track, laid out and priced with 5.2 m of travel"),
        ("de", "Fahrachse am Boden, ausgelegt und gepreist mit 5,2 m Hub"),
    ],
)
def test_a_track_is_named_with_the_travel_that_its_price_covers(language: str, words: str) -> None:
    """That of the layout, not that of the class; where no price by the travel is known, and in any other line, none."""
    ground = base("long")
    assert ground.subject is not None
    assert ground.subject.layout is not None
    long, paid = (
        Fact(id=name, value=value, unit=unit, basis="computed", source="a test")
        for name, value, unit in (
            ("track", 5.2, "m"), (f"concepts.{ARM}.estimate.track_price", 40_500.0, "money"),
        )
    )  # fmt: skip
    subject = replace(ground.subject, layout=replace(ground.subject.layout, track="track"))
    bare = replace(ground, subject=subject, facts={**ground.facts, long.id: long})
    seen = replace(bare, facts={**bare.facts, paid.id: paid})
    mount, other = (
        PriceLine(id=each, words="floor track", group="equipment", amount=paid) for each in ("mount", "arm")
    )

    assert plain(seen, of_line(seen, mount), language=language) == words
    assert "5" not in plain(seen, of_line(seen, other), language=language)
    assert "5" not in plain(bare, of_line(bare, mount), language=language)


def known(name: str, value: float, unit: str) -> Fact:
    """A figure made for tests."""
    return Fact(id=name, value=value, unit=unit, basis="computed", source="a test")


def drawn(other_half: float) -> Ground:
    """The fixture's cell, half of whose cases lie at 270 000, beside a way with another middle."""
    ground = base("long")
    made = [
        known(f"concepts.{way}.sure.{name}", value, unit)
        for way, half, best in ((ARM, 270_000.0, 0.3), (VISE, other_half, 0.5))
        for name, value, unit in (("npv_p50", half, "money"), ("best_chance", best, "1"))
    ]
    return replace(ground, facts={**ground.facts, **{each.id: each for each in made}})


@pytest.mark.parametrize(("half", "other"), [(300_000.0, True), (270_400.0, False), (100_000.0, False)])
def test_the_way_that_leads_in_half_of_the_cases_is_named_where_it_is_another(half: float, *, other: bool) -> None:
    """By figures that print apart; else the proposed way leads in both. The rest goes to further ways."""
    ground = drawn(half)
    words = " ".join(plain(ground, each.item) for each in leads(ground))

    assert ("with 300 000 USD against 270 000 USD" in words) is other
    assert ("both at likely values" in words) is not other
    assert "30 %" in words
    assert ("50 %" in words) is other
    assert list(leads(base("long"))) == []


def test_no_way_is_said_to_lead_at_likely_values_that_another_beats() -> None:
    """One that is worth more, and is not proposed for its payback: the rule of the table says why."""
    ground = drawn(100_000.0)
    assert ground.subject is not None
    assert ground.subject.case is not None
    own = ground.facts[ground.subject.case.npv]
    dear = known("dear", own.value + 100_000.0, "money")
    other = next(each for each in ground.study.results if each.case is not None and each.concept.id != ARM)
    assert other.case is not None
    better = replace(other, case=replace(other.case, npv=dear.id))
    results = tuple(better if each is other else each for each in ground.study.results)
    seen = replace(ground, study=replace(ground.study, results=results), facts={**ground.facts, dear.id: dear})

    assert list(leads(ground)) != []
    assert list(leads(seen)) == []


@pytest.mark.parametrize(
    ("budget_money", "words"),
    [
        (300_000.0, "which is within it."),
        (250_000.0, "at most 277 000 USD, which is not"),
        (190_000.0, "more than that"),
    ],
)
def test_a_budget_is_held_against_all_in(budget_money: float, words: str) -> None:
    """Likely and upper end of price and own work together."""
    ground, top = base("long"), f"concepts.{ARM}.estimate"
    wish = known("wishes.budget", budget_money, "money")
    told = (wish, known(f"{top}.all_in", 198_000.0, "money"), known(f"{top}.all_in_high", 277_000.0, "money"))
    inquiry = replace(ground.study.inquiry, wishes=replace(ground.study.inquiry.wishes, budget=wish))
    seen = replace(ground, study=replace(ground.study, inquiry=inquiry),
                   facts={**ground.facts, **{each.id: each for each in told}})  # fmt: skip

    assert words in " ".join(plain(seen, each.item) for each in budget(seen))
    assert list(budget(ground)) == []


def test_a_lot_that_ends_at_night_is_said_not_to_be_simulated() -> None:
    """With the share of the nights; nothing where the study holds no such share."""
    ground = base("long")
    share, run = known("introduction.lot_ends", 0.243, "1"), known("run", 218.0, "parts")
    words = plain(ground, *at_a_lot(ground))
    assert ground.subject is not None
    assert ground.subject.performance is not None
    alone = replace(ground.subject, performance=replace(ground.subject.performance, parts_alone="run"))
    seen = replace(ground, subject=alone, facts={**ground.facts, share.id: share, run.id: run})

    assert words == ""
    assert "one ends in about 24 % of the nights" in plain(seen, *at_a_lot(seen))
