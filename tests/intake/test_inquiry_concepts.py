"""An inquiry may keep concepts, leave them out, or add one by hand: a wrong wish is an error."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.catalogue.wished import refuse_unknown_names
from millhand.errors import InputErrors
from millhand.intake.inquiry import inquiry_of
from millhand.intake.yaml_tree import tree_of
from millhand.model.catalogue import Catalogue
from millhand.model.inquiry import Inquiry, Named, Only

DOZEN = (Path(__file__).resolve().parents[1] / "data" / "dozen.yaml").read_text(encoding="utf-8")
CELL = "trays-pedestal-fenced_20-parallel_single-fence"


@cache
def catalogue() -> Catalogue:
    """The catalogue, read once."""
    return read_catalogue()


def asked(*wishes: str) -> Inquiry:
    """The dozen facts with these wishes."""
    text = DOZEN + "concepts:\n" + "".join(f"  - {each}\n" for each in wishes)
    return inquiry_of(tree_of(text.encode(), "i.yaml"), Path(), assumptions())


def errors(*wishes: str) -> list[str]:
    """The words of what is wrong with them, in the file or in the catalogue."""
    with pytest.raises(InputErrors) as caught:
        refuse_unknown_names(asked(*wishes), catalogue().components)
    return [str(each).partition(" ")[2] for each in caught.value.errors]


def test_all_names_that_nothing_has_are_said_at_once() -> None:
    """Those to which the study is kept, and each in the name of a concept, so that one run mends them all."""
    wrong = asked("{name: one, is: kept, of: trais-pedestal-fenced_2o-parallel_single-fence}")
    kept = Only(mount=(Named(name="pedestel", where="i.yaml:3:1"),))
    with pytest.raises(InputErrors) as caught:
        refuse_unknown_names(replace(wrong, only=kept), catalogue().components)
    said = [str(each) for each in caught.value.errors]

    assert len(said) == 3
    assert all(name in each for name, each in zip(("pedestel", "trais", "fenced_2o"), said, strict=True))


def test_a_wish_holds_what_is_meant_with_its_places() -> None:
    """Parts with their place in the file, pieces as facts of their own, by whom and why."""
    wish, out = asked(
        f"{{name: west, is: kept, of: {CELL}, arm: fenced_60, pinned: [{{what: arm, x: 200 mm, y: -1 m}}], by: Me}}",
        f"{{name: none, is: left_out, of: {CELL}, reason: no room}}",
    ).concepts

    assert (wish.base, wish.by, wish.is_kept, out.is_kept, out.reason) == (CELL, "Me", True, False, "no room")
    assert wish.parts.arm == (Named(name="fenced_60", where="i.yaml:37:85"),)
    assert [(each.x_m.value, each.y_m.value, each.x_m.basis) for each in wish.pinned] == [(0.2, -1.0, "given")]
    assert wish.pinned[0].x_m.id == "concepts.west.pinned.1.x"


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        ("{name: a, is: kept}", "read \"neither 'of' nor a part\"; write which concept is meant: of: its name."),
        (f"{{name: a, is: left_out, of: {CELL}, pinned: [{{what: arm, x: 0 m, y: 0 m}}]}}",
         "read 'places of what is left out'; write 'pinned' with 'is: kept' alone."),
        ("{name: a, is: left_out, of: today}", "read 'today'; write another concept: all are held against today."),
        ("{name: a, is: kept, of: trays-pedestal-fenced_21}",
         "read 'fenced_21'; write names of components joined by '-' (did you mean 'fenced_20'?)."),
        ("{name: a, is: kept, of: trays-pedestal-fenced_20}",
         "read 'trays-pedestal-fenced_20 without gripper and safeguarding'; write a concept to begin from, or gripper "
         "and safeguarding."),
        (f"{{name: a, is: kept, of: {CELL}, by_arm: welding}}",
         "read 'welding'; write one of deburring, gauging, marking, degating, blowing_clean."),
        ("{name: a, is: kept, of: by_hand-helper, arm: fenced_20}",
         "read 'by_hand-helper'; write the name of a cell: a way by hand has no parts."),
    ],
)  # fmt: skip
def test_a_wish_that_cannot_be_meant_is_an_error_with_its_cure(wish: str, words: str) -> None:
    """Each in its own words."""
    assert errors(wish) == [words]


def test_the_same_concept_is_not_kept_and_left_out() -> None:
    """Either of them."""
    pair = (f"{{name: a, is: kept, of: {CELL}}}", f"{{name: b, is: left_out, of: {CELL}}}")

    assert errors(*pair) == [f"read '{CELL}'; write the same concept either kept or left out."]
