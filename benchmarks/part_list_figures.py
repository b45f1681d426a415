"""How long a part list of 2 000 rows takes: read from a workbook and from text, and answered beside a planned cell."""

import csv
import random
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import xlsxwriter  # type: ignore[import-untyped]

from benchmarks.measuring import Line, median_line
from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.intake.inquiry import read_inquiry
from millhand.model.catalogue import Catalogue
from millhand.model.decision import Decision, Ranked
from millhand.model.inquiry import Inquiry
from millhand.model.study import Result, Study
from millhand.model.walk import facts_in
from millhand.part_mix import with_part_mix
from millhand.road import Desk, planned, visited
from millhand.run import LocalRunner, Nobody
from millhand.stages.concepts import concepts
from millhand.stages.performance.hours import hours
from millhand.trace import Sheet

EXAMPLE = Path(__file__).resolve().parents[1] / "examples" / "4_tiny_lots"
CELL = "trays-pedestal-force_limited_12-parallel_single-scanner"
ROWS = 2000
HEAD = ("Teilenummer", "Form", "Länge [mm]", "Breite [mm]", "Höhe [mm]", "Gewicht [kg]", "Stückzeit [min]",
        "Jahresmenge", "Losgröße", "Maschine")  # fmt: skip
Row = list[str | float]


def two_thousand(rounds: int) -> Iterator[Line]:
    """Seconds of one core's work, without the study that gives the cell."""
    catalogue = read_catalogue()
    done = planned_study(catalogue)
    found: dict[str, list[float]] = {"xlsx": [], "csv": [], "answer": []}
    with tempfile.TemporaryDirectory() as folder:
        top = Path(folder)
        for kind in ("xlsx", "csv"):
            written(top, kind)
        for _ in range(rounds):
            for kind in ("xlsx", "csv"):
                before = time.process_time()
                asked = read_inquiry(top / f"{kind}.yaml", assumptions())
                found[kind].append(time.process_time() - before)
            before = time.process_time()
            answered(done, asked, catalogue)
            found["answer"].append(time.process_time() - before)
    yield median_line("part_list_xlsx", found["xlsx"], unit=f"s of one core, an inquiry with {ROWS} rows of XLSX read")
    yield median_line("part_list_csv", found["csv"], unit=f"s of one core, an inquiry with {ROWS} rows of CSV read")
    unit = f"s of one core, {ROWS} parts put to the checks of a cell, grouped and answered"
    yield median_line("part_list_answer", found["answer"], unit=unit)


def answered(done: Study, asked: Inquiry, catalogue: Catalogue) -> None:
    """The answer; all rows must be in it."""
    mix = with_part_mix(replace(done, inquiry=asked), asked, catalogue).part_mix
    assert mix is not None
    assert sum(len(each.members) for each in mix.families) + len(mix.left) == ROWS


def written(top: Path, kind: str) -> None:
    """The tiny lots with a list of invented parts of twenty shapes, each in a hundred sizes and weights."""
    rows = list(invented())
    if kind == "csv":
        with (top / "parts.csv").open("w", encoding="utf-8", newline="") as out:
            csv.writer(out, delimiter=";").writerows([HEAD, *rows])
    else:
        book = xlsxwriter.Workbook(top / "parts.xlsx")
        sheet = book.add_worksheet("Teile")
        for number, row in enumerate([HEAD, *rows]):
            sheet.write_row(number, 0, row)
        book.close()
    text = (EXAMPLE / "inquiry.yaml").read_text(encoding="utf-8").replace("file: parts.csv", f"file: parts.{kind}")
    (top / f"{kind}.yaml").write_text(text, encoding="utf-8")


def invented() -> Iterator[Row]:
    """Rows of the list."""
    chance = random.Random(1)
    shapes = [sorted((chance.uniform(15.0, 220.0) for _ in range(3)), reverse=True) for _ in range(20)]
    for number in range(ROWS):
        sides = [round(side * chance.uniform(0.8, 1.2), 1) for side in chance.choice(shapes)]
        mass = round(sides[0] * sides[1] * sides[2] * chance.choice((2.7e-6, 7.85e-6)), 3)
        yield [
            f"T-{number:04}", "Block", *sides, max(mass, 0.001), round(chance.uniform(2.0, 20.0), 1),
            chance.randrange(1, 200), chance.randrange(1, 24), "mill",
        ]  # fmt: skip


def planned_study(catalogue: Catalogue) -> Study:
    """As much of a study as a list asks for: one planned cell in the first place."""
    whole = read_inquiry(EXAMPLE / "inquiry.yaml", assumptions())
    asked = visited(whole)
    sheet = Sheet((*facts_in(asked), *facts_in(catalogue)))
    desk = Desk(
        inquiry=asked, catalogue=catalogue, pattern=hours(asked, sheet), seed=1, runner=LocalRunner(), watch=Nobody()
    )
    plan = planned(desk, next(each for each in concepts(asked, catalogue) if each.id == CELL), sheet)
    result = Result(
        concept=plan.concept, verdicts=plan.verdicts, layout=plan.layout, timing=plan.timing, estimate=plan.estimate
    )
    decision = Decision(
        answer="cell", winner=CELL, second=None, sentences=(), would_change=(), drivers=(), asks=(),
        ranking=(Ranked(concept=CELL, place=1, fell=None, words=""),),
    )  # fmt: skip
    return Study(
        version="", seed=1, inquiry=whole, facts=sheet.facts, choices=sheet.choices, results=(result,),
        decision=decision,
    )  # fmt: skip
