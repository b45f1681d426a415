"""The form of an inquiry: machines and today's work; and the whole file."""

from millhand.intake.form import Group, Number, Several, Text, Word
from millhand.intake.form_claims import CLAIMS
from millhand.intake.form_concepts import CONCEPTS
from millhand.intake.form_correlations import CORRELATIONS
from millhand.intake.form_floor import OBSTACLES, PINNED
from millhand.intake.form_money import MONEY
from millhand.intake.form_only import ONLY
from millhand.intake.form_part import MOST_PARTS, PARTS
from millhand.intake.form_part_list import PART_LIST
from millhand.intake.form_shop import (
    ANSWERED,
    EVIDENCE,
    JUDGED,
    PEOPLE,
    SHIFTS,
    SHOP,
    YEAR_S,
    YES_NO,
    name_text,
)
from millhand.intake.form_wishes import WISHES

KINDS = ("mill", "lathe", "moulding", "press", "grinder", "other")

STANDS = Several(
    key="stands",
    field="places",
    named=False,
    help="where each machine stands: the middle of its door plane",
    entries=(
        Number(key="x", field="x_m", dimension="position", least=-1e4, most=1e4, gap="ask", help="to the east"),
        Number(key="y", field="y_m", dimension="position", least=-1e4, most=1e4, gap="ask", help="to the north"),
        Word(
            key="faces",
            field="faces",
            options=("north", "east", "south", "west"),
            gap="ask",
            help="the side that its door looks to",
        ),
    ),
)
STOPS = Group(
    key="stops",
    field="stops",
    help="stops that need a person, counted on running time",
    entries=(
        Number(
            key="short_every",
            field="short_every_s",
            dimension="time",
            least=60,
            most=10 * YEAR_S,
            help="running time between short stops",
        ),
        Number(
            key="short_takes", field="short_takes_s", dimension="time", most=86400, help="how long a short stop takes"
        ),
        Number(
            key="long_every",
            field="long_every_s",
            dimension="time",
            least=3600,
            most=100 * YEAR_S,
            help="running time between breakdowns",
        ),
        Number(
            key="long_takes", field="long_takes_s", dimension="time", most=YEAR_S, help="how long a breakdown takes"
        ),
    ),
)
INSIDE = (
    Number(
        key="door_width",
        field="door_width_m",
        dimension="length",
        least=0.05,
        most=10,
        help="clear width of the opening with the door open: what a hand with its part has to pass",
    ),
    Number(
        key="door_height",
        field="door_height_m",
        dimension="length",
        least=0.05,
        most=10,
        help="clear height of the opening with the door open",
    ),
    Number(
        key="catch",
        field="catch_m",
        dimension="length",
        most=0.1,
        help="how far off the seat of chuck, vise or nest still takes a part in: opening, chamfer, lead-in",
    ),
    Word(key="fluid", field="fluid", options=("water", "neat_oil", "none"), help="what cools the cut"),
    Word(
        key="fire_settled",
        field="fire_settled",
        options=YES_NO,
        help="whether protection against fire in a run with nobody there is settled with competent persons",
    ),
    Word(
        key="from_above",
        field="from_above",
        options=YES_NO,
        help="whether a part can be put in from above as well: through a hatch in the roof, or where it is open there",
    ),
)
MACHINES = Several(
    key="machines",
    field="machines",
    gap="ask",
    help="the machines to be loaded",
    entries=(
        name_text("a machine"),
        Word(key="kind", field="kind", options=KINDS, gap="ask", tells=True, help="what it is"),
        Number(
            key="count",
            field="count",
            dimension="count",
            least=1,
            most=100,
            whole=True,
            gap="ask",
            help="how many of them, alike",
        ),
        Word(
            key="clamping",
            field="clamping",
            tells=True,
            unknown=True,
            help="how the part is held",
            options=("hand_vise", "powered_vise", "hand_chuck", "powered_chuck", "nest", "mould"),
        ),
        Word(key="door", field="door", options=("hand", "powered", "none"), unknown=True, help="how the door opens"),
        Word(
            key="control",
            field="control",
            options=("free_outputs", "fieldbus", "none"),
            unknown=True,
            help="what the control offers for signals to and from a robot",
        ),
        Number(key="age", field="age_y", dimension="years", most=100, help="age"),
        Word(
            key="extra",
            field="extra",
            options=("none", "bar_feeder", "pallet_changer"),
            help="a feeder that is already there",
        ),
        Word(key="probe", field="probe", options=YES_NO, help="whether a probe can check the part in the machine"),
        Word(
            key="tool_check", field="tool_check", options=YES_NO, help="whether broken tools are found by the machine"
        ),
        Word(key="warranty", field="warranty", options=YES_NO, help="whether it is still under warranty"),
        Number(
            key="load_height",
            field="load_height_m",
            dimension="length",
            least=0.1,
            most=5,
            help="load position above the floor",
        ),
        Number(
            key="load_depth",
            field="load_depth_m",
            dimension="length",
            most=5,
            help="load position behind the door plane",
        ),
        Number(
            key="spacing",
            field="spacing_m",
            dimension="length",
            least=0.5,
            most=100,
            help="spacing from one load position to the next",
        ),
        Number(
            key="chip_limit",
            field="chip_limit_parts",
            dimension="parts",
            least=1,
            most=MOST_PARTS,
            help="parts until the chip box is full",
        ),
        *INSIDE,
        Number(
            key="rate",
            field="rate_per_h",
            dimension="money_per_h",
            most=1e7,
            gap="none",
            help="what an hour of one such machine costs: its capital, floor, energy and upkeep, nobody's wage in it",
        ),
        STOPS,
        STANDS,
    ),
)


READINGS = Group(
    key="readings",
    field="readings",
    gap="none",
    help="stopwatch readings of the element, in the place of time",
    entries=(
        Text(
            key="file",
            field="file",
            gap="ask",
            help="CSV or XLSX beside the inquiry, a column for each element, a row for each load",
            pattern=r"\S.{0,199}\.([cC][sS][vV]|[xX][lL][sS][xX])",
            example="the path of a CSV or XLSX file, such as stopwatch.csv",
        ),
        Text(key="sheet", field="sheet", help="sheet of an XLSX file; left out, the first one"),
        Text(key="column", field="column", help="head of the column; left out, the name of the element"),
        Word(key="unit", field="unit", options=("s", "min", "cmin"), help="what the readings count; cmin: min/100"),
        Number(
            key="rating",
            field="rating",
            dimension="share",
            least=0.5,
            most=1.6,
            help="pace while it was timed, against one that can be kept up all day",
        ),
        Number(
            key="allowance",
            field="allowance",
            dimension="share",
            gap="none",
            most=0.9,
            help="share for personal needs, fatigue and delay; left out, that of the people",
        ),
        Word(
            key="allowance_of",
            field="allowance_of",
            options=("work", "day"),
            help="work: share of the normal time, NT (1 + A); day: share of the whole day, NT / (1 - A)",
        ),
        Number(
            key="precision",
            field="precision",
            dimension="share",
            least=0.001,
            most=0.5,
            help="how far the mean may lie from the true one, a share of it",
        ),
        Number(
            key="confidence", field="confidence", dimension="share", least=0.5, most=0.999, help="how surely it does so"
        ),
    ),
)
ELEMENTS = Several(
    key="elements",
    field="elements",
    gap="assume",
    help="today's manual work on one machine load, piece by piece",
    entries=(
        name_text("an element"),
        Number(key="time", field="time_s", dimension="time", most=86400, bare="s", gap="none", help="time it takes"),
        READINGS,
        Word(
            key="side",
            field="side",
            options=("outside", "inside"),
            gap="ask",
            help="outside: the machine stands; inside: it runs",
        ),
        Number(key="every_n", field="every_n", dimension="count", least=1, most=1e6, help="done at each n-th load"),
        Number(
            key="every_parts",
            field="every_parts",
            dimension="parts",
            least=1,
            most=MOST_PARTS,
            gap="none",
            help="done at each n-th part, in the place of every_n; 1: at every part of a load",
        ),
        Text(key="operation", field="operation", help="the operation that it belongs to; left out, each of them"),
        Text(key="place", field="place", help="a machine, or bench; left out, at the machine"),
    ),
)
TODAY = Group(
    key="today",
    field="today",
    gap="ask",
    help="what happens now, and what really leaves the shop",
    entries=(
        Number(
            key="parts_per_shift",
            field="parts_per_shift",
            dimension="parts",
            least=0.01,
            most=1e7,
            gap="ask",
            help="good parts a shift, all machines together",
        ),
        Number(
            key="walk", field="walk_s", dimension="time", most=3600, bare="s", help="walk between two machines, one way"
        ),
        Number(
            key="setup",
            field="setup_s",
            dimension="time",
            most=7 * 86400,
            help="the machine's own set-up between two lots",
        ),
        Number(
            key="tool_change",
            field="tool_change_s",
            dimension="time",
            least=1,
            most=86400,
            gap="none",
            help="change of worn tools or inserts at a machine, with measuring",
        ),
        ELEMENTS,
    ),
)
INQUIRY = Group(
    key="",
    field="",
    help="an inquiry",
    entries=(
        Text(
            key="format",
            field="format",
            gap="ask",
            help="the format of the file",
            pattern=r"millhand-inquiry/1",
            example="millhand-inquiry/1",
        ),
        Text(key="name", field="name", gap="ask", help="what the job is called"),
        Text(
            key="decimal",
            field="decimal",
            help="point or comma: how numbers are written here",
            pattern="point|comma",
            example="point or comma",
        ),
        SHOP,
        EVIDENCE,
        PEOPLE,
        SHIFTS,
        MACHINES,
        OBSTACLES,
        PINNED,
        PARTS,
        PART_LIST,
        TODAY,
        WISHES,
        MONEY,
        CLAIMS,
        ONLY,
        CONCEPTS,
        CORRELATIONS,
        JUDGED,
        ANSWERED,
    ),
)
