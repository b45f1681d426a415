"""How the layers of a plan look in print, in the plan and in its legend alike."""

from functools import cache
from importlib.resources import files

from markupsafe import Markup

from millhand.report.drawing_svg import FILLS, legend_swatch


@cache
def look() -> Markup:
    """Styles and patterns; no colour says anything that its stroke does not."""
    style = (files("millhand.report.proposal") / "plan.css").read_text(encoding="utf-8")
    return Markup("<style>{}</style><defs>{}</defs>").format(Markup(style), FILLS)


@cache
def swatch(layer: str) -> str:
    """A small picture of a layer that stands alone."""
    return str(legend_swatch(layer, extra=look()))
