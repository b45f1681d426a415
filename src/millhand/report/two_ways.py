"""How the maps of two things moved at once look: their heads, and a sign beside each number that is legible in grey."""

from collections.abc import Callable, Mapping
from typing import Literal

from markupsafe import Markup

Back = Literal["by_hurdle", "later", "never"]
HEADS: Mapping[str, tuple[str, str]] = {  # title; what stands down and across
    "money": ("Wage an hour (down) by installed price (across)", "Wage \\ price"),
    "shifts": ("Shifts a day (down) by their length (across)", "Shifts \\ length"),
    "presenter": (
        "Parts that the presenter holds (down) by share of parts at which the loading needs a person (across)",
        "Parts \\ faults",
    ),
}
FORMS: Mapping[str, tuple[str, str]] = {
    "money": ("money_2", "money"), "shifts": ("count", "hours"), "presenter": ("few_parts", "share"),
}  # fmt: skip
BACK: Mapping[Back, str] = {
    "by_hurdle": "back by the hurdle",
    "later": "later, within the years that are counted",
    "never": "not within these years",
}
NO_SUCH = "too long"  # for one day
SIGNS: Mapping[Back, str] = {  # a disc that is full, half full or empty
    "by_hurdle": '<circle cx="5" cy="5" r="4" fill="currentColor" stroke="currentColor"/>',
    "later": '<circle cx="5" cy="5" r="4" fill="none" stroke="currentColor"/><path d="M5 1a4 4 0 0 0 0 8z" '
    'fill="currentColor"/>',
    "never": '<circle cx="5" cy="5" r="4" fill="none" stroke="currentColor"/>',
}  # fmt: skip


def sign(back: Back, term: Callable[[str], str] = str) -> Markup:
    """The sign of when the money is back, with its words for those who hear the page."""
    picture = '<svg class="back" viewBox="0 0 10 10" role="img" aria-label="{}">{}</svg>'
    return Markup(picture).format(term(BACK[back]), Markup(SIGNS[back]))
