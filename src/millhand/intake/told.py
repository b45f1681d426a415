"""Whether what was typed was read in a way that should be said beside it: `6` as 6 years, `9 m x 3 m` as an area."""

import re

from millhand.intake.digits import GROUP_SIGNS, NUMERAL
from millhand.intake.form import Number
from millhand.intake.units import DIMENSIONS


def is_to_tell(entry: Number, text: str) -> bool:
    """Whether a reader could have meant another number or unit than what was read.

    >>> from millhand.intake.form_work import TODAY
    >>> walk = next(each for each in TODAY.entries if each.key == "walk")
    >>> is_to_tell(walk, "6"), is_to_tell(walk, "6 s"), is_to_tell(walk, "0,1 min")
    (True, False, True)
    """
    kind = DIMENSIONS[entry.dimension]
    alone = re.fullmatch(NUMERAL, text.strip()) is not None
    if alone and ("" not in kind.units or kind.money or (kind.name == "share" and "%" not in text)):
        return True
    if re.search(rf"[0-9],[0-9]|[0-9][{GROUP_SIGNS}][0-9]|\.[0-9]+\.", text):
        return True
    return (kind.name == "area" and bool(re.search(r"[x×]|\bby\b", text))) or (
        kind.money and "" not in kind.units and "/" not in text and bool(text.strip())
    )
