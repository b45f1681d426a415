"""`millhand starter` and `millhand new --starter`: a generic cell shown with its plan, and an inquiry begun from it."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from millhand.catalogue.starters import inquiry_of_starter, starters
from millhand.cli.main import group


def run(*arguments: str) -> Result:
    """What the commands say."""
    return CliRunner().invoke(group, list(arguments))


def test_the_catalogue_lists_all_of_them() -> None:
    """With when each fits and when not, its typical figures with their ranges, and what is not there."""
    text = " ".join(run("catalogue", "starters").output.split())

    for starter in starters().values():
        assert f"{starter.id}: {starter.title} {starter.what}" in text
        assert all(f"fits: {each}" in text for each in starter.fits)
        assert all(f"does not fit: {each}" in text for each in starter.fits_not)
        assert starter.lacks in text
    assert "typical: time of one machine cycle (block, milling): 7 min (6 to 9)" in text


def test_a_starter_is_shown_with_its_checks_and_its_plan(tmp_path: Path) -> None:
    """Its plan is drawn from the layout of its own cell, with the arm's mount and the presenter in it."""
    result = run("starter", "drawers_on_movable_stand", "--svg", str(tmp_path / "cell.svg"))

    assert result.exit_code == 0
    text = " ".join(result.output.split())
    assert "with these figures: drawers, force-limited 25 kg arm on a movable stand, one jaw gripper can work" in text
    assert "competent, licensed or authorised persons decide" in text
    assert max(map(len, result.output.splitlines()[:-1])) <= 80
    drawn = (tmp_path / "cell.svg").read_text(encoding="utf-8")
    assert drawn.startswith("<svg")
    assert "presenter" in drawn


def test_an_inquiry_begins_from_a_starter(tmp_path: Path) -> None:
    """The file of the starter as it is, which can be checked at once, and asks for what it assumes."""
    result = run("new", str(tmp_path / "a"), "--starter", "floor_track")

    file = tmp_path / "a" / "inquiry.yaml"
    assert result.exit_code == 0
    assert file.read_text(encoding="utf-8") == inquiry_of_starter("floor_track").read_text(encoding="utf-8")
    checked = run("check", str(file))
    assert checked.exit_code == 0
    assert "What is it here: pay of an hour, before on-cost?" in checked.output


@pytest.mark.parametrize("words", [("starter", "flat_tray"), ("new", "a", "--starter", "flat_tray")])
def test_an_unknown_starter_names_the_nearest(words: tuple[str, ...]) -> None:
    """Nothing is made then."""
    result = run(*words)

    assert result.exit_code == 2
    assert "read 'flat_tray'; write one of flat_trays, drawers_on_movable_stand" in result.stderr
    assert "(did you mean 'flat_trays'?)" in result.stderr
    assert not Path("a").exists()


def test_a_starter_and_an_example_are_two_things(tmp_path: Path) -> None:
    """One of them."""
    result = run("new", str(tmp_path / "a"), "--starter", "flat_trays", "--example", "1_two_mills")

    assert result.exit_code == 2
    assert "--starter takes the place of --example; give one of them." in result.stderr
