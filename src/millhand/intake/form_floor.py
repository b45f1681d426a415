"""The form of an inquiry: the floor, with what stands in the way and what is pinned to a place."""

from millhand.intake.form import Number, Several, Word
from millhand.intake.form_shop import name_text

X = Number(
    key="x", field="x_m", dimension="position", least=-1e4, most=1e4, gap="ask", help="of its middle, to the east"
)
Y = Number(
    key="y", field="y_m", dimension="position", least=-1e4, most=1e4, gap="ask", help="of its middle, to the north"
)

OBSTACLES = Several(
    key="obstacles",
    field="obstacles",
    help="what stands in the way on the floor: columns, cabinets, other machines",
    entries=(
        name_text("an obstacle"),
        X,
        Y,
        Number(key="width", field="width_m", dimension="length", least=0.01, most=1e3, gap="ask", help="along east"),
        Number(key="depth", field="depth_m", dimension="length", least=0.01, most=1e3, gap="ask", help="along north"),
        Number(key="height", field="height_m", dimension="length", least=0.01, most=100, help="above the floor"),
    ),
)
PINNED = Several(
    key="pinned",
    field="pinned",
    named=False,
    help="pieces of a cell that are to stand at one place, in the frame of the machines' stands",
    entries=(
        Word(key="what", field="what", options=("arm", "presenter", "outfeed"), gap="ask", help="which piece"),
        X,
        Y,
        Word(
            key="turned",
            field="turned",
            options=("east", "north", "west", "south"),
            gap="none",
            help="where the length of presenter or outfeed leads, from its closed end to the arm's",
        ),
    ),
)
