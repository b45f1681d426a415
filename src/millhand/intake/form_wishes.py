"""The form of an inquiry: what the shop wants, and what it can give."""

from millhand.intake.form import Group, Number, Text, Word
from millhand.intake.form_building import BUILDING
from millhand.intake.form_shop import DAY_S, YES_NO

WORKS = ("deburring", "gauging", "marking", "degating", "blowing_clean")  # of the catalogue, of the kind work
WISHES = Group(
    key="wishes",
    field="wishes",
    help="what the shop wants, and what it can give",
    entries=(
        Number(
            key="unattended",
            field="unattended_s",
            dimension="time",
            most=DAY_S,
            bare="h",
            help="hours a working day with nobody there",
        ),
        Number(
            key="budget", field="budget", dimension="money", most=1e12, gap="none", help="the most that it may cost"
        ),
        Number(
            key="hurdle",
            field="hurdle_months",
            dimension="months",
            least=1,
            most=600,
            help="longest simple payback that is accepted",
        ),
        Number(
            key="floor", field="floor_m2", dimension="area", most=1e5, gap="none", help="free floor at the machines"
        ),
        Number(
            key="height",
            field="height_m",
            dimension="length",
            most=50,
            gap="none",
            help="clear height above the floor, under crane, ducts and lamps",
        ),
        *BUILDING,
        Word(key="people_pass", field="people_pass", options=YES_NO, help="whether people pass close to the machines"),
        Word(
            key="must_move",
            field="must_move",
            options=YES_NO,
            help="whether the cell must go to another machine at times",
        ),
        Word(
            key="integrator",
            field="integrator",
            options=("turnkey", "own"),
            help="who builds it: bought ready to run, or with own work",
        ),
        Text(
            key="by_arm",
            field="by_arm",
            many=True,
            pattern="|".join(WORKS),
            help="work on the part that is looked at as work of the arm besides loading, each alone and all together",
            example=f"one of {', '.join(WORKS)}",
        ),
    ),
)
