"""Better by hand in the terminal: at most eight with all figures, the others named, nothing left out in silence."""

import dataclasses

from millhand.model.study import Dropped, Study
from millhand.report.by_hand import MOST, left_out
from millhand.report.comparison import living
from millhand.report.terminal import page_of
from millhand.report.terminal_by_hand import by_hand_parts
from tests.report.fixture_study import study
from tests.report.test_terminal import piped


def with_many(count: int) -> Study:
    """The study with so many changes by hand, all like its first one."""
    whole = study()
    hand = next(each for each in whole.results if each.concept.kind == "by_hand")
    place = next(each for each in whole.decision.ranking if each.concept == hand.concept.id)
    names = [f"by_hand-way_{number}" for number in range(count)]
    results = tuple(
        dataclasses.replace(
            hand,
            concept=dataclasses.replace(
                hand.concept, id=name, title=f"by hand: way {number}", assumes="it can", question="Can it?"
            ),
        )
        for number, name in enumerate(names)
    )
    ranking = tuple(dataclasses.replace(place, concept=name, place=number) for number, name in enumerate(names, 1))
    return dataclasses.replace(
        whole,
        results=(whole.results[0], *results),
        decision=dataclasses.replace(whole.decision, ranking=ranking),
    )


def test_eight_stand_with_their_figures_and_the_rest_in_a_line() -> None:
    """The best by place, each with what it assumes and its question; of the others what they are worth."""
    whole = with_many(MOST + 2)
    text = " ".join(piped(list(by_hand_parts(page_of(whole)))).split())

    assert len(living(whole)) == MOST + 2
    assert text.count("assumes that it can. Can it?") == MOST
    assert f"Worth less: way {MOST} (" in text
    assert f"; way {MOST + 1} (" in text


def test_what_is_not_offered_is_told_with_its_reason_once() -> None:
    """Changes that fall for the same reason stand together; cells that were dropped are not meant."""
    dropped = (
        Dropped(choices="by_hand-bar_feeder", words="is a change for lathe"),
        Dropped(choices="by_hand-billet_magazine", words="is a change for lathe"),
        Dropped(choices="by_hand-powered_door", words="no door is opened by hand"),
        Dropped(choices="step_feeder", words="a step feeder sorts round parts"),
    )
    whole = dataclasses.replace(study(), dropped=dropped)

    assert left_out(whole) == [
        "bar feeder, billet magazine (a change for lathe)",
        "powered door (no door is opened by hand)",
    ]
