"""Proposals made on demand from finished studies, in a process of its own: read, written, set as pages to look at.

What was made is kept for a while, so that the pages and the PDF of one view are made once.
"""

import io
import threading
import time
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures import TimeoutError as Late
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from multiprocessing import get_context
from typing import Any, NamedTuple, cast

from millhand.errors import ToolError
from millhand.model.study import Study
from millhand.report.customer import for_customer
from millhand.report.html import report_html
from millhand.report.proposal.build import told
from millhand.report.proposal.letter import Letter
from millhand.report.proposal.pdf import proposal_pages, proposal_pdf
from millhand.report.study_json import study_as_json
from millhand.run import unpacked
from millhand.store.opening import Store
from millhand.web.kept_record import record_of
from millhand.web.worker import COPIES

DOTS_PER_INCH = 110.0
COLOURS = 96  # of a page to look at
KEPT_STUDIES, KEPT_PAPERS = 3, 12
PATIENCE_S = 60.0
NOT_MADE = "the proposal could not be made in time; ask for it again in a moment."
STEPS = ("reading the study", "writing the proposal", "setting its pages", "drawing them to look at")
PDF, PAGES = 3, 4  # how many steps there are to each
STUDIES: dict[tuple[str, str], tuple[Study, str]] = {}  # of the process that makes them, with their study.json
TOLD: dict["Wanted", dict[str, Any]] = {}


class Wanted(NamedTuple):
    """One proposal: of which study, in which copy, and how."""

    piece: str
    copy: str
    letter: Letter


def read(piece: str, copy: str, record: bytes) -> None:
    """In the process: hold the study."""
    if (piece, copy) in STUDIES:
        return
    while len(STUDIES) >= KEPT_STUDIES:
        STUDIES.pop(next(iter(STUDIES)))
    study = cast(Study, unpacked(record))
    study = study if copy == COPIES[0] else for_customer(study)
    STUDIES[piece, copy] = study, study_as_json(study)


def write(wanted: Wanted) -> None:
    """In the process: all that the template is given."""
    study, text = STUDIES[wanted.piece, wanted.copy]
    TOLD[wanted] = told(study, wanted.letter, text=text)


def set_pdf(wanted: Wanted) -> bytes:
    """In the process: the PDF."""
    return proposal_pdf(TOLD[wanted], wanted.letter.on)


def set_pages(wanted: Wanted) -> tuple[bytes, ...]:
    """In the process: the pages as pictures."""
    pages = proposal_pages(TOLD.pop(wanted), wanted.letter.on, dots_per_inch=DOTS_PER_INCH)
    return tuple(map(small, pages))


def set_report(wanted: Wanted) -> bytes:
    """In the process: the whole study as one page, in the language of the proposal."""
    study, text = STUDIES[wanted.piece, wanted.copy]
    return report_html(study, text=text, language=wanted.letter.language).encode("utf-8")


def small(picture: bytes) -> bytes:
    """A page with no more colours than paper and ink need."""
    from PIL import Image

    stream = io.BytesIO()
    with Image.open(io.BytesIO(picture)) as opened:
        opened.convert("RGB").quantize(COLOURS, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE).save(stream, "PNG")
    return stream.getvalue()


@dataclass(frozen=True, slots=True)
class Job:
    """A proposal being made, step by step."""

    steps: tuple[Future[Any], ...]

    @property
    def done(self) -> int:
        """How many steps are done."""
        return sum(each.done() for each in self.steps)

    def step(self, number: int, patience_s: float) -> Any:
        """What came of a step; None where it is not there in time. What went wrong up to there is raised."""
        end = time.monotonic() + patience_s
        found: Any = None
        for each in self.steps[:number]:
            try:
                found = each.result(max(end - time.monotonic(), 0.0))
            except Late:
                return None
        return found

    def pages(self, patience_s: float) -> tuple[bytes, ...] | None:
        """Each page as a picture; None where they are not there in time."""
        return cast(tuple[bytes, ...] | None, self.step(PAGES, patience_s))


@dataclass(slots=True)
class Papering:
    """The process, begun with the first proposal, and what it made last."""

    store: Store
    pool: ProcessPoolExecutor | None = None
    jobs: dict[Wanted, Job] = field(default_factory=dict)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def begin(self, wanted: Wanted) -> Job:
        """Make a proposal, or give back the one that is being made or was made before.

        KeyError for no study, ToolError for one without a record that this version can read.
        """
        with self.lock:
            job = self.jobs.pop(wanted, None)
            if job is None or any(each.done() and each.exception() is not None for each in job.steps):
                job = self._begun(wanted, (write, set_pdf, set_pages))
            self.jobs[wanted] = job  # the last asked for is dropped last
            while len(self.jobs) > KEPT_PAPERS:
                self.jobs.pop(next(iter(self.jobs)))
            return job

    def _begun(self, wanted: Wanted, steps: Sequence[Callable[[Wanted], Any]]) -> Job:
        """Put the steps in the queue of the process behind reading, which is begun anew after it broke."""
        with self.store.reading() as connection:
            record = record_of(connection, wanted.piece)
        for _ in range(2):
            if self.pool is None:
                self.pool = ProcessPoolExecutor(1, mp_context=get_context("spawn"))
            try:
                first = self.pool.submit(read, wanted.piece, wanted.copy, record)
                return Job((first, *(self.pool.submit(each, wanted) for each in steps)))
            except BrokenProcessPool:
                self.pool.shutdown(wait=False)
                self.pool = None
        raise BrokenProcessPool("the process that makes proposals ends as soon as it begins")

    def pdf(self, wanted: Wanted) -> bytes:
        """The PDF, waited for; ToolError where it is not there in time or its process ends over it."""
        return cast(bytes, self._waited(wanted, PDF))

    def pages(self, wanted: Wanted) -> tuple[bytes, ...]:
        """The pages as pictures, waited for; ToolError as above."""
        return cast(tuple[bytes, ...], self._waited(wanted, PAGES))

    def report(self, wanted: Wanted) -> bytes:
        """The whole study as one page in the language of the proposal, waited for; ToolError as above."""
        with self.lock:
            job = self._begun(wanted, (set_report,))
        return cast(bytes, self._came(job, len(job.steps)))

    def _waited(self, wanted: Wanted, step: int) -> Any:
        """What came of a step."""
        return self._came(self.begin(wanted), step)

    def _came(self, job: Job, step: int) -> Any:
        """The same of a job that is under way."""
        try:
            made = job.step(step, PATIENCE_S)
        except BrokenProcessPool:
            made = None
        if made is None:
            raise ToolError(NOT_MADE, code="not_made")
        return made

    def close(self) -> None:
        """Stop the process."""
        with self.lock:
            if self.pool is not None:
                self.pool.shutdown(wait=False, cancel_futures=True)
                self.pool = None
