"""docs/inquiry.md holds the template, a long file and the tables of keys and units as the code has them.

After a change: `python -m tests.intake.test_form_page` writes the page anew.
"""

import re
import textwrap
from pathlib import Path

from millhand.catalogue.assumptions import assumptions
from millhand.intake.form_page import key_table, unit_table
from millhand.intake.inquiry_gaps import template

TOP = Path(__file__).resolve().parents[2]
PAGE = TOP / "docs" / "inquiry.md"


def held_parts() -> dict[str, str]:
    """What stands between the marks of the page."""
    long = (TOP / "tests" / "data" / "long.yaml").read_text(encoding="utf-8")
    return {
        "dozen": textwrap.indent(template(), "    "),
        "long": textwrap.indent(long, "    "),
        "keys": key_table(assumptions()),
        "units": unit_table(),
    }


def with_parts(page: str) -> str:
    """The page with everything between its marks as the code has it."""
    for name, text in held_parts().items():
        pattern = re.compile(rf"(<!-- {name} -->\n).*?(<!-- end -->)", re.DOTALL)
        page = pattern.sub(lambda match, text=text: f"{match[1]}\n{text}\n{match[2]}", page)  # type: ignore[misc]
    return page


def test_the_page_is_what_the_code_says() -> None:
    """Template, long file, keys with defaults and questions, units."""
    page = PAGE.read_text(encoding="utf-8")

    assert with_parts(page) == page


def test_the_page_names_what_a_reader_looks_for() -> None:
    """Every key stands on it, and the paths of a judged value."""
    page = PAGE.read_text(encoding="utf-8")

    assert "`parts[].operations[].time_is`" in page
    assert "`machines[].stops.long_takes`" in page
    assert "| must be given |" in page


if __name__ == "__main__":
    PAGE.write_text(with_parts(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
