"""What of a German report is left in English: counted, and marked as English for those who hear it."""

import re
from functools import cache
from html.parser import HTMLParser

from millhand.report.html import report_html
from millhand.report.tongue import LANGUAGES
from tests.report.fixture_two_cells import two_cells

LEFT = 74  # of the fixture, whose sentences were made up and stand in no list; less is better
ELSEWHERE = {"data-given", "data-source", "data-meta", "data-name"}  # names and citations
VOID = {"meta", "br", "img", "link", "input", "hr", "col", "path", "line", "rect", "circle", "use", "polygon"}
UNMARKED = {
    "millhand", ", study.json",
    "By hand, with a second vise", "By hand, with a second vise:", "Parts: bracket: contribution",
    "People: share usable",
}  # fmt: skip  # our name, and what the fixture calls a way and two facts in its charts


class Pieces(HTMLParser):
    """Every piece of text with its section, and whether it is marked as English or stands for a name or a citation."""

    def __init__(self) -> None:
        """Nothing read yet."""
        super().__init__(convert_charrefs=True)
        self.stack: list[tuple[str, dict[str, str | None]]] = []
        self.found: set[tuple[str, str, bool]] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """One level deeper; attributes that are read out are pieces too."""
        if tag not in VOID:
            self.stack.append((tag, dict(attrs)))
        for name, value in attrs:
            if name in ("aria-label", "title", "data-say") and value:
                self.handle_data(value)

    def handle_endtag(self, tag: str) -> None:
        """Back to the level before that tag."""
        at = next((place for place in range(len(self.stack) - 1, -1, -1) if self.stack[place][0] == tag), None)
        if at is not None:
            del self.stack[at:]

    def handle_data(self, data: str) -> None:
        """A piece of text that holds words."""
        within = [attributes for tag, attributes in self.stack if tag != "html"]
        tags = {tag for tag, _ in self.stack}
        other = any(ELSEWHERE & set(each) or "fact" in str(each.get("class")).split() for each in within)
        if other or {"style", "script", "code"} & tags or any(each.get("class") == "id" for each in within):
            return
        text = re.sub(r"\s+", " ", data).strip()
        if re.search(r"[a-zäöüß]{3}", text):
            section = next((str(each["id"]) for tag, each in self.stack if tag == "section" and "id" in each), "")
            self.found.add((section, text, any(each.get("lang") == "en" for each in within)))


def pieces(page: str) -> set[tuple[str, str, bool]]:
    """All of one page."""
    reader = Pieces()
    reader.feed(page)
    return reader.found


def left_in_english(english: str, german: str) -> dict[bool, set[tuple[str, str]]]:
    """What a German page marks as English, and what it has like the English page without marking it."""
    there, here = {each[:2] for each in pieces(english)}, pieces(german)
    return {True: {each[:2] for each in here if each[2]}, False: {each[:2] for each in here if not each[2]} & there}


@cache
def found() -> dict[bool, set[tuple[str, str]]]:
    """That of the fixture."""
    return left_in_english(*(report_html(two_cells(), language=language) for language in LANGUAGES))


def test_no_more_is_left_in_english_than_was() -> None:
    """Sentences of the fixture alone, which no stage writes: a text without German raises the number."""
    assert len(found()[True]) <= LEFT


def test_what_is_left_in_english_says_so() -> None:
    """A screen reader reads it as English. The text of a chart cannot say it, and names are in no language."""
    assert {text for _, text in found()[False]} <= UNMARKED


def test_an_english_page_marks_nothing() -> None:
    """There the language of the page is that of its texts."""
    assert 'lang="en"' not in report_html(two_cells()).removeprefix('<!doctype html>\n<html lang="en">')
