"""What the safety person asks of the cell that a study proposes, beside its safeguarding, with the facts behind it."""

from collections.abc import Mapping
from dataclasses import replace

from millhand.model.catalogue import Catalogue, Guard
from millhand.model.fact import Fact
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result, Study
from millhand.model.walk import facts_in
from millhand.stages.safeguarding.answers import facts_of, safety_answers
from millhand.stages.safeguarding.placed import Placed
from millhand.stages.safeguarding.post import Post
from millhand.stages.safeguarding.wider import wider_fence
from millhand.trace import Sheet, needed

Words = tuple[Mapping[str, str], ...]


def spoken_of(done: Study) -> Result | None:
    """The cell that is proposed, or second where something else is; None where neither of them is one."""
    names = (done.decision.winner, done.decision.second)
    found = (each for name in names for each in done.results if each.concept.id == name)
    return next((each for each in found if each.concept.kind == "cell" and each.case is not None), None)


def guard_of(result: Result, catalogue: Catalogue) -> Guard | None:
    """The catalogue's words on the way in which a cell is guarded."""
    own = result.concept.safeguarding
    return next((each for each in catalogue.safeguards.choices if own is not None and each.component == own.id), None)


def with_answers(done: Study, result: Result, words: Words, inquiry: Inquiry, catalogue: Catalogue) -> Study:
    """The study with the answers for one of its cells."""
    guard = guard_of(result, catalogue)
    if done.safeguarding is None or guard is None:
        return done
    sheet = Sheet(done.facts.values())
    for each in (*facts_in(inquiry), *facts_in(catalogue)):
        if isinstance(each, Fact) and each.id not in sheet:
            sheet.add(each)
    post = Post(sheet=sheet, catalogue=catalogue, concept=result.concept, guard=guard, base=result.concept.id)
    placed = Placed(post=post, inquiry=inquiry, result=result, words=words)
    made = safety_answers(placed)
    asked = (row.distances for each in done.safeguarding.cells if each.concept == result.concept.id
             for row in each.rows if row.choice == guard.id)  # fmt: skip
    told = (*facts_of(made), *wider_fence(placed, next(asked, ())))
    new = needed(sheet.facts, told)
    facts = {**done.facts, **{key: new[key] for key in new if key not in done.facts}}
    return replace(done, facts=facts, safeguarding=replace(done.safeguarding, answers=made))
