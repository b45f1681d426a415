"""report.html: one file, offline, the same in every run, its parts there and its figures led back."""

import base64
import dataclasses
import hashlib
import re
from functools import cache

import pytest

from millhand.errors import ToolError
from millhand.model.decision import Ask, Decision
from millhand.model.study import Study
from millhand.report.cycle import NOT_ADVISED
from millhand.report.html import ALONE_CAUTION, report_html
from millhand.report.marks import anchor, marks_of
from millhand.trace import Sheet, apply
from tests.report.fixture_study import ARM, CAUTION, LIGHT, VISE, study

SECTIONS = [
    "recommendation",
    "today",
    "comparison",
    "tradeoff",
    "cell",
    "checks",
    "money",
    "sureness",
    "assumptions",
    "questions",
    "appendix",
]


@cache
def page() -> str:
    """The page of the fixture study."""
    return report_html(study())


def words(html: str) -> str:
    """The text of a page without its marks, spaces as one plain space each."""
    body = html.partition("<body>")[2]
    return re.sub(r"[\s\u202f]+", " ", re.sub(r"<[^>]+>", "", re.sub(r"</(t[dh]|dt|dd|li|p)>|</?small>", " ", body)))


def chapter(name: str) -> str:
    """One section of the page."""
    return page().partition(f'<section id="{name}">')[2].partition("</section>")[0]


def decided(**changes: object) -> Study:
    """The fixture study with another decision."""
    decision: Decision = dataclasses.replace(study().decision, **changes)  # type: ignore[arg-type]
    return dataclasses.replace(study(), decision=decision)


def test_the_same_study_gives_the_same_page() -> None:
    """Charts included: made again from a fresh study, no byte differs."""
    assert report_html(study.__wrapped__()) == page()


def test_the_page_asks_for_nothing_from_outside() -> None:
    """No link to a sheet, script, font or picture; the only addresses are names of formats, the only script is the one
    that the page's own policy names by its hash."""
    addresses = set(re.findall(r"[a-z]+://[^\s\"'<]+", page()))

    assert addresses == {"http://www.w3.org/2000/svg"}
    (script,) = re.findall(r"<script>(.*?)</script>", page(), re.DOTALL)
    named = base64.b64encode(hashlib.sha256(script.encode("utf-8")).digest()).decode("ascii")
    assert page().count("<script") == 1
    assert f"script-src 'sha256-{named}'" in page()
    assert not re.search(r"\beval\b|\bFunction\b|innerHTML|fetch|XMLHttp|import\(", script)
    assert "<link" not in page()
    assert "@import" not in page()
    assert "url(" not in page().partition("</style>")[0]
    assert "default-src 'none'" in page()


def test_the_sections_stand_in_their_order() -> None:
    """Each section of the list is there once, and the list at the top leads to each."""
    found = re.findall(r'<section id="([a-z]+)"', page())

    assert found == SECTIONS
    assert all(f'<a href="#{name}">' in page() for name in SECTIONS)


def test_each_link_leads_somewhere_and_each_name_is_used_once() -> None:
    """A figure's link finds its line in the appendix."""
    names = re.findall(r'\bid="([^"]+)"', page())
    links = set(re.findall(r'href="#([^"]+)"', page()))

    assert len(names) == len(set(names))
    assert links <= set(names)
    assert anchor(f"concepts.{ARM}.case.npv") in links


def test_what_the_user_wrote_is_shown_as_text() -> None:
    """Angle brackets in a part's name stay a part's name."""
    assert "bracket 40 &lt;b&gt;" in page()
    assert "bracket 40 <b>" not in page()


def test_the_answer_and_its_reasons_come_first() -> None:
    """The recommendation in a sentence, with price, payback and range."""
    text = words(page())

    assert "Load by a cell: Drawers, fenced arm 20 kg, double gripper" in text
    assert "it costs 130 000 USD and is back after 25 months (20 to 32) from hand-over." in text
    assert text.index("Recommendation") < text.index("it costs 130 000 USD") < text.index("Element of one load")


def test_a_concept_that_fell_is_there_with_its_margin() -> None:
    """What was wanted, what there is, how far it is off."""
    assert re.search(r"Tray table, light arm 10 kg, single gripper Payload 9\.3 kg 7 kg −33 %", words(page()))


def test_cautions_stand_beside_figures_that_could_hurt_someone() -> None:
    """Running alone, the checks of the shown concepts, what fell: each with its words."""
    assert page().count("cell left alone needs its own assessment") >= 2
    assert ALONE_CAUTION.startswith("An aid for concept work.")
    assert page().count(CAUTION) >= 4


def test_a_page_without_hours_alone_has_no_caution_about_them() -> None:
    """A caution that warns of nothing would teach people to skip cautions."""
    results = tuple(
        dataclasses.replace(each, performance=dataclasses.replace(each.performance, unattended_per_h=None))
        if each.performance
        else each
        for each in study().results
    )

    html = report_html(dataclasses.replace(study(), results=results))

    assert not [text for text in re.findall(r'<p class="caution">(.*)</p>', html) if "left alone" in text]


def test_a_no_shows_the_way_that_comes_nearest() -> None:
    """Where nothing is advised, the figures say whose they are."""
    text = words(report_html(decided(answer="no", winner="today", second=ARM)))

    assert "Do not automate now" in text
    assert "The figures below belong to the way that comes nearest, Drawers, fenced arm 20 kg, double gripper." in text


def test_an_open_word_is_asked_about_with_the_word_that_stands_in_for_it() -> None:
    """A question that could end the job may be about a word, which has no number to show: how a door opens."""
    name, choice = next(iter(sorted(marks_of(study()).choices.items())))
    ask = Ask(fact=name, words="Which one is it?", why="a hand is needed", kills=True)
    text = words(report_html(decided(asks=(ask,))))

    assert f"Which one is it?A hand is needed. Counted meanwhile: {choice.value.replace('_', ' ')}" in text


def test_a_loss_that_cannot_be_is_asked_about() -> None:
    """More shipped than modelled: said beside the figure."""
    shipped, modelled = study().facts["today.parts_per_shift"], study().facts["parts.bracket.lot_size"]
    sheet = Sheet([shipped, modelled])
    loss = apply(sheet, "unexplained_loss_share", "concepts.today.performance.unexplained_loss",
                 shipped_parts=shipped, modelled_parts=modelled)  # fmt: skip
    text = words(report_html(dataclasses.replace(study(), facts={**study().facts, loss.id: loss})))

    assert "More is shipped than the times here make; written as a loss −6.7 %" in text
    assert "Ask: More is shipped than the times given here can make" in text


def test_a_change_by_hand_is_an_answer() -> None:
    """The money sections follow the winner."""
    text = words(report_html(decided(answer="by_hand", winner=VISE)))

    assert "Change the manual work first: By hand, with a second vise" in text
    assert "All of this section is about By hand, with a second vise, against today." in text


def test_a_study_in_which_everything_fell_still_has_a_page() -> None:
    """No case, no charts, no drivers: the page says so and stands."""
    fell = tuple(
        dataclasses.replace(each, cell=None, performance=None, estimate=None, case=None) for each in study().results
    )
    text = words(report_html(dataclasses.replace(decided(answer="no", winner="today", drivers=()), results=fell)))

    assert "No concept got as far as a case." in text
    assert "so there is no activity chart" in text


def test_a_payback_that_never_comes_is_never_not_a_dash() -> None:
    """With its reason."""
    results = tuple(
        dataclasses.replace(
            each,
            case=dataclasses.replace(each.case, payback_months=None, reasons={"payback_months": "it saves nothing"}),
        )
        if each.case
        else each
        for each in study().results
    )
    text = words(report_html(dataclasses.replace(decided(drivers=()), results=results)))

    assert "Payback from hand-over never it saves nothing" in text


def test_a_figure_that_the_study_does_not_hold_is_our_own_failure() -> None:
    """A record that names a fact which is not there stops the page."""
    facts = {key: fact for key, fact in study().facts.items() if not key.endswith("case.npv")}

    with pytest.raises(ToolError, match="which the study does not hold"):
        report_html(dataclasses.replace(study(), facts=facts))


def test_assumed_figures_are_marked_wherever_they_stand() -> None:
    """The class of a figure is its basis."""
    assert f'class="fact assumed" href="#{anchor("money.rate")}"' in page()
    assert f'class="fact given" href="#{anchor("people.wage")}"' in page()


def test_marks_split_names_from_words() -> None:
    """A name with digits says whose it is; an underscore reads as a space; the rest is escaped."""
    marks = marks_of(study())

    assert str(marks.words("the mill 3 & bracket_rest")) == "the <span data-given>mill 3</span> &amp; bracket rest"
    assert str(marks.of_fact("money.rate", "of 10 %")) == '<span data-fact="money.rate">of 10 %</span>'
    assert str(marks.of_fact("money.rate", "which?")) == "which?"
    assert marks.figure(None, "money") == marks.bare(None, "money")


def test_facts_of_other_concepts_are_shown_but_not_followed() -> None:
    """The appendix holds what the page shows; of a concept that fell only the figures shown, not their inputs."""
    assert f'id="{anchor(f"concepts.{LIGHT}.feasibility.payload.demand")}"' in page()
    assert f'id="{anchor(f"concepts.{LIGHT}.feasibility.fingers")}"' not in page()
    assert f'id="{anchor(f"concepts.{ARM}.feasibility.fingers")}"' in page()


def test_people_and_use_stand_beside_today() -> None:
    """Hours of a shift and seconds of a part by kind, the parts of the OEE index, each figure with its fact."""
    text = words(page())
    today = page().partition('<section id="today">')[2].partition("</section>")[0]
    top = "concepts.today.performance"

    assert "Waiting 3.8 h 130 s" in text
    assert "At these machines, breaks off 7.8 h" in text
    assert "Availability after losses 75 %" in text
    assert "OEE index 65 %" in text
    assert "One head in one shift is 1 940 h a year" in text
    for name in ("people.care", "people.other_a_part", "people.there", "use.effectiveness", "use.quality"):
        assert f'data-fact="{top}.{name}"' in today
        assert f'id="{anchor(f"{top}.{name}")}"' in page()


def test_without_people_and_use_nothing_stands_in_their_place() -> None:
    """A study whose today has neither shows neither heading; one of them stands alone."""
    first, *others = study().results
    assert first.performance
    use = dataclasses.replace(first.performance, people=None)
    neither = dataclasses.replace(use, uses=())
    shown = [
        report_html(
            dataclasses.replace(study(), results=(dataclasses.replace(first, performance=performance), *others))
        )
        for performance in (use, neither)
    ]

    assert ["People's hours by kind" in words(html) for html in shown] == [False, False]
    assert ["Use of the machines" in words(html) for html in shown] == [True, False]


def test_hours_alone_are_taken_back_beside_their_figure() -> None:
    """Where the check on fire does not hold, the tile of running alone says so."""
    whole = study()
    note = "not until protection against fire is settled"

    def with_fire(*, holds: bool) -> Study:
        results = tuple(
            dataclasses.replace(
                each, verdicts=(*each.verdicts, dataclasses.replace(each.verdicts[0], check="fire", holds=holds))
            )
            if each.verdicts
            else each
            for each in whole.results
        )
        return dataclasses.replace(whole, results=results)

    assert "Runs alone for" in words(page())
    assert note in words(report_html(with_fire(holds=False)))
    assert note not in words(report_html(with_fire(holds=True)))


def test_the_cell_is_drawn_and_its_cycle_taken_apart() -> None:
    """Two pictures in two widths, the list of marks, the elements with their sums, the caution beside each."""
    section = chapter("cell")
    said = words(f"<body>{section}")

    assert section.count('class="plan" viewBox') == 4
    assert "Fence, the rectangle round it 1 350 \u2212925 4 050 3 650" in said
    assert "The machine stands 13 s" in said
    assert "Cycle of a machine that never waits for the arm 393 s" in said
    assert "waits to be loaded or unloaded, of the hours in which the cell may run 8.3" in said
    assert "The same for each load 31 s" in said
    assert said.count("Caution.") == 2
    assert NOT_ADVISED not in said


def test_how_each_target_is_reached_stands_under_the_checks_of_the_cell() -> None:
    """What is left at each, dashes where no way leads there, and the other places of the foot."""
    checks = words(f"<body>{chapter('checks')}")

    assert "Load position of machine 1 210 mm 36 ° 5 31 mm door frame" in checks
    assert "Load position of machine 2 \u221220 mm – –" in checks
    assert "1 200 \u2212750 0.4 143 ° 12 m²" in checks


def test_a_cell_that_is_not_advised_is_shown_as_such() -> None:
    """The best of those that can work, with a line that says so."""
    assert NOT_ADVISED in report_html(decided(winner="today", answer="no"))


def test_without_a_cell_that_can_work_there_is_no_chapter_on_it() -> None:
    """Nor a link to it."""
    kept = study().results[:2]
    ranking = tuple(row for row in study().decision.ranking if row.concept in {each.concept.id for each in kept})
    none = report_html(
        dataclasses.replace(
            decided(winner="today", second=None, answer="no", ranking=ranking, drivers=()), results=kept
        )
    )

    assert '<section id="cell">' not in none
    assert 'href="#cell"' not in none
