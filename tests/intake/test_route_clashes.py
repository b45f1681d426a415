"""Ways of a part over its machines: what no study can follow is refused where the file is read, with what to write."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.odd import oddities
from millhand.intake.yaml_tree import tree_of
from millhand.model.inquiry import Inquiry
from millhand.model.route import comes_again, unlike

LINE = (Path(__file__).resolve().parents[1] / "data" / "line.yaml").read_text(encoding="utf-8")
TURNING = "{name: turning, machine: lathe, time: 150 s, time_is: cycle"
AGAIN = (TURNING, "{name: turning, machine: mill, time: 150 s, time_is: cycle")
THIRD = "\n      - {name: drilling, machine: mill, time: 60 s, time_is: cycle}\n\ntoday:"


def changed(*changes: tuple[str, str]) -> Inquiry:
    """The line of two mills and a lathe with some of its words changed."""
    text = LINE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions())


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (
            [("\n\ntoday:", THIRD)],
            "read 'drilling on mill, where milling was, and another machine in between'; write a machine of its own "
            "name for each operation, the 2 of mill divided among them.",
        ),
        (
            [("\n\ntoday:", THIRD), ("count: 2", "count: 1"), ("parts_per_shift: 100", "parts_per_shift: 50")],
            "write an inquiry for each operation with its share of the hours, or one operation with sides: two_vises "
            "and the time of both where both are exchanged in one door opening.",
        ),
        (
            [(TURNING, TURNING + ", parts_per_cycle: 2")],
            "read '2 parts per cycle, and 1 in milling'; write as many in both, with the time of so many, or an "
            "inquiry for each operation.",
        ),
        (
            [(TURNING, TURNING + ", cycles_per_visit: 20")],
            "read 'turning, which feeds itself, in a line with others'; write no bar and no cycles_per_visit there",
        ),
        (
            [("kind: lathe", "kind: moulding")],
            "read 'moulding in a line with other operations (turning)'; write an inquiry for the moulding and one for "
            "what comes after it.",
        ),
        (
            [(AGAIN[0], AGAIN[1] + ", parts_per_cycle: 2")],
            "read 'milling and turning on mill, which differ in parts_per_cycle'; write the same parts_per_cycle in "
            "all of them, or a machine of its own name for each operation, the 2 of mill divided among them.",
        ),
        (
            [(AGAIN[0], AGAIN[1] + ", take_out_within: 40 min")],
            "read 'milling and turning with take_out_within'; write no take_out_within there, or a machine of its own",
        ),
    ],
)
def test_what_no_study_follows_is_refused_before_it(changes: list[tuple[str, str]], words: str) -> None:
    """In its words, so that a file which can be used is one that a study works out."""
    with pytest.raises(InputErrors) as caught:
        changed(*changes)

    assert words in str(caught.value)


def test_the_reading_of_a_part_that_comes_again_is_told() -> None:
    """Lot by lot, why, and how to write that each machine does one operation alone; of one machine, two vises."""
    fewer = ("parts_per_shift: 100", "parts_per_shift: 50")
    two, one = (changed(AGAIN, fewer, ("count: 2", count)) for count in ("count: 2", "count: 1"))
    (told,) = [each.words for each in oddities(two, {}) if each.code == "lot_by_lot"]
    (alone,) = [each.words for each in oddities(one, {}) if each.code == "lot_by_lot"]

    assert told.startswith("plug comes to the 2 of mill for milling and turning: counted lot by lot, because all of ")
    assert "write them as machines of their own names. Is it done lot by lot?" in told
    assert alone.startswith("plug comes to mill for milling and turning: counted lot by lot")
    assert "write one operation with sides: two_vises. Is it done lot by lot?" in alone
    assert not [each for each in oddities(changed(), {}) if each.code == "lot_by_lot"]


def test_passes_are_alike_where_only_their_times_differ() -> None:
    """Then what a piece takes has a mean; on machines of two names a part does not come again."""
    part = changed(AGAIN).parts[0]

    assert comes_again(part)
    assert unlike(part.operations) == ""
    assert not comes_again(changed().parts[0])
