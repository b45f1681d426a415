"""Phases of a lot on the page: what a load takes in each, who sets the pace, and what the mean would have claimed."""

import re
from dataclasses import replace
from io import StringIO

from rich.console import Console

from millhand.model.phases import PhasePace, Phases
from millhand.model.study import Study
from millhand.report.html import rendered
from millhand.report.in_turn import rows
from millhand.report.marks import Marks, given_words
from millhand.report.terminal import JOINT, in_turn_parts, page_of
from millhand.report.tongue import tongue
from tests.report.fixture_study import ARM, VISE, study


def in_phases() -> Study:
    """The small study, its cell with two phases whose figures are some that it holds."""
    done = study()
    ids = ("parts.bracket.first_side.time", "today.elements.open_blow_off.time")
    paces = zip(("first", "second"), ids, (("m1", "m2"), ("arm1",)), strict=True)
    told = Phases(
        each=tuple(PhasePace(operation=name, bound=one, cycle=one, pace_setters=who) for name, one, who in paces),
        mean_bound=ids[0], mean_cycle=ids[1], share="parts.bracket.first_side.good", left=None,
    )  # fmt: skip
    return replace(
        done,
        results=tuple(
            replace(each, performance=replace(each.performance, phases=told))
            if each.performance and each.concept.id == ARM
            else each
            for each in done.results
        ),
    )


def test_only_what_has_phases_is_told() -> None:
    """A way that parts come to once has no row, and a study without such ways no section."""
    assert [each.concept for each in rows(in_phases())] == [ARM]
    assert VISE in {each.concept.id for each in in_phases().results}
    assert not list(rows(study()))


def test_the_page_says_times_and_pace_of_each_phase_and_the_claim_of_the_mean() -> None:
    """In the reader's language, one after the other; what was not found is a dash."""
    done = in_phases()
    marks = Marks(facts=done.facts, choices=done.choices, currency="USD", tongue=tongue("de"))
    known = {"in_turn": tuple(rows(done)), "m": marks, "given": given_words}

    words = re.sub(r"\s+", " ", re.sub("<[^>]*>", " ", rendered("in_turn.html.j2", known)))

    assert "Lose, die wieder auf dieselben Maschinen kommen" in words
    order = ("first", "330 s", "m1, m2", "second", "12 s", "arm1", "das Mittel verspräche", "davon bleibt als Rate: –")
    places = [words.find(each) for each in order]
    assert -1 not in places, words
    assert places == sorted(places)


def test_the_terminal_says_the_same_in_a_sentence_for_each_way() -> None:
    """A heading and one line; nothing where parts come to the machines once."""
    console = Console(width=400, record=True, file=StringIO())
    console.print(*in_turn_parts(page_of(in_phases())))

    assert (
        "first 330 s, pace set by m1 and m2; second 12 s, pace set by arm1. The mean would claim 12 s; - of its rate "
        "is left."
    ) in console.export_text().replace(JOINT, " ")
    assert not list(in_turn_parts(page_of(study())))
