"""What becomes of freed hours, as an inquiry tells it: shares with their worth, and what it may not say."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.yaml_tree import tree_of
from millhand.model.inquiry import Inquiry

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")


def told(*lines: str) -> Inquiry:
    """The dozen facts with these lines about people."""
    text = DOZEN.replace("people:\n", "people:\n" + "".join(f"  {line}\n" for line in lines), 1)
    return inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions())


def words(*lines: str) -> list[str]:
    """What these lines are answered with."""
    with pytest.raises(InputErrors) as caught:
        told(*lines)
    return [str(error) for error in caught.value.errors]


def test_several_fates_are_read_with_ranges_and_what_is_assumed_of_them() -> None:
    """A share may have a range; the worth of an hour is asked for only where its fate was named."""
    people = told("freed: {not_hired: 50 %, redeployed: 20 % (10 % to 30 %), not_usable: 30 %}").people
    fates = people.freed
    assert fates is not None
    assert fates.redeployed is not None
    assert fates.redeployed_worth is not None

    assert {name: fact.value for name, fact in fates.shares.items()} == {"not_hired": 0.5, "redeployed": 0.2}
    assert (fates.redeployed.low, fates.redeployed.high, fates.redeployed.basis) == (0.1, 0.3, "given")
    assert fates.redeployed_worth.basis == "assumed"
    assert fates.redeployed_worth.question == (
        "What is an hour of the other work worth, against what an hour at these machines costs?"
    )
    assert (fates.overtime, fates.overtime_worth, fates.temporary_worth) == (None, None, None)
    assert (people.freed_use.value, people.share_usable.value) == ("several", pytest.approx(0.7))


def test_one_use_with_its_share_reads_as_ever() -> None:
    """Who says nothing of fates has none."""
    people = told("freed_use: vacancy").people

    assert people.freed is None
    assert (people.freed_use.value, people.share_usable.value) == ("vacancy", 0.85)


def test_what_cannot_be_is_told_with_its_cure() -> None:
    """More hours than came free, no fate at all, a worth of nothing, and two ways to say it at once."""
    many = words("freed: {not_hired: 80 %, overtime: 30 %}")
    none = words("freed: {redeployed_worth: 80 %}")
    both = words("freed_use: vacancy", "freed: {not_hired: 80 %}")
    where = many[0].partition(": read")[0]

    assert where.startswith("i.yaml:")
    assert many == [
        f"{where}: read 'shares of 110 % together'; write shares that add up to 100 % at most; freed hours are there "
        "once."
    ]
    assert [each.partition(": read ")[2] for each in none] == [
        "'redeployed_worth without redeployed'; write redeployed too, such as redeployed: 20 %, or no "
        "redeployed_worth.",
        "'people.freed without a share'; write one share or more, such as not_hired: 50 %.",
    ]
    assert [each.partition(": read ")[2] for each in both] == [
        "'freed and freed_use'; write either freed, or freed_use with share_usable."
    ]


def test_a_share_of_more_than_all_is_refused_where_it_stands() -> None:
    """No single fate takes more than all hours."""
    found = words("freed: {not_hired: 120 %}")

    assert len(found) == 1
    assert found[0].startswith("i.yaml:")
    assert "120 %" in found[0]
