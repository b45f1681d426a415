"""Charts as SVG inside the page: drawn by the chart library, then made plain: our ids, our colours, no fonts."""

import atexit
import re
import shutil
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import font_source_sans_pro
import vl_convert
from markupsafe import Markup, escape

from millhand.report.readings import BETWEEN, with_readings

VERSION = "6.4"
FONT = "Source Sans Pro"
FACES = ("Regular", "Bold", "It", "BoldIt")

# The colours of the light page; the style sheet knows the same ones and gives each its dark counterpart.
INK, QUIET, RULE, STEEL, CLAY, LEAF = "#1d2935", "#5a6875", "#cfd6dc", "#2f5d7c", "#a4491a", "#3c6b4a"

CONFIG: dict[str, Any] = {
    "background": None,
    "font": FONT,
    "padding": {"left": 12, "top": 4, "right": 12, "bottom": 4},
    "view": {"stroke": None},
    "axis": {
        "labelColor": QUIET, "titleColor": QUIET, "gridColor": RULE, "domainColor": QUIET, "tickColor": QUIET,
        "labelFontSize": 12, "titleFontSize": 12, "titleFontWeight": "normal", "labelLimit": 220,
    },
    "text": {"fontSize": 12, "color": INK},
}  # fmt: skip

IDENTIFIER = re.compile(r'\bid="([^"]+)"')
INNER_ROLE = re.compile(rf' (?:role|aria-(?!label="{BETWEEN})[a-z]+)="[^"]*"')
ROOT = re.compile(r"<svg[^>]*>")
SIZE = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


@cache
def fonts_ready() -> str:
    """Register the four plain faces once in a process, so that labels are measured alike everywhere."""
    folder = Path(tempfile.mkdtemp(prefix="millhand-fonts-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    source = Path(font_source_sans_pro.__file__).parent / "files"
    for face in FACES:
        shutil.copyfile(source / f"SourceSansPro-{face}.ttf", folder / f"SourceSansPro-{face}.ttf")
    vl_convert.register_font_directory(str(folder))
    return str(folder)


def drawn(spec: dict[str, Any], *, prefix: str, title: str) -> Markup:
    """The SVG of one chart; ids begin with `prefix` and count from nought, so that two runs agree byte by byte."""
    fonts_ready()
    text = vl_convert.vegalite_to_svg({**spec, "config": CONFIG}, vl_version=VERSION)
    return Markup(plain_svg(text, prefix=prefix, title=title))


def plain_svg(text: str, *, prefix: str, title: str) -> str:
    """The same drawing with its own ids, a title for those who cannot see it, and a size that follows the page."""
    for number, name in enumerate(dict.fromkeys(IDENTIFIER.findall(text))):
        text = re.sub(rf'(id="|url\(#|href="#){re.escape(name)}(?=["\)])', rf"\g<1>{prefix}-{number}", text)
    size = SIZE.search(text)
    width, height = (size[1], size[2]) if size else ("640", "240")
    marks = with_readings(INNER_ROLE.sub("", text))
    role = "group" if "<a href=" in marks else "img"  # one picture with a name, unless a mark in it leads somewhere
    root = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" '
        f'role="{role}" aria-label="{escape(title)}">'
    )
    return ROOT.sub(root, marks, count=1).replace(f'font-family="{FONT}"', 'font-family="inherit"')
