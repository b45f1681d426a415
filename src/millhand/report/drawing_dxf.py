"""A drawing as a drawing exchange file: millimetres, one layer for each kind of thing, named in plain words.

The library puts its clock and a chance number into what it writes; both are held fast, so that a study gives the same
bytes in every run.
"""

import io
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from millhand.report.drawing import Circle, Line, Thing, Words, layers_of

MM = 1000.0  # a metre
VERSION = "R2010"
PLAIN = str.maketrans({"\u202f": " ", "\u2212": "-"})  # signs that the letters of many programs lack
LINE_TYPES = {
    "fence": "DASHED", "kept floor": "DOT", "before doors": "DASHDOT", "reach": "DASHDOT", "pulled out": "DASHED",
    "beam": "DASHED", "ceiling": "DASHDOT",
}  # fmt: skip
WEIGHTS = {
    "fence": 70,
    "gate": 70,
    "doors": 70,
    "machines": 35,
    "stands": 35,
    "arm": 35,
    "columns": 35,
}  # fmt: skip; hundredths of a millimetre
OTHERS = 18
COLOURS = {
    "doors": 30,
    "gate": 3,
    "load positions": 30,
    "reach": 5,
    "people": 8,
    "kept floor": 8,
    "before doors": 8,
    "heights": 8,
}
INK = 7
DASH = 150.0  # mm of the floor for one unit of a line type
ALIGN = {"start": "LEFT", "middle": "CENTER", "end": "RIGHT"}


def drawing_dxf(things: Sequence[Thing]) -> str:
    """The text of the file."""
    import ezdxf
    from ezdxf import units

    with unclocked(ezdxf.options):
        document = ezdxf.new(VERSION, setup=["linetypes"], units=units.MM)
        document.header["$MEASUREMENT"] = 1
        document.header["$LTSCALE"] = DASH
        for name in layers_of(things):
            document.layers.add(
                name, color=COLOURS.get(name, INK), linetype=LINE_TYPES.get(name, "CONTINUOUS"),
                lineweight=WEIGHTS.get(name, OTHERS),
            )  # fmt: skip
        space = document.modelspace()
        for thing in things:
            add(space, thing)
        stream = io.StringIO()
        document.write(stream)
    return stream.getvalue()


@contextmanager
def unclocked(options: Any) -> Iterator[None]:
    """While a file is written: a fixed date and a fixed name of the file in the place of clock and chance."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def add(space: Any, thing: Thing) -> None:
    """One thing onto its layer."""
    look = {"layer": thing.layer}
    if isinstance(thing, Line):
        space.add_lwpolyline([mm(point) for point in thing.points], close=thing.closed, dxfattribs=look)
    elif isinstance(thing, Circle):
        space.add_circle(mm(thing.at), radius=thing.radius * MM, dxfattribs=look)
    else:
        add_words(space, thing, look)


def add_words(space: Any, words: Words, look: dict[str, str]) -> None:
    """Words at their place, upwards where they are turned."""
    from ezdxf.enums import TextEntityAlignment

    text = space.add_text(
        words.text.translate(PLAIN), height=words.height * MM, rotation=90.0 if words.turned else 0.0, dxfattribs=look
    )
    text.set_placement(mm(words.at), align=TextEntityAlignment[ALIGN[words.anchor]])


def mm(point: tuple[float, float]) -> tuple[float, float]:
    """A point in millimetres, to the thousandth of one."""
    return round(point[0] * MM, 3) + 0.0, round(point[1] * MM, 3) + 0.0
