"""The page about part lists shows what the fourth example really prints."""

import re
from pathlib import Path

import pytest

from millhand.report.terminal import page_of
from millhand.report.terminal_part_mix import mix_parts, preview_parts
from tests.examples.test_examples import done
from tests.report.test_terminal import piped

PAGE = Path("docs/part_list.md").read_text(encoding="utf-8")


def shown(name: str) -> str:
    """The block behind a mark of the page."""
    found = re.search(rf"<!-- {name} -->\n\n```text\n(.*?)\n```", PAGE, flags=re.DOTALL)
    assert found is not None
    return found[1]


@pytest.mark.xdist_group("examples")
def test_the_page_shows_how_the_list_was_understood_and_what_it_comes_to() -> None:
    """Line for line."""
    study = done("4_tiny_lots")
    assert study.inquiry.part_list is not None

    assert piped(list(preview_parts(study.inquiry.part_list))).strip() == shown("preview")
    assert piped(list(mix_parts(page_of(study)))).strip() == shown("answer").strip()
