"""The command `millhand`: a table of commands, each loaded by its name only when it is called.

Every command lives in `millhand.cli.<name>` and gives it as `command`. What stands in the table is all that `--help`
needs, so the help appears before any library of the commands is loaded.
"""

import sys
from importlib import import_module

import click

from millhand.cli.exits import exits
from millhand.cli.streams import prepare_streams
from millhand.errors import ToolError

COMMANDS = {
    "account": "Make and change the accounts of a desk that serves others.",
    "answers": "Read the filled form of questions back into the inquiry.",
    "catalogue": "List components and default ranges, and where each figure comes from.",
    "check": "Check an inquiry: errors, gaps, assumptions and the questions to ask.",
    "compare": "Compare two studies: what changed, and which change moved the answer.",
    "formula": "List, explain and evaluate the formulas, each with its source.",
    "new": "Start an inquiry in a new folder, from nothing, a starter or an example.",
    "parts": "Read an inquiry's part list: families, and what the best cell covers.",
    "portfolio": "Put several studies side by side: what to do first within a budget.",
    "questions": "Write the open questions as a form for the shop to fill in.",
    "schedule": "Find the best cycle of a cell, with its bound.",
    "schema": "Print the JSON Schema of an inquiry, a cell or a study.",
    "serve": "Open the local web app: desk, forms, studies, in your browser.",
    "simulate": "Simulate a cell: what it makes, attended and alone, with intervals.",
    "starter": "Show a generic cell as a starting point, with its typical figures and its plan.",
    "study": "Answer an inquiry: concepts, output, price, payback, what to ask next.",
    "today": "Look at today's process alone, and at better ways by hand.",
    "warm-up": "Compile the simulation once, so that later commands start at once.",
}


class CommandsByName(click.Group):
    """A group whose commands are known by name and line, and loaded when called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Every name, sorted."""
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, from the module of that name."""
        return loaded(cmd_name) if cmd_name in COMMANDS else None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands from the table, without loading one of them."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, COMMANDS[name]) for name in self.list_commands(ctx)])

    def invoke(self, ctx: click.Context) -> object:
        """Run the command; whatever it meets ends in the exit codes of this tool."""
        return exits(super().invoke)(ctx)


def loaded(name: str) -> click.Command:
    """The command out of `millhand.cli.<name>`; an installation that lacks the module says so."""
    place = f"millhand.cli.{name.replace('-', '_')}"
    try:
        command = import_module(place).command
    except ModuleNotFoundError as missing:
        if missing.name != place:
            raise ToolError(
                f"the command {name} needs the library {missing.name}, which is not installed."
            ) from missing
        raise ToolError(f"the command {name} is missing from this installation.", code="no_command") from missing
    if not isinstance(command, click.Command):
        raise ToolError(f"{place} holds no command.", code="no_command")
    return command


@click.group(
    cls=CommandsByName,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog="Exit codes: 0 done, 1 the tool failed, 2 the input is wrong, 3 the answer is no (only with --fail-on-no), "
    "130 interrupted.",
)
@click.version_option(package_name="millhand", message="%(package)s %(version)s")
def group() -> None:
    """Answer a shop's inquiry about robot loading of machine tools, with figures that can be traced."""


def main() -> None:
    """The entry point: reads the command line, runs the command, ends the process."""
    prepare_streams(sys.argv[1:])
    exits(group.main)(prog_name="millhand")
