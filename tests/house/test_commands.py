"""Each command of the table is there, says what it does, and stands in the documents; and none stands there in vain."""

import re

import pytest

from millhand.cli.main import COMMANDS, loaded
from tests.house.source_text import TOP, text

CALL = re.compile(r"\bmillhand ([a-z][a-z-]*)\b")
README = TOP / "README.md"
GUIDE = [path for path in sorted((TOP / "docs").rglob("*.md")) if "decisions" not in path.parts]


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_of_the_table_can_be_loaded(name: str) -> None:
    """The module is there, and its command has the name and a help of its own."""
    command = loaded(name)

    assert command.name == name
    assert command.help


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_is_documented(name: str) -> None:
    """README names each command, and so does a page of the documents."""
    assert f"millhand {name}" in text(README)
    assert any(f"millhand {name}" in text(page) for page in GUIDE)


def test_the_documents_name_no_command_that_is_not_there() -> None:
    """A command in code letters that the table lacks would send the reader into an error."""
    code = "\n".join(re.findall(r"`[^`]+`|^    .*$|```.*?```", text(README), flags=re.DOTALL | re.MULTILINE))

    assert set(CALL.findall(code)) <= set(COMMANDS)
