"""How long layout, move tables and verdicts of sixty concepts take on two cores, beside a general-purpose library that
does no more than hold the flange in the same poses in the same run."""

import time
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.measuring import Line, median_line
from benchmarks.pose_figures import library_of
from millhand.catalogue.components import read_catalogue
from millhand.intake.inquiry import read_inquiry
from millhand.model.arm import Linkage
from millhand.model.catalogue import Catalogue
from millhand.model.concept import Concept
from millhand.model.inquiry import Inquiry
from millhand.model.walk import facts_in
from millhand.road import visited
from millhand.run import LocalRunner
from millhand.solvers.pose import inverse
from millhand.solvers.pose.links import Floats, Ways
from millhand.stages.concepts import concepts
from millhand.stages.feasibility.checks import verdicts
from millhand.stages.layout import layout
from millhand.stages.timing.build import timing
from millhand.trace import Sheet

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
SHOPS = ("1_two_mills", "2_three_lathes", "4_tiny_lots", "5_two_vises")
COUNT, CORES = 60, 2
Item = tuple[str, str, bool]  # example, concept, whether the library is asked beside
Way = Callable[[Linkage, Floats], Ways]


def sixty(rounds: int) -> Iterator[Line]:
    """Seconds of two fresh processes for all of them, and the ratio of the work to what the library takes within it."""
    found, ratios, poses = [], [], 0
    for _ in range(rounds):
        before = time.perf_counter()
        list(LocalRunner(workers=CORES).map(worked, items(beside=False)))
        found.append(time.perf_counter() - before)
        told = np.array(list(LocalRunner(workers=CORES).map(worked, items(beside=True)))).sum(axis=0)
        ratios.append(float(told[0] / told[1]))
        poses = int(told[2])
    unit = f"s, {COUNT} concepts with layout, moves and verdicts, two fresh processes"
    yield median_line("placing_sixty_concepts", found, unit=unit)
    unit = "times a general-purpose library's time for the inverse poses in it alone, of one core"
    yield median_line("placing_to_library", ratios, unit=unit)
    yield Line(figure="placing_poses", value=poses, unit=f"inverse poses in {COUNT} concepts", rounds=1)


def items(*, beside: bool) -> Iterator[Item]:
    """As many concepts of every shop, evenly from all that it has."""
    each = COUNT // len(SHOPS)
    for name in SHOPS:
        known = [way.id for way in shop(name)[2]]
        for at in np.linspace(0, len(known) - 1, each).round().astype(int):
            yield name, known[at], beside


@cache
def shop(name: str) -> tuple[Inquiry, Catalogue, tuple[Concept, ...]]:
    """An example with the cells that are looked at for it."""
    catalogue = read_catalogue()
    asked = visited(read_inquiry(EXAMPLES / name / "inquiry.yaml", catalogue.assumptions))
    return asked, catalogue, tuple(way for way in concepts(asked, catalogue) if way.kind == "cell")


def worked(item: Item) -> tuple[float, float, float]:
    """Processor seconds of one concept without the library, those of the library, and how many poses there were."""
    name, concept_id, beside = item
    asked, catalogue, ways = shop(name)
    way = next(each for each in ways if each.id == concept_id)
    spent = Spent()
    forms: dict[str, Any] = inverse.FORMS
    own = dict(forms)
    if beside:
        forms.update({family: spent.beside(form) for family, form in own.items()})
    before = time.process_time()
    sheet = Sheet((*facts_in(asked), *facts_in(catalogue)))
    placed = layout(asked, way, catalogue, sheet)
    verdicts(asked, way, placed, timing(asked, way, placed, catalogue, sheet), sheet)
    seconds = time.process_time() - before
    forms.update(own)
    return seconds - spent.seconds, spent.seconds, float(spent.poses)


class Spent:
    """What the library has taken so far."""

    def __init__(self) -> None:
        self.seconds = 0.0
        self.poses = 0

    def beside(self, form: Way) -> Way:
        """The closed form, with the library asked for the same poses before it."""

        def both(arm: Linkage, flange: Floats) -> Ways:
            known = robot(arm)
            before = time.process_time()
            known.IK_batched(flange, 1)
            self.seconds += time.process_time() - before
            self.poses += len(flange)
            return form(arm, flange)

        return both


@cache
def robot(arm: Linkage):  # type: ignore[no-untyped-def]
    """An arm as the library knows it."""
    return library_of(arm)
