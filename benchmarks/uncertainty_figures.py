"""How long the uncertainty of the first example takes on two cores: every simulated concept in 1 024 draws, once with
each cell simulated again in all of them, once with a response fitted to some."""

import os
import time
from collections.abc import Iterator
from pathlib import Path

from benchmarks.measuring import Gate, Line, median_line
from millhand.catalogue.components import read_catalogue
from millhand.intake.inquiry import read_inquiry
from millhand.run import LocalRunner
from millhand.stages.spread import Asked
from millhand.study import RESIMULATED, study

EXAMPLE = Path(__file__).resolve().parents[1] / "examples" / "1_two_mills" / "inquiry.yaml"
CORES, DRAWS = 2, 1024


class Stretch:
    """An onlooker who notes when the short runs begin, when they are done and when the draws are."""

    def __init__(self) -> None:
        self.begun = self.run = self.drawn = 0.0
        self.cpu = 0.0

    def step(self, name: str, done: int, total: int) -> None:
        """The first step of the short runs, their last one, the last one of the draws."""
        if name == "short runs" and done == 0:
            self.begun, self.cpu = time.perf_counter(), -sum(os.times()[:4])
        if name == "short runs" and done == total:
            self.run = time.perf_counter() - self.begun
        if name == "draws" and done == total:
            self.drawn = time.perf_counter() - self.begun
            self.cpu += sum(os.times()[:4])

    def cancelled(self) -> bool:
        """Never."""
        return False


def whole(rounds: int) -> Iterator[Line]:
    """Seconds from the first short run to the last draw, and of the processor in all processes together."""
    catalogue = read_catalogue()
    asked = read_inquiry(EXAMPLE, catalogue.assumptions)
    for name, runs, gate in (("fitted", RESIMULATED, Gate(most=60.0)), ("all", DRAWS, None)):
        found = []
        for _ in range(rounds):
            stretch = Stretch()
            study(
                asked, catalogue, runner=LocalRunner(workers=CORES), watch=stretch,
                asked=Asked(count=DRAWS, seed=1, resimulated=runs),
            )  # fmt: skip
            found.append(stretch)
        unit = f"s of two cores, {DRAWS} draws of all simulated concepts, {runs} of them simulated again"
        yield median_line(f"uncertainty_{name}", [each.drawn for each in found], unit=unit, gate=gate)
        yield median_line(f"uncertainty_{name}_runs", [each.run for each in found], unit="s of it for the short runs")
        unit = "s of the processor, all processes together"
        yield median_line(f"uncertainty_{name}_cpu", [each.cpu for each in found], unit=unit)
