"""The workbook of a study: sheets in the order in which they are read, the same bytes for the same study."""

import datetime
import io

from millhand.model.study import Study
from millhand.report.comparison import subject
from millhand.report.workbook.cash import cash_page
from millhand.report.workbook.concepts import concepts_page
from millhand.report.workbook.graph import graph
from millhand.report.workbook.inputs import inputs_page
from millhand.report.workbook.maps import maps_page
from millhand.report.workbook.measures import measures_page
from millhand.report.workbook.pen import Desk
from millhand.report.workbook.prices import estimate_page
from millhand.report.workbook.scenarios import scenarios_page
from millhand.report.workbook.sensitivities import scenarios, sensitivities_page
from millhand.report.workbook.tax import tax_page
from millhand.report.workbook.words import notes_page, read_me_page
from millhand.report.workbook.workings import workings_page
from millhand.report.workbook.years import months_page, years_page

MADE = datetime.datetime(2000, 1, 1)  # a date of its own would make every book another one
OPTIONS = {"in_memory": True, "strings_to_formulas": False, "strings_to_numbers": False, "strings_to_urls": False}


def workbook(study: Study) -> bytes | None:
    """The book of the concept whose money is looked at closely; None where no concept has a case."""
    import xlsxwriter  # type: ignore[import-untyped]

    result = subject(study)
    if result is None or result.estimate is None:
        return None
    found, stream = graph(study, result), io.BytesIO()
    book = xlsxwriter.Workbook(stream, OPTIONS)
    book.set_properties(
        {"title": f"Business case: {study.inquiry.name}", "comments": f"millhand {study.version}", "created": MADE}
    )
    book.set_calc_mode("auto")
    desk = Desk(book=book)
    read_me_page(desk, found)
    for page in (
        inputs_page,
        estimate_page,
        workings_page,
        cash_page,
        years_page,
        months_page,
        tax_page,
        measures_page,
        sensitivities_page,
    ):
        page(desk, found)
    scenarios_page(desk, found, scenarios(found))
    maps_page(desk, found)
    concepts_page(desk, found)
    notes_page(desk, found)
    book.close()
    return stream.getvalue()
