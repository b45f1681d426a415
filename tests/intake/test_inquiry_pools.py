"""Machines that share their work, named together by an operation."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.yaml_tree import tree_of
from millhand.model.inquiry import Inquiry
from millhand.model.pool import each_of, kinds_in
from millhand.model.walk import facts_in

SHOP = """
format: millhand-inquiry/1
name: Rings
people: {wage: 26 EUR/h, operators: 1}
shifts: 2 x 8 h
machines:
  - {name: saw, kind: other, count: 1, door: none, clamping: nest, control: none}
  - name: lathe_1
    kind: lathe
    count: 2
    door: powered
    control: free_outputs
    age: 4 years
    load_depth: 500 mm
    chip_limit: 900
    stands: [{x: 0 m, y: 0 m, faces: south}, {x: 3 m, y: 0 m, faces: south}]
  - name: lathe_2
    kind: lathe
    count: 1
    door: hand
    control: fieldbus
    age: 12 years
    load_depth: 0.7 m
    chip_limit: 700
    stands: [{x: 6 m, y: 0 m, faces: south}]
parts:
  - name: ring
    shape: round
    raw: 70 dia x 40 mm
    raw_mass: 0.9 kg
    lot_size: 150
    orders_per_y: 84000
    operations:
      - {name: first, machine: [lathe_2, lathe_1], time: 150 s, time_is: cycle, parts_per_cycle: 1}
      - {name: second, machine: [lathe_1, lathe_2], time: 90 s, time_is: cycle, parts_per_cycle: 1}
today: {parts_per_shift: 150}
wishes: {unattended: 2 h, hurdle: 24 months}
"""


def read(text: str) -> Inquiry:
    """The inquiry of a text without files."""
    return inquiry_of(tree_of(text.encode(), "inquiry.yaml"), Path(), assumptions())


def refused(text: str) -> tuple[str, str]:
    """What is said of a text that cannot be used: read and write."""
    with pytest.raises(InputErrors) as trouble:
        read(text)
    (error,) = trouble.value.errors
    return error.read, error.write


def test_they_are_one_where_the_work_is_shared_and_each_of_its_own_else() -> None:
    """The count is that of all; what each has is kept; where one figure has to do it is the more demanding."""
    saw, pool = read(SHOP).machines

    assert (saw.name, pool.name, pool.count.value) == ("saw", "lathe_1_or_lathe_2", 3.0)
    assert pool.count.inputs == (("counts[]", "machines.lathe_1.count"), ("counts[]", "machines.lathe_2.count"))
    assert [(each.name, each.door.value) for each in pool.shared] == [("lathe_1", "powered"), ("lathe_2", "hand")]
    assert (pool.door.value, pool.control.value) == ("hand", "free_outputs")
    assert (pool.load_depth_m.id, pool.chip_limit_parts.id) == (
        "machines.lathe_2.load_depth", "machines.lathe_2.chip_limit"
    )  # fmt: skip
    assert pool.age_y.value == 12.0
    assert [each.name for each in kinds_in((saw, pool))] == ["saw", "lathe_1", "lathe_2"]
    assert [(each.name, each.load_depth_m.value) for each in each_of((pool,))] == [
        ("lathe_1_or_lathe_2", 0.5), ("lathe_1_or_lathe_2", 0.5), ("lathe_1_or_lathe_2", 0.7)
    ]  # fmt: skip


def test_operations_and_places_go_by_the_name_of_all() -> None:
    """In whatever order an operation names them; places are counted on through them."""
    found = read(SHOP)

    assert {each.machine for each in found.parts[0].operations} == {"lathe_1_or_lathe_2"}
    assert [(each.number, each.x_m.value) for each in found.places] == [(1, 0.0), (2, 3.0), (3, 6.0)]
    assert {"machines.lathe_1.door", "machines.lathe_2.door"} <= {each.id for each in facts_in(found)}


def test_one_name_in_a_list_is_as_the_name_alone() -> None:
    """Nothing is shared then."""
    machines = read(SHOP.replace("[lathe_2, lathe_1]", "[lathe_1]").replace("[lathe_1, lathe_2]", "lathe_2")).machines
    assert [(each.name, each.shared) for each in machines] == [("saw", ()), ("lathe_1", ()), ("lathe_2", ())]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("[lathe_1, lathe_2]", "lathe_2", (
            "lathe_2", "the machines of each operation the same or others: lathe_1 and lathe_2 share their work")),
        ("machine: [lathe_1, lathe_2]", "machine: [lathe_1, lathe_3]", (
            "lathe_3", "the name of a machine: saw, lathe_1 or lathe_2 (did you mean 'lathe_2'?)")),
        ("kind: lathe\n    count: 1", "kind: mill\n    count: 1", (
            "lathe_1 and lathe_2, which differ in kind",
            "machines with the same kind, or an operation for each of them")),
        ("age: 12 years", "extra: bar_feeder", (
            "lathe_1 and lathe_2, which differ in extra",
            "machines with the same feeder, or none, or an operation for each of them")),
    ],
)  # fmt: skip
def test_what_cannot_be_shared_is_refused(old: str, new: str, said: tuple[str, str]) -> None:
    """In words, at the operation that names it."""
    assert old in SHOP
    assert refused(SHOP.replace(old, new)) == said


def test_an_operation_without_a_machine_is_refused() -> None:
    """As before: the list may not be left out."""
    read_, write = refused(SHOP.replace("machine: [lathe_2, lathe_1], ", ""))
    assert read_ == "no parts.ring.first.machine"
    assert write.startswith("machine: the name of a machine, or several such as [lathe_1, lathe_2]")
