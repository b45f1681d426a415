"""workbook.xlsx: the business case as a spreadsheet that works itself out anew when an input is changed."""

from millhand.report.workbook.book import workbook

__all__ = ["workbook"]
