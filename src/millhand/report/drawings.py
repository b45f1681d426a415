"""The drawings of a study's folder: for each cell that can work and was placed, one picture and one exchange file."""

from functools import cache

from markupsafe import Markup

from millhand.model.study import Result, Study
from millhand.report.comparison import opening
from millhand.report.drawing_dxf import drawing_dxf
from millhand.report.drawing_sheet import sheet_things
from millhand.report.drawing_svg import FILLS, drawing_svg
from millhand.report.html import rendered
from millhand.report.marks import Marks, marks_of
from millhand.report.study_json import file_name

WIDEST = 4000.0  # px; the scale of a page holds before that
COLOURS = (
    ":root{--paper:#fff;--ink:#1d2935;--quiet:#5a6875;--hair:#e4e8ec;--steel:#2f5d7c;--clay:#a4491a;--wash:#eef3f6}"
    "svg{background:#fff;font-family:sans-serif}"
)


def drawings(study: Study) -> dict[str, str]:
    """Every drawing by the name of its file."""
    marks = marks_of(study)
    return {name: text for result in study.results if has_place(result) for name, text in both(result, marks)}


def has_place(result: Result) -> bool:
    """Whether a concept can work and was placed on the floor."""
    return result.cell is not None and result.layout is not None and result.layout.drawn is not None


def both(result: Result, marks: Marks) -> tuple[tuple[str, str], ...]:
    """One sheet in both forms."""
    things = sheet_things(result, marks)
    title = opening(result.concept.title)
    picture = drawing_svg(things, width=WIDEST, title=title, extra=style() + Markup("<defs>{}</defs>").format(FILLS))
    name = file_name(result.concept.id)
    return (f"drawings/{name}.svg", f"{picture}\n"), (f"drawings/{name}.dxf", drawing_dxf(things))


@cache
def style() -> Markup:
    """How the layers look in a file that stands alone."""
    return Markup("<style>{}{}</style>").format(Markup(COLOURS), rendered("drawing.css", {}))
