"""The table of what ended the nights alone, and the sentence before it."""

from dataclasses import replace

import pytest

from millhand.model.fact import Fact
from millhand.report.proposal.alone import left_alone, nights
from millhand.report.proposal.ground import Ground
from millhand.report.proposal.records import Table
from tests.report.fixture_study import ARM
from tests.report.proposal.told_proposal import base, teller

SHARES = {"count": 1460.0, "empty": 0.66, "over": 0.21, "machine": 0.08, "arm": 0.05}


def told_nights() -> Ground:
    """The fixture's cell with counted nights."""
    ground = base("long")
    top = f"concepts.{ARM}.performance.nights"
    more = {
        f"{top}.{name}": Fact(
            id=f"{top}.{name}", value=value, unit="1", basis="computed", source="simulation of cell made for tests"
        )
        for name, value in SHARES.items()
    }
    return replace(ground, facts={**ground.facts, **more})


def rows(ground: Ground, language: str) -> list[str]:
    """The table, its caption first."""
    says = replace(teller(language, "long"), facts=ground.facts)
    (table,) = [each for each in nights(ground) if isinstance(each, Table)]
    lines = [says.plain(table.caption), *(" | ".join(says.plain(cell) for cell in row) for row in table.rows)]
    return [line.replace("\u202f", " ").replace("\u00a0", " ") for line in lines]


@pytest.mark.parametrize(
    ("language", "caption", "first", "last"),
    [
        (
            "en",
            "How 1 460 simulated nights",
            "presenter empty: no raw part left | 66 % | more places",
            "the arm missed",
        ),
        (
            "de",
            "Wie 1 460 simulierte Nächte",
            "Bereitstellung leer: kein Rohteil mehr | 66 % | mehr Plätze",
            "der Roboter",
        ),
    ],
)
def test_each_cause_stands_with_its_share_and_what_lengthens_it(
    language: str, caption: str, first: str, last: str
) -> None:
    """The most frequent first, in either language."""
    lines = rows(told_nights(), language)

    assert lines[0].startswith(caption)
    assert lines[1].startswith(first)
    assert lines[-1].startswith(last)
    assert len(lines) == len(SHARES)


def test_without_counted_nights_there_is_no_table() -> None:
    """An older study has none, nor has a way without an arm."""
    assert list(nights(base("long"))) == []
    assert list(nights(replace(told_nights(), subject=None))) == []
    assert list(left_alone(base("long"))) != []
