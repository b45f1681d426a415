"""The drawings of a study's folder, for each cell that can work and was placed: a sheet in two forms, and a model."""

from collections.abc import Iterator
from functools import cache

from markupsafe import Markup

from millhand.model.study import Result, Study
from millhand.report.comparison import opening
from millhand.report.drawing_dxf import drawing_dxf
from millhand.report.drawing_glb import drawing_glb
from millhand.report.drawing_sheet import sheet_things
from millhand.report.drawing_svg import FILLS, drawing_svg
from millhand.report.html import rendered
from millhand.report.marks import Marks, marks_of
from millhand.report.plan_view import Plan
from millhand.report.solids import solids
from millhand.report.study_json import file_name

LETTERS = 0.1  # m; a model has no letters
WIDEST = 4000.0  # px; the scale of a page holds before that
COLOURS = (
    ":root{--paper:#fff;--ink:#1d2935;--quiet:#5a6875;--hair:#e4e8ec;--steel:#2f5d7c;--clay:#a4491a;--wash:#eef3f6}"
    "svg{background:#fff;font-family:sans-serif}"
)


def drawings(study: Study) -> dict[str, bytes]:
    """Every drawing by the name of its file."""
    marks = marks_of(study)
    return {name: made for result in study.results if has_place(result) for name, made in forms(result, marks)}


def has_place(result: Result) -> bool:
    """Whether a concept can work and was placed on the floor."""
    return result.cell is not None and result.layout is not None and result.layout.drawn is not None


def forms(result: Result, marks: Marks) -> Iterator[tuple[str, bytes]]:
    """One sheet as a picture and for a drawing program, and the cell as a model to turn about."""
    assert result.layout is not None
    assert result.layout.drawn is not None
    name = file_name(result.concept.id)
    yield f"drawings/{name}.svg", picture(result, marks)
    yield f"drawings/{name}.dxf", drawing_dxf(sheet_things(result, marks)).encode()
    yield f"drawings/{name}.glb", drawing_glb(solids(Plan(drawn=result.layout.drawn, marks=marks, letters=LETTERS)))


def picture(result: Result, marks: Marks) -> bytes:
    """The sheet of a placed concept as a picture that stands alone."""
    extra = style() + Markup("<defs>{}</defs>").format(FILLS)
    drawn = drawing_svg(
        sheet_things(result, marks), width=WIDEST, title=opening(result.concept.title), extra=extra
    )  # fmt: skip
    return f"{drawn}\n".encode()


@cache
def style() -> Markup:
    """How the layers look in a file that stands alone."""
    return Markup("<style>{}{}</style>").format(Markup(COLOURS), rendered("drawing.css", {}))
