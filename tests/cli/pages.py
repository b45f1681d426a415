"""Worked pages: commands that stand in the text, each with the answer that is printed below it."""

import re

from click.testing import CliRunner

from millhand.cli.main import group

COMMAND = re.compile(r"^    \$ millhand (schedule .*)\n((?:    .*\n|\n(?=    |\n    ))*)", re.MULTILINE)


def shown(page: str) -> list[tuple[str, str]]:
    """Each command of a page with what stands below it."""
    return [
        (match[1], "\n".join(line.removeprefix("    ") for line in match[2].splitlines()).strip("\n"))
        for match in COMMAND.finditer(page)
    ]


def printed(command: str) -> list[str]:
    """The lines that the program prints for a command, which has to succeed."""
    result = CliRunner().invoke(group, command.split())

    assert result.exit_code == 0
    return [line.rstrip() for line in result.stdout.strip("\n").splitlines()]
