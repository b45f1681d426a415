"""What a study would refuse is told before it, at its place, by the desk and by `check`."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from millhand.ahead import refusals
from millhand.catalogue.assumptions import assumptions
from millhand.cli.main import group
from millhand.errors import InputErrors
from millhand.intake.fields import paper_of
from millhand.intake.inquiry import read_inquiry

LINE = """\
format: millhand-inquiry/1
name: Two machines in a line
people: {wage: 24 EUR/h, operators: 1}
shifts: 1 x 8 h
machines:
  - {name: first, kind: KIND, count: 1}
  - {name: second, kind: mill, count: 1}
parts:
  - name: ring
    shape: prismatic
    raw: 40 x 40 x 40 mm
    raw_mass: 0.4 kg
    lot_size: 100
    orders_per_y: 20000
    operations:
      - {name: one, machine: first, time: 2 min, time_is: cycle, parts_per_cycle: 1}
      - {name: two, machine: second, time: 2 min, time_is: cycle, parts_per_cycle: PARTS}
today: {parts_per_shift: 100}
"""
REFUSED = {
    "other_parts": (("lathe", "2"), "2 parts per cycle, and 1 in one"),
    "mould": (("moulding", "1"), "moulding in a line with other operations (one)"),
}


def text_of(kind: str, parts: str) -> str:
    """The line with a first machine of a kind, and so many parts in the second one."""
    return LINE.replace("KIND", kind).replace("PARTS", parts)


@pytest.mark.parametrize("case", REFUSED)
def test_the_desk_and_the_command_say_what_the_study_would_refuse(case: str, tmp_path: Path) -> None:
    """Where, what, and what to write in its stead."""
    words, thing = REFUSED[case]
    path = tmp_path / "inquiry.yaml"
    path.write_text(text_of(*words), encoding="utf-8")
    with pytest.raises(InputErrors) as caught:
        read_inquiry(path, assumptions())
    assert [each.read for each in caught.value.errors] == [thing]

    found = paper_of(path.read_text(encoding="utf-8"), tmp_path, assumptions(), refusals)
    assert [(each.read, each.code) for each in found.errors] == [(thing, "line")]
    wrong = [each.path for each in found.fields() if each.errors]
    assert wrong == ["parts.0.operations.0.time" if case == "mould" else "parts.0.operations.1.parts_per_cycle"]

    said = CliRunner().invoke(group, ["check", str(path)])
    assert said.exit_code == 2
    assert thing in said.stderr


def test_a_line_that_can_be_worked_out_is_not_refused(tmp_path: Path) -> None:
    """The same line with one part in each."""
    found = paper_of(text_of("lathe", "1"), tmp_path, assumptions(), refusals)

    assert found.errors == ()
    assert found.inquiry is not None


@pytest.mark.parametrize(
    ("more", "read"),
    [
        ("only: {arm: [arm_of_gold]}\n", "arm_of_gold"),
        ("concepts: [{name: ours, is: kept, of: nothing-of-this}]\n", "nothing"),
        ("correlations: [{of: catalogue.nothing.price, with: people.wage, rank: 0.5}]\n", "catalogue.nothing.price"),
    ],
)
def test_names_that_the_catalogue_does_not_hold_are_told_too(more: str, read: str, tmp_path: Path) -> None:
    """Those of components, of concepts and of figures that go together."""
    wage = text_of("lathe", "1").replace("24 EUR/h", "24 EUR/h (20 to 30 EUR/h)")

    found = paper_of(wage + more, tmp_path, assumptions(), refusals)

    assert read in [each.read for each in found.errors]


def test_more_machines_than_one_simulation_holds_are_told_at_their_number(tmp_path: Path) -> None:
    """Eight mills with a person each: refused before a study, at the number of machines, and not after all concepts are
    planned. With one person for four there is room."""
    one = Path("tests/data/one_mill.yaml").read_text(encoding="utf-8")
    text = one.replace("count: 1", "count: 8")

    found = paper_of(text, tmp_path, assumptions(), refusals)

    assert [(each.code, each.read) for each in found.errors] == [
        ("not_simulated", "8 machines and 8 people, more than the simulation of one cell holds")
    ]
    assert [each.path for each in found.fields() if each.errors] == ["machines.0.count"]
    shared = text.replace("machines_per_operator: 1", "machines_per_operator: 4")
    assert paper_of(shared, tmp_path, assumptions(), refusals).errors == ()
