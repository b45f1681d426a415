"""The form of an inquiry: what somebody else's calculation says."""

from millhand.intake.form import Group, Number, Text

CLAIMS = Group(
    key="claims",
    field="claims",
    gap="none",
    help="figures of somebody else's calculation, to be held against the study's",
    entries=(
        Text(key="by", field="by", help="who says so, such as The owner's sheet"),
        Number(key="heads", field="heads", dimension="count", most=1000, gap="none", help="posts saved in all"),
        Number(
            key="extra_parts", field="extra_parts_per_y", dimension="parts_per_y", most=1e9, gap="none",
            help="parts a year on top of today's",
        ),
        Number(
            key="alone", field="parts_alone", dimension="parts", most=1e7, gap="none",
            help="parts made in one run with nobody there",
        ),
        Number(
            key="payback", field="payback_months", dimension="months", most=600, gap="none",
            help="months until the money is back",
        ),
        Number(key="price", field="price", dimension="money", most=1e12, gap="none", help="what it is said to cost"),
    ),
)  # fmt: skip
