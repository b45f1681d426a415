"""What is said of hours with nobody there where none are counted."""

from collections.abc import Iterator

from millhand.report.proposal.ground import Ground
from millhand.report.proposal.introduced import by_hand
from millhand.report.proposal.records import Item, Say


def nobody_alone(ground: Ground) -> Iterator[Item]:
    """That none are counted and why, and what then ends a stretch that nobody has a hand on."""
    if ground.subject is None or ground.subject.performance is None or ground.subject.performance.unattended_per_h:
        return
    wished = ground.study.inquiry.wishes.unattended_s.value > 0.0
    yield Say(key="alone.not_met" if wished else "alone.not_wished")
    made = by_hand(ground)
    if ground.cell:
        yield Say(key="alone.cell")
    elif made is not None and made.fills:
        yield Say(key=f"alone.{made.fills}")
