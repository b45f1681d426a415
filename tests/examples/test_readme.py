"""The README shows what the demo really prints."""

import re
from pathlib import Path

import pytest

from millhand.report.terminal import study_parts
from tests.examples.test_examples import done
from tests.report.test_terminal import piped


@pytest.mark.xdist_group("examples")
def test_the_readme_shows_the_table_of_the_demo() -> None:
    """Line for line, from the heading of the table to its last row."""
    readme = Path("README.md").read_text(encoding="utf-8")
    shown = re.search(r"```text\n(.*?)```", readme, flags=re.DOTALL)
    assert shown is not None

    assert shown[1].strip() in piped(list(study_parts(done("1_two_mills"), ())))
