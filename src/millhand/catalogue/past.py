"""A company's own past jobs: what was quoted, and what was paid in the end."""

from pathlib import Path

from millhand.catalogue.table import Row, table
from millhand.errors import InputError, InputErrors
from millhand.model.fact import Fact

COLUMNS = ("job", "quoted", "paid")
LEAST = 3  # jobs: fewer say nothing of how widely they scatter


def past_jobs(path: Path | None) -> tuple[Fact, ...]:
    """Paid over quoted of each job; InputErrors with every error at once."""
    if path is None:
        return ()
    errors: list[InputError] = []
    rows = table(path, COLUMNS, errors)
    found = tuple(fact for number, row in enumerate(rows, start=1) if (fact := _job(row, number, errors)) is not None)
    if not errors and len(found) < LEAST:
        write = f"{LEAST} jobs and more: fewer say nothing of how widely they scatter"
        errors.append(InputError(f"{path.name}:1:1", f"{len(found)} jobs", write, "few_jobs"))
    if errors:
        raise InputErrors(errors)
    return found


def _job(row: Row, number: int, errors: list[InputError]) -> Fact | None:
    """One job; None where an amount cannot be read."""
    amounts = []
    for name in ("quoted", "paid"):
        try:
            amount = float(row.texts[name])
        except ValueError:
            amount = 0.0
        if not 0.0 < amount < 1e12:
            errors.append(row.bad(name, "an amount above nothing, such as 184000", "amount"))
            return None
        amounts.append(amount)
    return Fact(
        id=f"catalogue.past.{number}", value=amounts[1] / amounts[0], unit="1", basis="given",
        source=f"{row.file}:{row.line}, {row.texts['job']}", title="paid over quoted of a past job",
    )  # fmt: skip
