"""The log of `millhand simulate --log FILE`: one event a line, as JSON or as a table."""

import csv
import io
import json
from collections.abc import Sequence
from pathlib import Path

from millhand.model.cell import Cell
from millhand.solvers.kernel.log import Line
from millhand.solvers.kernel.replications import log_lines

COLUMNS = {"when_s": "t_s", "what": "what", "who": "who", "where": "where", "takes_s": "takes_s"}


def write_log(path: Path, cell: Cell, *, hours: float, seed: int, replication: int) -> None:
    """Every event of one replication, warm-up too: a table where the name ends in .csv, JSON lines otherwise."""
    lines = log_lines(cell, hours=hours, seed=seed, replication=replication)
    as_text = as_table if path.suffix.lower() == ".csv" else as_json_lines
    path.write_text(as_text(lines), encoding="utf-8", newline="")


def as_json_lines(lines: Sequence[Line]) -> str:
    """One JSON object a line."""
    return "".join(f"{json.dumps(line)}\n" for line in lines)


def as_table(lines: Sequence[Line]) -> str:
    """Columns when_s, what, who, where, and takes_s of a way; events in the order in which they came about."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    table.writerows([line.get(key, "") for key in COLUMNS.values()] for line in lines)
    return text.getvalue()
