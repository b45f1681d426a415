"""An inquiry may keep its study to named components: names with their places; a wrong one is an error."""

from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.catalogue.only import unknown_in
from millhand.errors import InputErrors
from millhand.intake.form_wishes import WORKS
from millhand.intake.inquiry import inquiry_of
from millhand.intake.yaml_tree import tree_of
from millhand.model.inquiry import Named, Only

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")


def only(text: str) -> Only | None:
    """What the dozen facts are kept to with these lines."""
    return inquiry_of(tree_of(f"{DOZEN}{text}".encode(), "i.yaml"), Path(), assumptions()).only


def errors(text: str) -> list[str]:
    """The words of what is wrong with these names, in the file or in the catalogue."""
    try:
        return [str(each) for each in unknown_in(only(text), read_catalogue().components)]
    except InputErrors as caught:
        return [str(each) for each in caught.errors]


def test_names_are_kept_with_their_places() -> None:
    """A list, or one name alone; kinds that are left out stay open."""
    found = only("only:\n  presenter: [trays, drawers]\n  mount: pedestal\n")

    assert found == Only(
        presenter=(Named(name="trays", where="i.yaml:37:15"), Named(name="drawers", where="i.yaml:37:22")),
        mount=(Named(name="pedestal", where="i.yaml:38:10"),),
    )


@pytest.mark.parametrize("text", ["", "only:\n", "only:\n  presenter: []\n"])
def test_naming_nothing_is_as_leaving_it_out(text: str) -> None:
    """No name: all components are looked at."""
    assert only(text) is None


def test_a_name_that_no_component_has_is_an_error_with_its_cure() -> None:
    """All at once: the nearest name, the kind that a name belongs to, and the names that there are."""
    spelt, moved = errors("only:\n  presenter: [trays, drawrs]\n  safeguarding: trays\n")

    assert spelt == (
        "i.yaml:37:22: read 'drawrs'; write one of trays, drawers, small_tray, step_feeder, loose_bin, "
        "infeed_conveyor, from_mould, docked_drawers, tray_lift (did you mean 'drawers'?)."
    )
    assert moved == "i.yaml:38:17: read 'trays'; write one of scanner, fence; trays is of the kind presenter."


def test_what_is_no_name_and_what_is_no_kind_are_errors_of_the_file() -> None:
    """The words of the reader."""
    assert errors("only:\n  arm: The Big One\n") == [
        "i.yaml:37:8: read 'The Big One'; write the name of a component, as 'millhand catalogue arm' lists them."
    ]
    assert errors("only:\n  grippers: centric_single\n")[0].startswith("i.yaml:37:3: read 'grippers'; write one of")


def test_works_of_the_arm_are_those_that_the_catalogue_has() -> None:
    """One or several, by name; another one is refused with all that there are."""
    known = [each.id for each in read_catalogue().components.values() if each.kind == "work"]
    text = f"{DOZEN}  by_arm: [{', '.join(known)}]\n"
    listed = inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions())

    assert listed.wishes.by_arm == tuple(known) == WORKS
    assert inquiry_of(tree_of(DOZEN.encode(), "i.yaml"), Path(), assumptions()).wishes.by_arm == ()
    (wrong,) = errors("  by_arm: polishing\n")
    assert wrong == f"i.yaml:36:11: read 'polishing'; write one of {', '.join(known)}."
