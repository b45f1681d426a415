"""Standard streams that can be written whatever the terminal knows: a sign that it lacks is spelled, never an error."""

import codecs
import os
import sys
from collections.abc import Sequence
from io import TextIOWrapper

SPELLED = "millhand.spelled"
SPELLINGS = str.maketrans(
    {
        "\u2212": "-", "\u2010": "-", "\u2011": "-", "\u2013": "-", "\u2014": "-",
        "\u00a0": " ", "\u2009": " ", "\u202f": " ",
        "\u201c": '"', "\u201d": '"', "\u2018": "'", "\u2019": "'",
        "\u00d7": "x", "\u2026": "...", "\u2264": "<=", "\u2265": ">=", "\u00b2": "2", "\u00b3": "3", "\u00b5": "u",
        "\u2192": "->", "\u00b7": "*", "\u2022": "*",
    }
)  # fmt: skip


def spelled(error: UnicodeError) -> tuple[str, int]:
    """What stands in for signs that an encoding lacks: a minus stays a minus, the unknown is a question mark."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    words = error.object[error.start : error.end].translate(SPELLINGS)
    return "".join(sign if sign.isascii() else "?" for sign in words), error.end


def prepare_streams(words: Sequence[str]) -> None:
    """Make standard output and error fit for everything that a command line may say.

    A stream that the caller closed swallows what is written to it. JSON is UTF-8 wherever it goes.
    """
    codecs.register_error(SPELLED, spelled)
    for name in ("stdout", "stderr"):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, open(os.devnull, "w", encoding="utf-8"))  # noqa: SIM115 - open to the end
        elif isinstance(stream, TextIOWrapper):
            stream.reconfigure(errors=SPELLED)
    if "--json" in words and isinstance(sys.stdout, TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8", errors="strict")
