"""The command table: help without loading anything, and words for what is missing."""

import sys
from types import ModuleType

import click
import pytest
from click.testing import CliRunner

from millhand.cli.main import COMMANDS, group, loaded
from millhand.errors import ToolError


def test_help_lists_every_command_in_order_with_its_line() -> None:
    """The help shows the whole table, sorted by name."""
    text = CliRunner().invoke(group, ["--help"], terminal_width=200).output

    places = [text.index(f"  {name} ") for name in COMMANDS]
    assert places == sorted(places)


@pytest.mark.parametrize(("name", "line"), COMMANDS.items())
def test_each_line_of_the_table_fits_the_help(name: str, line: str) -> None:
    """A line is a sentence and not longer than the help is wide."""
    assert line.endswith(".")
    assert len(line) <= 80, name


def test_a_command_whose_module_is_missing_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """A name in the table without a module behind it ends in exit 1 and one plain sentence."""
    monkeypatch.setitem(COMMANDS, "nowhere", "A command that nobody wrote.")

    result = CliRunner().invoke(group, ["nowhere"])

    assert result.exit_code == 1
    assert result.stderr == "millhand: the command nowhere is missing from this installation.\n"


def test_a_command_without_its_library_names_the_library(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a library is missing, the words name the library, not the command's own module."""

    def missing(place: str) -> ModuleType:
        raise ModuleNotFoundError(f"{place} wants numbers_of_old", name="numbers_of_old")

    monkeypatch.setattr("millhand.cli.main.import_module", missing)

    with pytest.raises(ToolError, match="the command study needs the library numbers_of_old, which is not installed"):
        loaded("study")


def module_holding(command: object) -> ModuleType:
    """A command module made for one test."""
    module = ModuleType("millhand.cli.nowhere")
    vars(module)["command"] = command
    return module


def test_a_module_that_holds_no_command_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """A module whose `command` is something else is our own failure, and named."""
    monkeypatch.setitem(sys.modules, "millhand.cli.nowhere", module_holding("not a command"))

    with pytest.raises(ToolError, match=r"millhand\.cli\.nowhere holds no command"):
        loaded("nowhere")


def test_a_command_is_loaded_by_its_name(monkeypatch: pytest.MonkeyPatch) -> None:
    """The module's `command` is what runs."""
    command = click.Command("nowhere", callback=lambda: click.echo("here"))
    monkeypatch.setitem(sys.modules, "millhand.cli.nowhere", module_holding(command))
    monkeypatch.setitem(COMMANDS, "nowhere", "A command for this test.")

    assert CliRunner().invoke(group, ["nowhere"]).output == "here\n"


def test_an_unknown_command_is_a_wrong_command_line() -> None:
    """What stands in no table ends in exit 2."""
    result = CliRunner().invoke(group, ["stdy"])

    assert result.exit_code == 2
    assert "No such command 'stdy'" in result.stderr
