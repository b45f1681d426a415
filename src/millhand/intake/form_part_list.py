"""The form of an inquiry: a file that lists the parts of these machines."""

from millhand.intake.form import Group, Text, Word
from millhand.intake.part_list_heads import FIELDS, MEASURES

HEAD = "head of the column"
COLUMNS = Group(
    key="columns",
    field="columns",
    gap="none",
    help="which column is which, by its head, where the words of the heads do not say it",
    entries=tuple(
        Text(key=field, field=field, help=f"{HEAD} with the {field.replace('_', ' ')}", example=HEAD)
        for field in FIELDS
    ),
)
UNITS = Group(
    key="units",
    field="units",
    gap="none",
    help="units of columns that say none, neither in their head nor in their cells",
    entries=tuple(
        Text(key=field, field=field, help=f"unit of the {field.replace('_', ' ')}", example="a unit, such as mm")
        for field in MEASURES
    ),
)
PART_LIST = Group(
    key="part_list",
    field="part_list",
    gap="none",
    short="parts.csv",
    help="a file, CSV or XLSX, that lists the parts of these machines, a row for each",
    entries=(
        Text(
            key="file",
            field="file",
            gap="ask",
            help="the file, in the folder of the inquiry",
            example="the path of a CSV or XLSX file, such as parts.csv",
        ),
        Text(key="sheet", field="sheet", help="sheet of an XLSX file; left out, the first one"),
        COLUMNS,
        UNITS,
        Word(
            key="decimal",
            field="decimal",
            options=("point", "comma"),
            gap="none",
            help="decimal sign of numbers that stand as text; left out, that of the inquiry",
        ),
        Word(
            key="bad_rows",
            field="bad_rows",
            options=("ask", "leave_out"),
            gap="none",
            help="leave_out: rows with a bad cell are left out, counted and listed; ask: they are errors",
        ),
    ),
)
