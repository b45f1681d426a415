"""The form of an inquiry: what the building allows, where the shop knows it."""

from millhand.intake.form import Number

BUILDING = (
    Number(
        key="floor_load",
        field="floor_load_pa",
        dimension="floor_load",
        least=100,
        most=1e7,
        gap="none",
        help="spread load that the floor bears there, from the building's papers",
    ),
    Number(
        key="aisle",
        field="aisle_m",
        dimension="length",
        least=0.1,
        most=10,
        gap="none",
        help="width that ways for people must keep there, by the shop's or the local rules",
    ),
)
