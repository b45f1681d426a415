"""The tables hold what study.json holds, to the last digit, and nothing that a spreadsheet would run."""

import csv
import dataclasses
import io

from millhand.report.tables import cash_flow_csv, facts_csv, table
from tests.report.fixture_study import ARM, study


def rows(text: str) -> list[dict[str, str]]:
    """The lines of a table by the names in its head."""
    return list(csv.DictReader(io.StringIO(text)))


def test_every_fact_is_a_line() -> None:
    """In the order of the map, with range, basis, source, formula and inputs."""
    found = {row["fact"]: row for row in rows(facts_csv(study()))}

    assert list(found)[: len(study().facts)] == list(study().facts)
    demand = found[f"concepts.{ARM}.feasibility.payload.demand"]
    assert float(demand["value"]) == study().facts[demand["fact"]].value
    assert demand["formula"] == "payload_demand_kg"
    assert demand["inputs"].startswith("part_kg=parts.bracket.raw_mass ")
    assert found["money.rate"]["P10"] == "0.08"


def test_the_cash_flow_adds_up() -> None:
    """The lines of a year, by months or as a whole, add up to its net, and the nets to what is added up."""
    found = [row for row in rows(cash_flow_csv(study())) if row["concept"] == ARM]
    sums = {row["period"]: row for row in found if row["line"] == "net"}
    total = 0.0
    for year in range(9):
        months = {f"month_{month}" for month in range(12 * year - 11, 12 * year + 1)} | {f"year_{year}"}
        inside = months if year else {"order", "delivery", "hand_over"}
        own = [float(row["amount"]) for row in found if row["line"] not in ("net", "cumulative")
               and row["period"] in inside]  # fmt: skip
        net = float(sums[f"year_{year}"]["amount"])
        total += net
        assert abs(sum(own) - net) < 1e-6
        after = next(row for row in found if row["line"] == "cumulative" and row["period"] == f"year_{year}")
        assert abs(float(after["amount"]) - total) < 1e-6


def test_text_that_a_spreadsheet_would_run_is_disarmed() -> None:
    """A cell that begins like a formula gets an apostrophe; numbers stay numbers."""
    assert table(("a",), [("=1+1",), ("@x",), (-1.5,), (None,)]) == "a\n'=1+1\n'@x\n-1.5\n\"\"\n"


def test_a_study_without_a_case_has_an_empty_cash_flow() -> None:
    """Only the head is left."""
    none = tuple(dataclasses.replace(result, case=None) for result in study().results)

    assert rows(cash_flow_csv(dataclasses.replace(study(), results=none))) == []
