"""The workbook beside the report: its sheets, names and protection, and that its money is the tool's money."""

import inspect
import math
import random
import re
from dataclasses import replace

import pytest

from millhand.formulas import REGISTER
from millhand.model.case import steady_lines
from millhand.report.workbook import workbook
from millhand.report.workbook.cash import LINES
from millhand.report.workbook.flows import flows
from millhand.report.workbook.graph import graph
from millhand.report.workbook.in_hand import in_hand
from millhand.report.workbook.translated import TRANSLATED, said
from tests.report.fixture_book import as_study, book_of, measures, named, opened, place_of, shop_and_book, shop_opened
from tests.report.fixture_study import study
from tests.stages.money_shop import made

SHEETS = ["Read me", "Inputs", "Estimate", "Workings", "Cash flow", "Years", "Months", "Measures", "Sensitivities",
          "Scenarios", "Concepts", "Notes"]  # fmt: skip
PROSE = {"Read me", "Notes"}
WORD = re.compile(r"[A-Za-z_][A-Za-z0-9_.]*")
TEXT = re.compile(r'"[^"]*"|\'[^\']*\'!')
FACTS = {
    "Simple payback": "payback", "Payback from the order": "payback_from_order",
    "Discounted payback": "discounted_payback", "Net present worth": "npv", "Internal rate": "irr",
    "Modified internal rate": "mirr", "The same worth every year": "annual_worth",
    "Present worth for each unit paid": "index", "Price over yearly saving": "plain_ratio",
    "Loading a part costs": "cost_a_part", "Saving of a steady year": "saving", "Paid before hand-over": "outlay",
    "Payback in whole months": "payback_whole", "Balance at the hurdle": "hurdle_balance",
    "Payback as it is said across the table": "naive.payback", "Lowest balance with the loan": "lowest_balance",
    "Loan: payment a month": "monthly_payment", "Loan: present worth of what it costs": "financing_cost",
}  # fmt: skip


def test_the_sheets_stand_in_the_order_in_which_they_are_read() -> None:
    """Twelve sheets, each protected without a password, landscape, with a print area; tables keep their heads."""
    book = shop_opened()

    assert book.sheetnames == SHEETS
    for sheet in book:
        assert sheet.protection.sheet, sheet.title
        assert sheet.protection.password is None
        assert sheet.page_setup.orientation == "landscape"
        assert sheet.print_area
        assert sheet.title in PROSE or (sheet.freeze_panes and sheet.print_title_rows), sheet.title


def test_only_inputs_and_the_ends_of_sensitivities_can_be_changed() -> None:
    """Unlocked are the values of Inputs that do not follow from the concept's kind, and the low and high ends."""
    book = shop_opened()
    unlocked = {(sheet.title, cell.column_letter) for sheet in book for row in sheet.iter_rows() for cell in row
                if not cell.protection.locked}  # fmt: skip

    assert unlocked == {("Inputs", "B"), ("Sensitivities", "C"), ("Sensitivities", "E")}
    assert not book["Inputs"][place_of(book, "people_wage")[1]].protection.locked
    assert book["Inputs"][place_of(book, "money_no_growth")[1]].protection.locked


def test_every_base_fact_is_an_input_with_unit_origin_source_and_question() -> None:
    """The fact's value in the cell's unit, its range, basis, source and question stand in its row."""
    of = as_study(shop_and_book()[0])
    found, sheet = graph(of, of.results[1]), shop_opened()["Inputs"]
    rows = {row[9].value: [cell.value for cell in row] for row in sheet.iter_rows(min_row=5) if row[9].value}

    assert set(rows) == {found.names[fact.id] for fact in found.inputs}
    price = rows["catalogue_contingency_share"]
    assert price[1:6] == [0.15, "%", 0.15, 0.08, 0.25]
    assert price[6] == "assumed"
    assert "figures.csv" in price[7]
    assert price[8] == "Which reserve does the integrator put on a first offer?"
    assert rows["shifts_early_length"][1:3] == [8.0, "h"]
    assert rows["catalogue_order_to_hand_over_track_s"][1:3] == [20.0, "weeks"]


@pytest.mark.parametrize("kind", ["cell", "by_hand"])
def test_formulas_name_only_what_there_is(kind: str) -> None:
    """Each name in a formula stands for a cell of a sheet, or is a function or a cell itself."""
    book = shop_opened(kind)
    functions = {"SUM", "MAX", "MIN", "IF", "AND", "ABS", "INDEX", "SUMPRODUCT", "ISNUMBER", "ROUNDUP", "ROUND", "ROW",
                 "INT", "NPV", "IRR", "MIRR", "PMT", "PV", "SUMIF", "IFERROR", "E"}  # fmt: skip
    sheets = {sheet.title.replace(" ", "_") for sheet in book}
    unknown = set()
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    words = set(WORD.findall(TEXT.sub(" ", cell.value).replace("$", "")))
                    unknown |= {each for each in words - functions - sheets - set(book.defined_names)
                                if not re.fullmatch(r"[A-Z]{1,2}[0-9]+", each)}  # fmt: skip

    assert unknown == set()
    for name in book.defined_names:
        sheet, cell = place_of(book, name)
        assert book[sheet][cell.partition(":")[0]] is not None


def test_text_from_the_inquiry_never_becomes_a_formula() -> None:
    """Names and titles that begin like a formula stay words, with a mark before them."""
    plain = as_study(made())
    bad = '=HYPERLINK("http://x","y")'
    facts = {key: replace(each, source="@SUM(1)", question="+1+1", title="-2") if key == "people.wage" else each
             for key, each in plain.facts.items()}  # fmt: skip
    shop = replace(plain.inquiry.shop, name=bad)
    inquiry = replace(plain.inquiry, name=bad, shop=shop)
    decision = replace(plain.decision, sentences=(bad,), would_change=(bad,))
    concept = replace(plain.results[1].concept, title=bad)
    results = (plain.results[0], replace(plain.results[1], concept=concept))

    book = opened(book_of(replace(plain, inquiry=inquiry, facts=facts, decision=decision, results=results)))

    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if isinstance(cell.value, str)]
    assert not [cell for cell in cells if cell.data_type == "f" and "HYPERLINK" in cell.value]
    words = {cell.value for cell in cells if cell.data_type == "s"}
    assert {f"'{bad}", "'@SUM(1)", "'+1+1", "'-2"} <= words
    assert not [each for each in words if each.startswith(("=", "+", "-", "@"))]


@pytest.mark.parametrize("kind", ["cell", "by_hand"])
def test_every_amount_of_the_case_stands_in_the_cash_flow_once(kind: str) -> None:
    """Each line in each period, its sum over all of them, and all lines together, are the case's."""
    shop, book = shop_and_book(kind)[0], shop_opened(kind, values=True)
    sheet = book["Cash flow"]
    rows = {row[0].value: [cell.value for cell in row] for row in sheet.iter_rows(min_row=7)}
    spoken = {"order": "At the order", "delivery": "At delivery", "hand_over": "At hand-over"}
    periods = [spoken.get(each, each.capitalize().replace("_", " ")) for each in shop.case.periods]

    for column, line in enumerate(shop.case.lines, start=LINES):
        found = [rows[period][column] or 0.0 for period in periods]
        assert found == pytest.approx(list(line.by_period), abs=0.005), line.id
        assert rows["All periods"][column] == pytest.approx(math.fsum(line.by_period), abs=0.005)
    whole = math.fsum(math.fsum(line.by_period) for line in shop.case.lines)
    assert rows["All periods"][LINES + len(shop.case.lines)] == pytest.approx(whole, abs=0.005)
    assert rows["Year 30"][LINES + len(shop.case.lines) + 1] == pytest.approx(whole, abs=0.005)
    amounts = [named(book, name) for name in ("case_outlay", "paid_before")]
    assert amounts == pytest.approx([math.fsum(line.amount.value for line in shop.estimate.lines)] * 2, abs=0.005)


def test_price_lines_are_three_numbers_multiplied() -> None:
    """Each line's amount is the product of the three before it, and the lines add up to the sums."""
    shop, sheet = shop_and_book()[0], shop_opened(values=True)["Estimate"]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=5) if row[4].value is not None]
    lines = [row for row in rows if row[1] is not None]

    assert len(lines) == len(shop.estimate.lines)
    for row, line in zip(lines, shop.estimate.lines, strict=True):
        assert row[1] * row[2] * row[3] == pytest.approx(line.amount.value, abs=0.005)
        assert row[4] == pytest.approx(line.amount.value, abs=0.005)
    sums = {row[0]: row[4] for row in rows if row[1] is None}
    assert sums["Installed price"] == pytest.approx(shop.value(shop.estimate.installed), abs=0.005)
    assert sums["Cost to whoever builds it"] + sums["Margin in the price"] == pytest.approx(sums["Price"], abs=0.005)


@pytest.mark.parametrize(
    ("kind", "numbers"),
    [("cell", {}), ("by_hand", {}), ("cell", {"people.wage": 9.0, "money.rate": 0.0, "money.horizon": 5.0})],
)
def test_measures_are_those_of_the_study(kind: str, numbers: dict[str, float]) -> None:
    """Every measure that the study has comes out the same; where it has none, words stand in its place."""
    shop = made(kind, numbers=numbers)
    found = measures(opened(book_of(as_study(shop)), values=True) if numbers else shop_opened(kind, values=True))
    top = f"concepts.{shop.concept.id}.case."

    compared = 0
    for words, name in FACTS.items():
        if top + name in shop.sheet:
            assert found[words] == pytest.approx(shop.value(top + name), rel=1e-9, abs=1e-6), words
            compared += 1
        elif words in found:
            assert isinstance(found[words], str), words
    assert compared >= 8
    assert {words for words, value in found.items() if value == "differs"} == set()


def test_every_mark_in_a_sentence_became_its_figure() -> None:
    """Where the answer, its conditions and the questions name figures, the figures stand."""
    book = opened(book_of(study()))
    words = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value]

    assert not [each for each in words if "[[" in each]
    assert any("is back after" in each and "USD" in each for each in words)


@pytest.mark.parametrize(("use", "paid"), [("vacancy", True), ("setups", False), ("none", False)])
def test_labour_is_money_in_hand_only_where_less_is_paid(use: str, paid: bool) -> None:
    """An open post that stays open is money; set-ups done instead, or no use at all, are not."""
    shop = made("by_hand")
    people = replace(shop.inquiry.people, freed_use=replace(shop.inquiry.people.freed_use, value=use))
    of = as_study(shop)
    made_otherwise = graph(replace(of, inquiry=replace(of.inquiry, people=people)), of.results[1])
    found = {each.words: each.value for each in in_hand(made_otherwise, flows(made_otherwise))}
    labour = shop.value(f"concepts.{shop.concept.id}.case.labour")

    assert found["Labour for which less is paid"] == pytest.approx(labour if paid else 0.0)
    assert found["Labour that is used otherwise"] == pytest.approx(0.0 if paid else labour)


def test_the_same_study_gives_the_same_bytes() -> None:
    """Nothing in the book depends on when it was made."""
    shop, book = shop_and_book("by_hand")

    assert book_of(as_study(shop)) == book


def test_a_study_without_a_case_has_no_book() -> None:
    """Where no concept was priced there is nothing to work out."""
    bare = tuple(replace(each, case=None) for each in study().results)

    assert workbook(replace(study(), results=bare)) is None


def test_sensitivities_move_each_figure_between_its_ends() -> None:
    """Wage, share, price and orders are among them, and each end is what the tool makes of the changed figure."""
    sheet = shop_opened(values=True)["Sensitivities"]
    rows = {
        row[0].value: [cell.value for cell in row] for row in sheet.iter_rows(min_row=5) if row[2].value is not None
    }
    wage = rows["People: wage"]

    assert wage[2:5] == pytest.approx([21.6, 24.0, 26.4])
    for number, column in ((21.6, 5), (24.0, 6), (26.4, 7)):
        again = made(numbers={"people.wage": number})
        assert wage[column] == pytest.approx(again.value(again.case.payback_months))
        assert wage[column + 3] == pytest.approx(again.value(again.case.npv))
    assert {"People: share usable", "Price factor: catalogue money to the order's money"} <= set(rows)


SPOKEN = {  # the functions of a spreadsheet that the translations use
    "SUM": lambda *each: math.fsum(each),
    "MAX": max,
    "MIN": min,
    "INT": math.floor,
    "ISNUMBER": lambda each: not isinstance(each, str),
    "IF_": lambda test, one, other: one if test else other,
    "ROUNDUP": lambda each, _: math.ceil(each),
    "PMT": lambda rate, count, now: -now * rate / (1.0 - (1.0 + rate) ** -count),
    "PV": lambda rate, count, each: -each * (1.0 - (1.0 + rate) ** -count) / rate,
}


@pytest.mark.parametrize("name", sorted(TRANSLATED))
def test_a_translation_says_what_the_formula_computes(name: str) -> None:
    """With drawn numbers the spreadsheet's text comes to what the registered formula gives."""
    draw = random.Random(name)
    formula = REGISTER[name]
    parameters = tuple(inspect.signature(formula.function).parameters)
    for _ in range(20):
        grouped = {key for key in parameters if is_group(name, key)}
        inputs, numbers = [], {}
        arguments: dict[str, object] = {}
        for key in parameters:
            count = 2 if key in grouped else 1
            drawn = [drawn_for(draw, key) for _ in range(count)]
            for place, number in enumerate(drawn):
                numbers[f"{key}_{place}"] = number
                inputs.append((f"{key}[]" if key in grouped else key, f"{key}_{place}"))
            arguments[key] = drawn if key in grouped else drawn[0]
        text = said(name, inputs, str).replace("^", "**").replace("IF(", "IF_(")

        expected = formula.function(**arguments)

        assert eval(text, {}, {**SPOKEN, **numbers}) == pytest.approx(expected, rel=1e-9)


def is_group(name: str, key: str) -> bool:
    """Whether a formula takes several numbers under a parameter."""
    return "Sequence" in str(REGISTER[name].function.__annotations__[key])


def drawn_for(draw: random.Random, key: str) -> float:
    """A number that suits a parameter by its name: shares and rates small, all else from one up."""
    small = ("share", "rate", "premium", "escalation", "good", "absence")
    if key != "exchange_rate" and any(each in key for each in small) and "_h" not in key:
        return draw.uniform(0.01, 0.3)
    return draw.uniform(1.0, 40.0)


def test_every_formula_of_a_steady_year_is_translated() -> None:
    """No line of the case comes as a value that does not follow: only what was found before the money."""
    shop = made()
    found = graph(as_study(shop), as_study(shop).results[1])
    values = {fact.id for fact in found.inputs if shop.sheet[fact.id].formula}

    assert values == set()
    assert all(found.facts[line.amount].formula for line, _ in steady_lines(shop.case))
