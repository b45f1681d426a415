"""Two records of one name once stood for one in the schema of a study: a layout then did not fit it."""

import dataclasses
import importlib
from collections import defaultdict

from tests.house.source_text import SOURCE, files


def test_no_two_records_of_the_model_share_a_name() -> None:
    """The schema names each record by its class alone."""
    homes: dict[str, set[str]] = defaultdict(set)
    for path in files(SOURCE / "model"):
        module = importlib.import_module(f"millhand.model.{path.stem}")
        for name, record in vars(module).items():
            if isinstance(record, type) and dataclasses.is_dataclass(record):
                homes[name].add(record.__module__)

    assert homes["CellOption"] == {"millhand.model.concept"}
    assert {name: sorted(where) for name, where in homes.items() if len(where) > 1} == {}
