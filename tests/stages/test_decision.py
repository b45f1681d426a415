"""The decision: the rule, turning points that really turn, sentences whose figures are facts, questions in order."""

import dataclasses
import re
from collections.abc import Mapping

import pytest

from millhand.model.decision import Decision, Driver
from millhand.model.fact import Choice, Fact
from millhand.model.study import Result
from millhand.model.verdict import Verdict
from millhand.stages.decision import decision, focus, over_hand
from millhand.stages.decision.asks import question
from millhand.stages.decision.desk import named
from millhand.stages.decision.sentences import families
from millhand.trace import Sheet, recomputed
from tests.stages.money_shop import Made, Words, fact, inquiry, made

MARK = re.compile(r"\[\[([^|\]]+)\|([a-z_0-9]+)\]\]")
FORMATS = {
    "number", "count", "parts", "money", "money_2", "months", "years", "seconds", "minutes", "hours", "metres", "mm",
    "area", "mass", "force", "percent", "chance", "ratio", "per_hour",
}  # fmt: skip
GOOD = {"people.share_usable": 1.0, "people.wage": 40.0, "wishes.hurdle": 36.0}
POOR = {"people.share_usable": 0.1}
KINDS = ("today", "by_hand", "cell")


@dataclasses.dataclass(frozen=True, slots=True, kw_only=True)
class Advised:
    """A decision with all that it was made from."""

    decision: Decision
    results: tuple[Result, ...]
    made: Mapping[str, Made]
    sheet: Sheet

    @property
    def all_words(self) -> tuple[str, ...]:
        """Every sentence of the decision."""
        answer = self.decision
        return (
            *answer.sentences, *answer.would_change, *(one.words for one in answer.ranking),
            *(ask.why for ask in answer.asks),
        )  # fmt: skip


def advised(
    numbers: Mapping[str, float] | None = None,
    *,
    output: Mapping[str, tuple[float, float]] | None = None,
    verdicts: Mapping[str, tuple[Verdict, ...]] | None = None,
    drivers: tuple[Driver, ...] = (),
    assumed: tuple[Fact | Choice, ...] = (),
    kinds: tuple[str, ...] = KINDS,
) -> Advised:
    """Today, a change by hand and a cell of the hand-made shop, decided on."""
    sheet = Sheet(assumed)
    each = {kind: made(kind, numbers=numbers, output=output, shop=sheet) for kind in kinds}
    results = tuple(
        Result(
            concept=one.concept, verdicts=(verdicts or {}).get(kind, ()), performance=one.performance,
            estimate=one.estimate, case=one.case,
        )
        for kind, one in each.items()
    )  # fmt: skip
    kills = {"machines.*.door": 3, "machines.*.control@mill": 2, "parts.*.*.time_is": 1}
    answer = decision(each["today"].inquiry, results, drivers, sheet, kills=kills)
    return Advised(decision=answer, results=results, made=each, sheet=sheet)


def verdict(*, holds: bool, kills: bool = True) -> Verdict:
    """One check of a concept."""
    return Verdict(
        concept="any", check="payload", holds=holds, kills=kills, demand="a", limit="b", margin="c",
        words="the arm carries too little", formula="none",
    )  # fmt: skip


# The rule.


def test_a_cell_that_meets_the_hurdle_wins() -> None:
    """Back in 17 months where 36 are asked, worth more than the change by hand, and paying on top of it."""
    answer = advised(GOOD).decision

    assert answer.answer == "cell"
    assert answer.winner == "drawers-pedestal-fenced"
    assert answer.second == "by_hand-second_fixture"


def test_a_cell_that_misses_the_hurdle_does_not_win_by_its_worth() -> None:
    """The cell is worth most over the years, but back too late: the change by hand, back in time, is advised."""
    answer = advised().decision

    assert answer.ranking[0].concept == "drawers-pedestal-fenced"
    assert (answer.answer, answer.winner) == ("by_hand", "by_hand-second_fixture")


def test_nothing_that_meets_the_hurdle_is_no() -> None:
    """'No' names today as the winner and the nearest concept as the second."""
    answer = advised(POOR).decision

    assert (answer.answer, answer.winner) == ("no", "today")
    assert answer.second == "by_hand-second_fixture"


def test_a_cell_must_pay_on_top_of_the_change_by_hand() -> None:
    """Both meet the hurdle; but where the change by hand frees most hours, the cell's extra price is not back."""
    numbers = GOOD | {"wishes.hurdle": 20.0}
    alone = advised(numbers, kinds=("today", "cell")).decision
    beside = advised(numbers, output={"by_hand": (50_000.0, 2_500.0)})

    assert alone.answer == "cell"
    assert beside.decision.answer == "by_hand"
    assert any("its extra price is not back in time" in words for words in beside.decision.sentences)


def test_the_extra_price_is_back_when_the_balances_meet() -> None:
    """The incremental payback is the month in which the cell's balance overtakes that of the change by hand."""
    both = advised(GOOD)
    on_top = both.sheet["concepts.drawers-pedestal-fenced.decision.on_top_of.by_hand-second_fixture"]
    after = recomputed(both.sheet.facts, {"wishes.hurdle": on_top.value}, {})
    balances = [after[one.case.hurdle_balance] for one in (both.made["cell"], both.made["by_hand"])]

    assert balances[0] == pytest.approx(balances[1], abs=1e-4)


def test_a_present_worth_below_zero_is_never_advised() -> None:
    """A payback inside the hurdle is not enough: discounted, the years do not carry the price."""
    answer = advised({"wishes.hurdle": 96.0, "people.share_usable": 0.4, "money.rate": 0.25}).decision
    cell = next(one for one in answer.ranking if one.concept == "drawers-pedestal-fenced")

    assert "within the hurdle" in cell.words
    assert answer.winner != "drawers-pedestal-fenced"


def test_today_has_a_place() -> None:
    """Ranked by present worth, today at zero: above whatever loses money."""
    ranking = advised(POOR).decision.ranking

    assert ranking[0].concept == "today"
    assert [one.place for one in ranking] == [1, 2, 3]


def test_a_concept_that_fell_keeps_the_check_that_ended_it() -> None:
    """It has no place, and cannot win however much it would earn; a check that only warns ends nothing."""
    fallen = advised(GOOD, verdicts={"cell": (verdict(holds=True), verdict(holds=False))}).decision
    warned = advised(GOOD, verdicts={"cell": (verdict(holds=False, kills=False),)}).decision

    last = fallen.ranking[-1]
    assert (last.concept, last.place, last.fell) == ("drawers-pedestal-fenced", None, "payload")
    assert last.words == "the arm carries too little"
    assert fallen.answer == "by_hand"
    assert warned.answer == "cell"


def test_when_everything_fell_the_answer_says_so() -> None:
    """No figure would change it: the checks are named instead."""
    answer = advised(GOOD, verdicts=dict.fromkeys(("cell", "by_hand"), (verdict(holds=False),))).decision

    assert answer.answer == "no"
    assert answer.second is None
    assert answer.would_change == ()
    assert any("fell at these checks: payload" in words for words in answer.sentences)


# What would change it.


def turning_points(found: Advised, goal: str) -> dict[str, float]:
    """Base fact and the value at which the answer turns, out of the sheet."""
    return {
        fact.inputs[0][1]: fact.value
        for fact in found.sheet
        if fact.id.startswith(f"decision.{goal}") and fact.id.endswith(".turns_at")
    }


@pytest.mark.parametrize("numbers", [GOOD, POOR, None], ids=["yes", "no", "by hand"])
def test_at_the_turning_point_the_hurdle_is_just_met(numbers: Mapping[str, float] | None) -> None:
    """A thousandth to either side the concept meets the hurdle, or does not."""
    found = advised(numbers)
    turned = 0
    for kind in ("cell", "by_hand"):
        case = found.made[kind].case
        for fact_id, value in turning_points(found, f"meets_hurdle.{found.made[kind].concept.id}").items():
            met = []
            for changed in (0.999 * value, 1.001 * value):
                after = recomputed(found.sheet.facts, {fact_id: changed}, {})
                met.append(after[case.hurdle_balance] >= 0.0 and after[case.npv] >= 0.0)
            assert met[0] != met[1], fact_id
            turned += 1
    assert turned >= 2


def test_no_says_which_figure_would_have_to_change_and_by_how_much() -> None:
    """More orders, or a better use of the freed hours: each as a sentence with both figures and the share."""
    found = advised(POOR)
    points = turning_points(found, "meets_hurdle.by_hand")

    assert set(points) == {"parts.bracket.orders", "people.share_usable"}
    assert points["people.share_usable"] > 0.1
    words = " ".join(found.decision.would_change)
    assert "would have to rise from [[people.share_usable|percent]] to" in words
    assert "No single figure that was looked at lets the best cell meet the hurdle" in words


def test_yes_says_what_would_end_it() -> None:
    """A price so much higher, a wage so much lower."""
    found = advised(GOOD)
    points = turning_points(found, "meets_hurdle.drawers")
    price = found.made["cell"].estimate.installed

    assert points[price] > found.sheet.value(price)
    assert points["people.wage"] < found.sheet.value("people.wage")
    assert all("no longer meets the hurdle" in words for words in found.decision.would_change)


def test_the_nearest_turning_point_stands_first() -> None:
    """The smallest change is the likeliest one."""
    found = advised(GOOD)
    shares = [
        abs(found.sheet.value(match[1]))
        for words in found.decision.would_change
        for match in MARK.finditer(words)
        if match[1].endswith(".change")
    ]

    assert shares == sorted(shares)
    assert len(shares) >= 2
    assert all(share < 1.0 for share in shares)  # what would have to double is not worth a sentence


def test_the_second_says_when_it_would_win() -> None:
    """At the value named, and not before, the rule chooses the other one."""
    found = advised(GOOD)
    value = turning_points(found, "second_wins")[found.made["cell"].estimate.installed]
    now = found.sheet.value(found.made["cell"].estimate.installed)
    hand, cell = found.made["by_hand"].case, found.made["cell"].case

    def cell_ahead(price: float) -> bool:
        after = recomputed(found.sheet.facts, {found.made["cell"].estimate.installed: price}, {})
        return after[cell.npv] > after[hand.npv] and after[cell.hurdle_balance] > after[hand.hurdle_balance]

    assert cell_ahead(now)
    assert cell_ahead(0.999 * value)
    assert not cell_ahead(1.001 * value)


# What is said.


@pytest.mark.parametrize("numbers", [GOOD, POOR, None], ids=["yes", "no", "by hand"])
def test_every_figure_in_a_sentence_is_a_fact(numbers: Mapping[str, float] | None) -> None:
    """Marks name facts of the sheet and formats that exist, and no bare digit stands between them."""
    found = advised(numbers)
    for words in found.all_words:
        for fact_id, form in MARK.findall(words):
            assert fact_id in found.sheet, words
            assert form in FORMATS, words
        assert not re.search(r"\d", MARK.sub("", words)), words
        assert "None" not in words


def test_the_first_sentence_is_the_answer() -> None:
    """One glance is enough."""
    assert advised(GOOD).decision.sentences[0].startswith("We recommend a cell: an arm with drawers.")
    assert advised().decision.sentences[0].startswith("Change the work first, better by hand.")
    assert advised(POOR).decision.sentences[0].startswith("Go on as today for now")


def test_the_naive_figure_stands_beside_the_honest_one() -> None:
    """Shown as what it is: said across the table."""
    found = advised(GOOD)
    case = found.made["cell"].case
    words = next(words for words in found.decision.sentences if "Across the table" in words)

    assert f"[[{case.naive_payback_months}|months]]" in words
    assert found.sheet.value(str(case.naive_payback_months)) < found.sheet.value(str(case.payback_months))


def test_output_is_spoken_of_as_it_is_counted() -> None:
    """Ordered parts bring money; without orders more parts are none; lost parts are a loss."""
    more = advised(GOOD | {"parts.bracket.orders": 80_000.0}).decision.sentences
    none = advised(GOOD).decision.sentences
    less = advised(GOOD, output={"cell": (49_000.0, 900.0)}).decision.sentences

    assert any("cannot be made today" in words for words in more)
    assert any("More parts are not counted as money" in words for words in none)
    assert any("fewer parts than are sold today" in words for words in less)


# What is asked.


def asked(name: str, question: str) -> tuple[Fact, Driver, tuple[Fact, ...]]:
    """An assumed fact with a question, its driver, and the driver's own fact."""
    base = fact(f"tests.{name}", 10.0, question=question)
    swing = fact(f"drivers.{name}.swing", 1_000.0 * len(name), "money")
    return base, Driver(fact=base.id, at_low=None, at_high=None, swing=swing.id), (base, swing)


def test_questions_come_in_the_order_of_what_they_move() -> None:
    """What could end the job first, by its rank; then by the swing of the money; each question once."""
    door = Choice(
        id="machines.mill.door", value="hand", options=("hand",), basis="assumed", source="x", question="Which door?"
    )
    control = dataclasses.replace(door, id="machines.mill.control", question="Which control?")
    small, large = asked("low", "Small?"), asked("very_large", "Large?")
    twin = fact("tests.twin", 1.0, question="Large?")
    sheet_facts: tuple[Fact | Choice, ...] = (door, control, *small[2], *large[2], twin)
    sheet = Sheet(sheet_facts)
    today = made("today", shop=Sheet())
    sheet.extend(today.sheet)
    results = (
        Result(concept=today.concept, verdicts=(), performance=today.performance, estimate=today.estimate,
               case=today.case),
    )  # fmt: skip
    answer = decision(
        today.inquiry, results, (small[1], large[1]), sheet, kills={"machines.*.door": 3, "machines.*.control@mill": 2}
    )

    assert [ask.words for ask in answer.asks] == ["Which control?", "Which door?", "Large?", "Small?"]
    assert [ask.kills for ask in answer.asks] == [True, True, False, False]
    assert answer.asks[0].why == "the answer could end the job"
    assert "[[drivers.very_large.swing|money_2]]" in answer.asks[2].why


def test_a_measure_that_turns_a_check_of_the_advised_cell_is_asked_before_what_moves_money() -> None:
    """Of the winner's verdicts only; it says which check, and whether that would end the cell."""
    depth = fact("tests.depth", 0.5, "m", question="How deep?")
    small = asked("low", "Small?")
    hangs = dataclasses.replace(verdict(holds=True), check="reach", depends=(depth.id,))
    found = advised(GOOD, verdicts={"cell": (hangs,)}, drivers=(small[1],), assumed=(depth, *small[2])).decision

    assert [ask.words for ask in found.asks] == ["How deep?", "Small?"]
    assert found.asks[0].kills
    assert found.asks[0].why == "within its range it turns a check of the cell: reach"


def test_at_most_twelve_questions() -> None:
    """A shop that gets forty answers none."""
    many = [asked("x" * length, f"Question of length {length}?") for length in range(1, 31)]
    found = advised(GOOD, drivers=tuple(one[1] for one in many), assumed=tuple(each for one in many for each in one[2]))

    assert len(found.decision.asks) == 12
    assert found.decision.asks[0].fact == f"tests.{'x' * 30}"


def test_what_the_shop_has_said_is_asked_only_to_narrow_it() -> None:
    """A given range that moves much wants to be narrower; a figure of the trade wants the shop's own, or an offer."""
    base, driver, facts = asked("moves", "How much?")
    said = dataclasses.replace(base, basis="given")
    trade = dataclasses.replace(base, question=None)

    def words(fact: Fact) -> str:
        return advised(GOOD, drivers=(driver,), assumed=(fact, facts[1])).decision.asks[0].words

    assert words(base) == "How much?"
    assert words(said) == "Can the range of “moves (tests)” be made narrower?"
    assert words(trade) == "What is it here: “moves (tests)”? The figure used is the trade's, not this shop's."
    assert question(dataclasses.replace(trade, id="catalogue.fence.price")).startswith(
        "What does a supplier really ask"
    )


def test_what_moves_next_to_nothing_is_not_asked() -> None:
    """Below a fiftieth of the strongest driver nobody needs the answer."""
    large, small = asked("x" * 60, "Large?"), asked("y", "Small?")
    found = advised(GOOD, drivers=(large[1], small[1]), assumed=(*large[2], *small[2]))

    assert [ask.words for ask in found.decision.asks] == ["Large?"]


def test_a_driver_that_never_pays_back_at_either_end_is_not_called_one_sided() -> None:
    """Only where one end alone never pays back does the reason say so."""
    _, driver, facts = asked("moves", "How much?")
    one_sided = dataclasses.replace(driver, at_low=facts[1].id)

    def why(moving: Driver) -> str:
        return advised(GOOD, drivers=(moving,), assumed=facts).decision.asks[0].why

    assert "at one of them the money does not come back" in why(one_sided)
    assert "does not come back" not in why(driver)


def test_no_is_about_a_concept_that_brings_something() -> None:
    """A change by hand that frees nothing loses least, but the nearest to meeting the hurdle is the cell."""
    found = advised(POOR | {"people.share_usable": 0.3}, output={"by_hand": (50_000.0, 3_750.0)})
    made_focus = focus(found.made["cell"].inquiry, found.results, found.sheet)

    assert found.decision.answer == "no"
    assert found.decision.second == "drawers-pedestal-fenced"
    assert made_focus is not None
    assert made_focus.concept.id == found.decision.second
    assert any("Across the table" in words for words in found.decision.sentences)


def test_own_integration_is_decided_by_the_same_rule() -> None:
    """Cheaper to buy, and so back sooner: the words of the inquiry reach the answer."""
    turnkey, own = made(numbers=GOOD), made(numbers=GOOD, words=Words(integrator="own"))

    assert own.value(own.case.payback_months) < turnkey.value(turnkey.case.payback_months)


def test_a_fact_is_called_by_its_path_without_units_and_digits() -> None:
    """What it is first, then what it belongs to; the catalogue itself is not worth a word."""
    assert named("people.share_usable") == "share usable (people)"
    assert named("parts.bracket.first_side.time") == "time (bracket, first side)"
    assert named("catalogue.cell_changeover_s") == "cell changeover"
    assert named("catalogue.new_families_per_y") == "new families a year"
    assert named("catalogue.fenced_60.price") == "price (fenced)"


def test_parts_that_are_not_worked_out_are_named() -> None:
    """One part needs no word; of a second one the reader is told what is counted."""
    asked = inquiry()
    second = dataclasses.replace(asked.parts[0], name="long_cover")
    two = dataclasses.replace(asked, parts=(*asked.parts, second))

    assert list(families(asked)) == []
    assert next(families(two)).endswith("of long_cover only the orders and what a part leaves are counted.")


def test_a_cell_that_fire_holds_back_does_not_run_alone() -> None:
    """The recommendation stands, as attended running does; the hours alone are taken back in words."""
    fire = dataclasses.replace(verdict(holds=False, kills=False), check="fire")
    settled = dataclasses.replace(verdict(holds=True, kills=False), check="fire")
    words = "It does not run alone until protection against fire is settled"

    found = advised(GOOD, verdicts={"cell": (fire,)}).decision
    assert found.answer == "cell"
    assert any(sentence.startswith(words) for sentence in found.sentences)
    assert not any(words in sentence for sentence in advised(GOOD, verdicts={"cell": (settled,)}).decision.sentences)


def test_a_cell_is_held_against_the_best_change_by_hand() -> None:
    """What it is worth more, and when its extra price is back, stand among its measures; by hand nothing is added."""
    sheet = Sheet()
    cell, hand = made(shop=sheet), made("by_hand", shop=sheet)
    results = tuple(
        Result(concept=each.concept, verdicts=(), estimate=each.estimate, case=each.case) for each in (cell, hand)
    )
    found = over_hand(cell.inquiry, results, sheet)
    assert found[0].case is not None
    further = found[0].case.further

    worth = sheet.value(cell.case.npv) - sheet.value(hand.case.npv)
    assert sheet.value(further["npv_over_hand"]) == pytest.approx(worth)
    assert sheet.value(further["payback_over_hand_months"]) > sheet.value(str(cell.case.payback_months))
    assert found[1] == results[1]
