"""The process that makes one study: reads a folder, says how far it is line by line, leaves the files beside it.

It ends, with all that it started, when whoever started it is gone.
"""

import json
import os
import signal
import sys
import threading
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from millhand.cache import results_folder
from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.errors import InputErrors, ToolError
from millhand.intake.company import read_company
from millhand.intake.fields import FILE
from millhand.intake.inquiry import read_inquiry
from millhand.model.company import Company
from millhand.model.study import Study
from millhand.report.customer import for_customer
from millhand.report.cycle import cell_of
from millhand.report.pages import study_pages
from millhand.report.proposal.letter import Letter
from millhand.report.running import FILE as SHIFT
from millhand.report.running import record, running_pages
from millhand.report.study_json import study_as_json
from millhand.report.writing import study_files
from millhand.run import LocalRunner, packed
from millhand.stages.shift import Watched, watched_shift
from millhand.web.kept_record import RECORD
from millhand.whole import answered

COPIES = ("own", "customer")
COMPANY = "company.yaml"
INQUIRY = "inquiry"  # the folder in the folder of the work that holds the inquiry with its files, and nothing else
HOUSE = "house"  # beside it, for the company file and logo of the desk: no file of an inquiry goes by their names


@dataclass(frozen=True, slots=True)
class Speaking:
    """The Watch that says each step as a line of JSON."""

    def step(self, name: str, done: int, total: int) -> None:
        """Say it."""
        say({"step": name, "done": done, "total": total})

    def cancelled(self) -> bool:
        """Never: who cancels ends the process."""
        return False


def say(line: dict[str, Any]) -> None:
    """One line to whoever started this."""
    sys.stdout.write(json.dumps(line) + "\n")
    sys.stdout.flush()


def end_with_parent() -> None:
    """End this process and all that it started once nobody holds the other end of standard input."""

    def wait() -> None:
        """Until it is closed; read from the system, for a thread inside a buffer of Python's stands in its way out."""
        while os.read(0, 1):
            pass
        os.killpg(0, signal.SIGKILL)

    threading.Thread(target=wait, daemon=True).start()


def letter_of(folder: Path, asked: dict[str, Any]) -> Letter:
    """How the proposal is wanted: on the paper that the inquiry's own company file tells, else on that of the desk."""
    told = next((path for each in (INQUIRY, HOUSE) if (path := folder / each / COMPANY).exists()), None)
    company = read_company(told) if told is not None else Company()
    return Letter(on=date.fromisoformat(asked["on"]), language=asked["language"], form=asked["form"], company=company)


def made(folder: Path, asked: dict[str, Any]) -> Study:
    """The whole study of the inquiry in a folder."""
    inquiry = read_inquiry(folder / FILE, assumptions(), leave_out=bool(asked.get("leave_out")))
    runner = LocalRunner(workers=asked["workers"], cache=results_folder())
    return answered(
        inquiry, read_catalogue(), seed=asked["seed"], draws=asked["draws"], runner=runner, watch=Speaking()
    )


def write(study: Study, out: Path, letter: Letter, shift: Watched | None = None) -> None:
    """Every file of one copy, and its pages; `shift`: that of the proposed cell, to be played."""
    files = study_files(study, letter)
    pages = study_pages(study, text=study_as_json(study))
    result = cell_of(study)
    if result is not None and shift is not None:
        files[SHIFT] = record(shift, result).encode("utf-8")
        pages |= running_pages(study, result, shift)
    for name, content in files.items() | {(f"pages/{name}", page.encode("utf-8")) for name, page in pages.items()}:
        path = out / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)


def shift_of(study: Study) -> Watched | None:
    """One shift of the proposed cell, to be played; None where no cell works or none was placed."""
    result = cell_of(study)
    if result is None or result.cell is None or result.layout is None or result.layout.drawn is None:
        return None
    return watched_shift(study.inquiry, result.cell, study.seed)


def main(folder: Path) -> int:
    """Make the study; 0 when its files are there, 2 with words where the input is wrong."""
    asked = json.loads((folder / "asked.json").read_text(encoding="utf-8"))
    try:
        letter = letter_of(folder, asked)
        study = made(folder / INQUIRY, asked)
        shift = shift_of(study)
        for number, copy in enumerate(COPIES):
            say({"step": "files", "done": number, "total": len(COPIES)})
            write(study if copy == COPIES[0] else for_customer(study), folder / "out" / copy, letter, shift)
        (folder / "out" / COPIES[0] / RECORD).write_bytes(packed(study))
    except (InputErrors, ToolError) as trouble:
        say({"words": str(trouble)})
        return 2
    say({"step": "files", "done": len(COPIES), "total": len(COPIES)})
    return 0


if __name__ == "__main__":
    end_with_parent()
    sys.exit(main(Path(sys.argv[1])))
