"""The look of the pages: colours that people who are colour-blind tell apart, and states that need no colour."""

import re
from itertools import combinations
from pathlib import Path

import pytest

TEMPLATES, STATIC = Path("src/millhand/report/templates"), Path("src/millhand/web/static")
# Linear RGB as it is seen without one kind of cones: Machado, Oliveira and Fernandes (2009), severity 1.
SEEN = {
    "without red cones": (
        (0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)
    ),
    "without green cones": (
        (0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)
    ),
    "without blue cones": (
        (1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)
    ),
}  # fmt: skip
STATES = ("steel", "clay", "leaf")  # what is typed, what is wrong or assumed, what is right
RED_OR_GREEN, BLUE = 15.0, 8.0  # of CIELAB; about 2 is just seen side by side


def themes() -> list[dict[str, str]]:
    """The colours of each theme by their names: light, dark, on paper."""
    text = (TEMPLATES / "style.css").read_text(encoding="utf-8")
    rules = re.findall(r":root[^{]*\{([^}]*)\}", text)
    found = [dict(re.findall(r"--([a-z]+): (#[0-9a-f]{6})", rule)) for rule in rules]
    return [each for each in found if {*STATES} <= {*each}]


def lab(rgb: list[float]) -> tuple[float, float, float]:
    """CIELAB of linear RGB under daylight (D65)."""
    red, green, blue = (min(1.0, max(0.0, each)) for each in rgb)
    x = (0.4124 * red + 0.3576 * green + 0.1805 * blue) / 0.95047
    y = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    z = (0.0193 * red + 0.1192 * green + 0.9505 * blue) / 1.08883
    bent = [each ** (1 / 3) if each > 0.008856 else 7.787 * each + 16 / 116 for each in (x, y, z)]
    return 116 * bent[1] - 16, 500 * (bent[0] - bent[1]), 200 * (bent[1] - bent[2])


def seen(colour: str, who: str) -> tuple[float, float, float]:
    """A colour as somebody sees it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [each / 12.92 if each <= 0.04045 else ((each + 0.055) / 1.055) ** 2.4 for each in parts]
    return lab([sum(a * b for a, b in zip(row, linear, strict=True)) for row in SEEN[who]])


@pytest.mark.parametrize("who", SEEN)
def test_colours_of_states_are_told_apart_by_everybody(who: str) -> None:
    """In each theme; far apart for the many who see red or green weakly, well apart for the few who see no blue."""
    least = BLUE if "blue" in who else RED_OR_GREEN
    assert len(themes()) == 3
    for theme in themes():
        for one, other in combinations(STATES, 2):
            pair = zip(seen(theme[one], who), seen(theme[other], who), strict=True)
            assert sum((a - b) ** 2 for a, b in pair) ** 0.5 >= least, (one, other)


def test_each_state_of_a_field_has_a_line_and_a_sign_of_its_own() -> None:
    """Dotted, double, solid at the edge; a sign in the words below: nobody needs the colour."""
    style = (STATIC / "desk.css").read_text(encoding="utf-8")
    lines = {kind: re.search(rf"\.field\.{kind} \{{ border-left: \S+ (\w+)", style) for kind in
             ("assumed", "wrong", "typed")}  # fmt: skip
    assert {kind: found and found[1] for kind, found in lines.items()} == {
        "assumed": "dotted", "wrong": "double", "typed": "solid"
    }  # fmt: skip
    words = (STATIC.parent / "templates" / "parts.html.j2").read_text(encoding="utf-8")
    said = words.partition("macro said(")[2].partition("endmacro")[0]
    assert re.findall(r"<b>(.)</b>", said) == ["✕", "○", "≈", "✓", "✓"]
