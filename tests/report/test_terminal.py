"""The terminal: 80 columns, plain when piped, and the same figures as everywhere."""

import dataclasses
import io
from pathlib import Path

import pytest
from rich.console import Console, RenderableType

from millhand.model.decision import Decision, Driver
from millhand.model.study import Study
from millhand.report.terminal import show, study_parts
from millhand.report.terminal_today import today_parts
from millhand.trace import Sheet, apply
from tests.report.fixture_study import ARM, CAUTION, study


def piped(parts: list[RenderableType]) -> str:
    """What somebody reads who pipes the answer."""
    stream = io.StringIO()
    show(parts, Console(file=stream, highlight=False))
    return stream.getvalue()


def answer(one: Study | None = None) -> str:
    """The summary of a study."""
    return piped(list(study_parts(one or study())))


def decided(**changes: object) -> Study:
    """The fixture study with another decision."""
    decision: Decision = dataclasses.replace(study().decision, **changes)  # type: ignore[arg-type]
    return dataclasses.replace(study(), decision=decision)


@pytest.mark.parametrize("text", [answer(), piped(list(today_parts(study())))], ids=["study", "today"])
def test_a_pipe_gets_plain_lines_of_at_most_80_columns(text: str) -> None:
    """No colour codes, no spaces at a line's end, no narrow spaces that an old terminal lacks."""
    assert "\x1b" not in text
    assert "\u202f" not in text
    assert "\ue000" not in text
    assert max(map(len, text.splitlines())) <= 80
    assert all(line == line.rstrip() for line in text.splitlines())


def test_a_figure_is_never_broken_over_two_lines() -> None:
    """Thousands and units stay together wherever a line ends."""
    words = f"It costs [[concepts.{ARM}.estimate.installed|money_2]]. " * 9
    shifted = tuple(f"{'x' * shift} {words}" for shift in range(20))
    text = piped(list(study_parts(decided(sentences=shifted))))

    assert text.count("130 000 USD") == 180
    assert text.count("130\n") == text.count("000\nUSD") == 0


def test_a_terminal_gets_colour() -> None:
    """The answer and the headings stand out."""
    stream = io.StringIO()
    show(list(study_parts(study())), Console(file=stream, force_terminal=True, color_system="standard", width=100))

    assert "\x1b[1m" in stream.getvalue()


def test_the_answer_stands_at_the_top_in_sentences() -> None:
    """Whose study, what is advised, why, with price, payback and range."""
    text = " ".join(answer().split())

    assert text.startswith("Two mills, line 4 (Brook Street Parts 2000) Load by a cell Load both mills by an arm")
    assert "it costs 130 000 USD and is back after 25 months (20 to 32) from hand-over." in text


def test_the_comparison_holds_output_price_payback_and_worth() -> None:
    """One row a concept; the range of the payback below it; today without money."""
    lines = answer().splitlines()
    first = next(index for index, line in enumerate(lines) if line.startswith("Drawers, fenced arm"))

    assert lines[first].split()[-7:] == ["156", "17", "130", "000", "25", "300", "000"]
    assert "(20 to 32)" in lines[first + 1]
    assert next(line for line in lines if line.startswith("As today")).split()[2:] == ["128", "-", "-", "-", "-"]


def test_what_fell_says_at_which_check_and_why() -> None:
    """With the figure that was too much."""
    text = " ".join(answer().split())

    assert "Tray table, light arm 10 kg, single gripper falls: The flange carries 9.3 kg." in text


def test_a_caution_stands_below_hours_alone() -> None:
    """And only where a concept runs alone."""
    assert "A cell left alone needs its own assessment" in " ".join(answer().split())
    results = tuple(
        dataclasses.replace(each, performance=dataclasses.replace(each.performance, unattended_per_h=None))
        if each.performance
        else each
        for each in study().results
    )
    assert "left alone" not in answer(dataclasses.replace(study(), results=results))


def test_drivers_and_questions_are_there() -> None:
    """What the payback hangs on, at both ends, and the questions that could end the job."""
    text = " ".join(answer().split())

    assert "People: share usable 10 % never 95 % 13 months" in text
    assert "- What will the freed hours be used for? Counted meanwhile: 50 % (10 to 95)" in text
    assert "Which rate do you count with?" not in text


def test_an_input_that_does_not_move_the_payback_is_not_among_those_it_hangs_on() -> None:
    """A hurdle moves only what the payback is held against."""
    months = f"concepts.{ARM}.case.payback"
    still = Driver(fact="wishes.hurdle", at_low=months, at_high=months, swing=study().decision.drivers[0].swing)

    assert "What the payback hangs on" not in answer(decided(drivers=(still,)))


def test_what_must_be_cleared_up_first_stands_with_the_answer() -> None:
    """Figures that disagree, and work of today that fails its check, with its caution."""
    shipped, modelled = study().facts["today.parts_per_shift"], study().facts["parts.bracket.lot_size"]
    sheet = Sheet([shipped, modelled])
    loss = apply(sheet, "unexplained_loss_share", "concepts.today.performance.unexplained_loss",
                 shipped_parts=shipped, modelled_parts=modelled)  # fmt: skip
    today = study().results[0]
    failing = dataclasses.replace(today, verdicts=(dataclasses.replace(today.verdicts[0], holds=False),))
    changed = dataclasses.replace(
        study(), facts={**study().facts, loss.id: loss}, results=(failing, *study().results[1:])
    )
    text = " ".join(answer(changed).split())

    assert "Clear this up before you rely on it: More is shipped than the times given here can make" in text
    assert f"The work as it is today: The lifting index is 0.08. {CAUTION}" in text
    assert "Clear this up" not in answer()


def test_a_job_without_a_shop_has_no_empty_brackets() -> None:
    """The shop's name may be left out."""
    inquiry = dataclasses.replace(study().inquiry, shop=dataclasses.replace(study().inquiry.shop, name=""))

    assert answer(dataclasses.replace(study(), inquiry=inquiry)).startswith(f"{inquiry.name}\n")


def test_nothing_is_said_of_what_is_not_there() -> None:
    """No drivers, no questions, nothing that would change the answer: no headings either."""
    text = answer(decided(drivers=(), asks=(), would_change=()))

    for heading in ("What the payback hangs on", "Ask first", "What would change"):
        assert heading not in text


def test_written_files_are_named_and_else_how_to_have_them() -> None:
    """Cells and drawings are not listed one by one."""
    paths = [Path("out/report.html"), Path("out/cells/today.json"), Path("out/drawings/a.dxf")]

    for count, words in (
        (1, "."),
        (2, ", and the cells beside them."),
        (3, ", and the cells and drawings beside them."),
    ):
        text = piped(list(study_parts(study(), paths[:count])))
        assert f"Written: out/report.html{words}" in " ".join(text.split())
    assert "Nothing was written; --out DIR writes the report" in " ".join(answer().split())


def test_today_shows_elements_chart_figures_and_better_ways_by_hand() -> None:
    """In that order, the cost of a part among the figures, each lifting check with its caution."""
    text = piped(list(today_parts(study())))
    flat = " ".join(text.split())

    assert "part out, next in, clamp 30 s stands 1" in flat
    assert "# hands on parts - on the way . waits = machine runs" in flat
    assert "people's time costs a part 2.25 USD (2.13 to 2.31)" in flat
    assert "The lifting index is 0.08." in flat
    assert "By hand, with a second vise 8 000 140 1 850 9 42 000" in flat
    order = [text.index(words) for words in ("Elements", "One round", "What comes out", "Better by hand")]
    assert order == sorted(order)


def test_today_without_a_cycle_says_so() -> None:
    """No chart is drawn from nothing."""
    results = (dataclasses.replace(study().results[0], cell=None), *study().results[1:])

    assert "no activity chart" in " ".join(
        piped(list(today_parts(dataclasses.replace(study(), results=results)))).split()
    )
