"""docs/starters.md is what the data say. `python -m tests.catalogue.test_starters_docs` writes it anew."""

from collections.abc import Iterator
from pathlib import Path

from millhand.catalogue.starters import starters
from millhand.cli.starter_words import typical
from millhand.model.starter import Starter

PAGE = Path(__file__).parents[2] / "docs" / "starters.md"
OPEN, CLOSE = "<!-- starters -->\n", "<!-- end -->\n"


def section(starter: Starter) -> Iterator[str]:
    """One starter as a section of the page."""
    yield f"## {starter.title}\n\n`{starter.id}`. {starter.what}\n\n"
    yield f"Its cell: `{starter.concept}`.\n\n"
    for words, reasons in (("Fits", starter.fits), ("Does not fit", starter.fits_not), ("Typical", typical(starter))):
        lines = "".join(f"- {each}\n" for each in reasons)
        yield f"{words}:\n\n{lines}\n"
    yield f"Not there yet: {starter.lacks}\n\n" if starter.lacks else ""


def with_sections(text: str) -> str:
    """The page with the sections of today between its marks."""
    before, rest = text.split(OPEN)
    made = "".join(piece for starter in starters().values() for piece in section(starter))
    return f"{before}{OPEN}\n{made}{CLOSE}{rest.split(CLOSE)[1]}"


def test_the_page_is_what_the_data_say() -> None:
    """Every starter with its reasons and its typical figures, and no other."""
    text = PAGE.read_text(encoding="utf-8")

    assert text == with_sections(text)
    assert all(f"`{name}`" in text for name in starters())


if __name__ == "__main__":
    PAGE.write_text(with_sections(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
