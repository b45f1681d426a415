"""What-if figures of finished studies: a process of its own holds the last of them, so that no window has to wait."""

import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Any, NamedTuple, cast

from millhand.catalogue.components import read_catalogue
from millhand.errors import ToolError
from millhand.maps import Base, base_of, looked_at
from millhand.model.fact import Fact
from millhand.model.study import Study
from millhand.report.customer import for_customer
from millhand.road import visited
from millhand.run import Nobody, unpacked
from millhand.stages.maps import Point
from millhand.store.opening import Store
from millhand.web.alone import Alone, Lost
from millhand.web.kept_record import record_of
from millhand.web.worker import COPIES
from millhand.whatif import Lever, at_once, levers, simulated

KEPT = 4
PATIENCE_S = 60.0
NEEDED = "record"  # the answer of the process that has not read the study yet
NOT_ANSWERED = "the figures could not be worked out in time; ask for them again in a moment."
BASES: dict[tuple[str, str], Base | None] = {}  # of the process that answers


class Asked(NamedTuple):
    """One question about one study."""

    piece: str
    changes: Mapping[str, float]
    simulate: bool
    copy: str = COPIES[0]


class Told(NamedTuple):
    """What can be moved, where it stands now, and what comes of it; `point` is None where nothing can be said."""

    levers: tuple[Lever, ...]
    before: Point
    point: Point | None
    hurdle: Fact
    currency: str
    concept: str


def answer(asked: Asked, record: bytes | None) -> Told | str:
    """In the process that answers: the figures, or NEEDED where it needs the record first, or 'none'."""
    key = asked.piece, asked.copy
    if key not in BASES:
        if record is None:
            return NEEDED
        if len(BASES) >= KEPT:
            BASES.pop(next(iter(BASES)))
        BASES[key] = base_in(record, asked.copy)
    base = BASES[key]
    if base is None:
        return "none"
    known = levers(base)
    changes = {each.fact.id: asked.changes[each.fact.id] for each in known if each.fact.id in asked.changes}
    point = simulated(base, changes) if asked.simulate else at_once(base, changes)
    return Told(
        known, at_once(base, {}), point, base.inquiry.wishes.hurdle_months, base.inquiry.shop.currency,
        base.result.concept.title,
    )  # fmt: skip


def base_in(record: bytes, copy: str) -> Base | None:
    """What the figures rest on; None where no concept but today has a case. Of the customer's copy nothing internal is
    left in it, so that no figure can be moved that only cost or margin rest on."""
    done = cast(Study, unpacked(record))
    done = done if copy == COPIES[0] else for_customer(done)
    result = looked_at(done)
    if result is None or result.case is None or result.estimate is None:
        return None
    return base_of(done, visited(done.inquiry), read_catalogue(), result, Nobody())


def nothing() -> None:
    """What the process does first: it reads what is ours, and needs no limits."""


@dataclass(slots=True)
class Asking:
    """The process, begun with the first question."""

    store: Store
    child: Alone = field(default_factory=lambda: Alone(nothing))
    lock: threading.Lock = field(default_factory=threading.Lock)

    def ask(self, asked: Asked) -> Told | None:
        """The figures; None where the study has none.

        KeyError for no study, ToolError for one without a record that this version can read.
        """
        told = self._sent(asked, None)
        if told == NEEDED:
            with self.store.reading() as connection:
                record = record_of(connection, asked.piece)
            told = self._sent(asked, record)
        return told if isinstance(told, Told) else None

    def _sent(self, asked: Asked, record: bytes | None) -> Told | str:
        """One question to the process."""
        return cast(Told | str, self.run(partial(answer, asked, record)))

    def run(self, work: Callable[[], Any]) -> Any:
        """What a function gives in the process that answers, which is begun anew where it ended over the question.

        ToolError where the answer is not there in time, the turn of those who asked before included.
        """
        end = time.monotonic() + PATIENCE_S
        if not self.lock.acquire(timeout=PATIENCE_S):
            raise ToolError(NOT_ANSWERED, code="not_answered")
        try:
            return self.child.ask(work, (), max(end - time.monotonic(), 0.0))
        except Lost:
            raise ToolError(NOT_ANSWERED, code="not_answered") from None
        finally:
            self.lock.release()

    def close(self) -> None:
        """Stop the process."""
        self.child.end()
