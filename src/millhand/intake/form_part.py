"""The form of an inquiry: parts and their operations."""

from millhand.intake.form import Gap, Group, Number, Several, Text, Word
from millhand.intake.form_shop import YES_NO, name_text

MATERIALS = ("steel", "stainless", "aluminium", "magnesium", "titanium", "brass", "plastic", "other")
SHAPES = ("prismatic", "round", "flat", "other")
MOST_PARTS = 1e9


def parts(key: str, field: str, help_words: str, *, gap: Gap = "assume", whole: bool = False) -> Number:
    """The form of a number of parts, one at the least."""
    most = 1000 if whole else MOST_PARTS
    return Number(key=key, field=field, dimension="parts", least=1, most=most, gap=gap, whole=whole, help=help_words)


def mass(key: str, help_words: str, *, gap: Gap = "assume", share_of: str = "") -> Number:
    """The form of a part's mass."""
    return Number(
        key=key, field=f"{key}_kg", dimension="mass", least=1e-6, most=5000, gap=gap, share_of=share_of, help=help_words
    )


def size(key: str, help_words: str, gap: Gap) -> Group:
    """The form of outer measures: of a round part diameter and length, of another length, width and height.

    A finished measure that is not given is assumed as a share of the raw one.
    """
    entries = tuple(
        Number(key=one, field=one, dimension="length", least=1e-4, most=20, gap="none", help=f"{one} of the part")
        for one in ("length", "width", "height", "diameter")
    )
    return Group(key=key, field=key, help=help_words, entries=entries, short="120 x 80 x 40 mm", gap=gap)


BAR = Group(
    key="bar",
    field="bar",
    gap="none",
    help="the bar that the parts are cut from by a feeder, in the place of cycles_per_visit",
    entries=(
        Number(key="length", field="length_m", dimension="length", least=0.05, most=12, gap="ask", help="of one bar"),
        Number(
            key="remnant", field="remnant_m", dimension="length", most=3, help="left of each bar and thrown away"
        ),
        Number(key="cut_off", field="cut_off_m", dimension="length", most=0.1, help="lost between two parts"),
        Number(
            key="bars", field="bars", dimension="count", least=1, most=1000, whole=True, help="bars put in at one visit"
        ),
        Number(
            key="change", field="change_s", dimension="time", most=3600,
            help="standing from one bar to the next without anybody",
        ),
    ),
)  # fmt: skip
DRESSING = Group(
    key="dressing",
    field="dressing",
    gap="none",
    help="a stop that the machine makes by itself: dressing the wheel, spraying the mould",
    entries=(
        parts("every", "every_parts", "at each n-th part"),
        Number(key="takes", field="takes_s", dimension="time", most=86400, help="how long the machine stands for it"),
    ),
)
OPERATIONS = Several(
    key="operations",
    field="operations",
    gap="ask",
    help="the machines that the part visits, in order",
    entries=(
        name_text("an operation"),
        Text(
            key="machine",
            field="machine",
            gap="ask",
            many=True,
            help="the name of a machine above, or of several that share the work: any of them does it",
            example="the name of a machine, or several such as [lathe_1, lathe_2]",
        ),
        Number(
            key="time",
            field="time_s",
            dimension="time",
            least=0.1,
            most=7 * 86400,
            gap="ask",
            help="time of one machine cycle",
        ),
        Word(
            key="time_is",
            field="time_is",
            options=("cycle", "floor_to_floor"),
            unknown=True,
            help="cycle: start to end of the machine's cycle; floor_to_floor: door and loading in it; or unknown",
        ),
        parts(
            "parts_per_cycle",
            "parts_per_cycle",
            "parts made in one machine cycle: fixture places, cavities",
            whole=True,
        ),
        Word(
            key="sides",
            field="sides",
            options=("one", "two_vises"),
            tells=True,
            help="two_vises: first and second side in two vises, exchanged in one door opening",
        ),
        Number(key="good", field="good", dimension="share", least=0.01, most=1, help="share of good parts"),
        parts("gauge_every", "gauge_every", "each n-th part is gauged"),
        parts("tool_life", "tool_life_parts", "parts until somebody must change a tool, sister tools used up"),
        Number(
            key="cycles_per_visit",
            field="cycles_per_visit",
            dimension="count",
            least=1,
            most=1e6,
            gap="known",
            help="cycles between two visits, nobody needed: parts of a bar, strokes of a coil, shots of a box",
        ),
        Number(
            key="hands_bound",
            field="hands_bound",
            dimension="share",
            most=1,
            gap="known",
            help="share of the machine's cycle that holds the operator's hands: two-hand control, work guided by hand",
        ),
        Number(
            key="take_out_within",
            field="take_out_within_s",
            dimension="time",
            least=0.1,
            most=86400,
            gap="none",
            help="how long a finished part may stay in the machine; taken out later it is scrap",
        ),
        BAR,
        DRESSING,
    ),
)
MESH_UNITS_M = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "inch": 0.0254}
MESH = (
    Text(
        key="mesh",
        field="file",
        help="a file .stl, .obj or .step with the shape of the part, in the folder of the inquiry",
        example="the path of a file, such as bracket.stl",
    ),
    Word(
        key="mesh_unit",
        field="unit",
        options=tuple(MESH_UNITS_M),
        gap="none",
        help="what the lengths in the mesh are counted in; STL and OBJ do not say it, STEP does",
    ),
    Word(
        key="mesh_is",
        field="state",
        options=("raw", "finished"),
        gap="none",
        help="which state of the part the mesh shows",
    ),
)
PARTS = Several(
    key="parts",
    field="parts",
    gap="ask",
    help="the part families that a cell is to carry",
    entries=(
        name_text("a part"),
        Word(key="shape", field="shape", options=SHAPES, gap="ask", tells=True, help="what it looks like to a gripper"),
        Word(
            key="condition",
            field="condition",
            options=("sawn", "cast", "forged", "machined", "moulded", "blank"),
            tells=True,
            help="how the raw part was made",
        ),
        size("raw", "outer measures of the raw part", "ask"),
        size("finished", "outer measures of the finished part", "assume"),
        mass("raw_mass", "mass of the raw part", gap="ask"),
        mass("finished_mass", "mass of the finished part", share_of="raw_mass_kg"),
        Number(
            key="raw_tolerance",
            field="raw_tolerance_m",
            dimension="length",
            most=0.1,
            help="scatter of the raw measure that is gripped",
        ),
        Word(key="film", field="film", options=("dry", "oily", "hot"), help="what is on the part when it is gripped"),
        Word(key="arrives", field="arrives", options=("ordered", "pallet", "loose"), help="ordered: trays or stacks"),
        Word(key="leaves", field="leaves", options=("ordered", "box"), help="how finished parts leave"),
        Word(key="delicate", field="delicate", options=YES_NO, help="whether scratches or dents count"),
        Number(
            key="families",
            field="families",
            dimension="count",
            least=1,
            most=10000,
            help="families that share the cell",
        ),
        parts("lot_size", "lot_size", "parts made between two changeovers", gap="ask"),
        Number(
            key="orders_per_y",
            field="orders_per_y",
            dimension="parts_per_y",
            most=1e10,
            gap="ask",
            help="parts a year that somebody buys",
        ),
        Number(
            key="contribution_per_part",
            field="contribution_per_part",
            dimension="money_per_part",
            most=1e9,
            help="what one more sold part leaves after material and direct cost",
        ),
        Word(key="material", field="material", options=MATERIALS, help="what the part is made of"),
        Number(
            key="bears",
            field="bears_n",
            dimension="force",
            least=0.1,
            most=1e6,
            gap="none",
            help="force of each jaw that leaves no mark and no dent: thin walls, finished faces",
        ),
        Number(
            key="bore",
            field="bore_m",
            dimension="length",
            least=0.001,
            most=5.0,
            gap="none",
            help="bore of the raw part that jaws could open in",
        ),
        *MESH,
        OPERATIONS,
    ),
)
