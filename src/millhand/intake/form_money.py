"""The form of an inquiry: how the shop counts money."""

from millhand.intake.form import Group, Number, Text, Word

WAYS = ("straight_line", "declining_balance", "years_digits", "macrs", "at_once", "table")
BOOKS = Group(
    key="books",
    field="books",
    gap="none",
    help="how equipment is written off for tax",
    entries=(
        Word(key="way", field="way", options=WAYS, help="how the price is spread over the years"),
        Number(
            key="years", field="years_y", dimension="years", least=1, most=40, whole=True,
            help="life of the equipment in the books",
        ),
        Number(
            key="quarter", field="quarter", dimension="count", least=1, most=4, whole=True, gap="none",
            help="quarter of the tax year in which the cell starts work; left out, in its middle",
        ),
        Number(
            key="other", field="other_money", dimension="money", most=1e12, gap="none",
            help="other equipment put to work in the same tax year",
        ),
        Number(
            key="other_last", field="other_last_money", dimension="money", most=1e12, gap="none",
            help="of that, in the last quarter",
        ),
        Text(
            key="shares", field="shares", many=True, pattern=r"\d{1,3}([.,]\d+)? ?%", example="a share, such as 20 %",
            help="with the way `table`: the share of each year",
        ),
    ),
)  # fmt: skip
FINANCING = Group(
    key="financing",
    field="financing",
    gap="none",
    help="a loan or a lease; left out, the shop pays out of its own money",
    entries=(
        Word(key="way", field="way", options=("loan", "lease"), help="a loan on a share, or a lease of all of it"),
        Number(
            key="share", field="share", dimension="share", most=1, help="of what is paid before hand-over, lent"
        ),
        Number(key="rate", field="rate", dimension="share", most=1, help="interest a year"),
        Number(key="years", field="years_y", dimension="years", least=0.25, most=30, help="until all is paid back"),
        Number(
            key="payment", field="payment_per_y", dimension="money_per_y", most=1e12, gap="none",
            help="of a lease, such as 3200 a month; left out, as a loan over all of it",
        ),
        Number(
            key="end", field="end_money", dimension="money", most=1e12, gap="none",
            help="paid at the end of a lease to keep the cell",
        ),
    ),
)  # fmt: skip
MONEY = Group(
    key="money",
    field="money",
    help="how the shop counts money",
    entries=(
        Number(key="rate", field="rate", dimension="share", most=1, help="discount rate a year"),
        Number(
            key="horizon",
            field="horizon_y",
            dimension="years",
            least=1,
            most=30,
            help="years that the case looks ahead",
        ),
        Number(key="wage_growth", field="wage_growth", dimension="share", most=1, help="growth of wages a year"),
        Number(
            key="exchange_rate",
            field="exchange_rate",
            dimension="number",
            least=1e-6,
            most=1e6,
            help="exchange rate: what one USD of the price list costs in the inquiry's currency",
        ),
        Number(
            key="escalation",
            field="escalation",
            dimension="share",
            most=1,
            help="growth of prices a year since the catalogue's year",
        ),
        Number(
            key="tax",
            field="tax",
            dimension="share",
            most=0.9,
            gap="none",
            help="share of profit; left out, the case is before tax",
        ),
        Number(
            key="upkeep",
            field="upkeep",
            dimension="money_per_y",
            most=1e9,
            gap="none",
            help="service and spares of a cell a year, from an offer; left out, a share of the price",
        ),
        Number(
            key="energy_price",
            field="energy_price",
            dimension="money_per_kwh",
            most=1e6,
            gap="none",
            help="what a kilowatt hour costs; left out, the catalogue's figure",
        ),
        Number(
            key="floor_cost",
            field="floor_cost",
            dimension="money_per_m2",
            most=1e6,
            gap="none",
            help="what a square metre costs in a year; left out, the catalogue's figure",
        ),
        Number(
            key="raw_cost",
            field="raw_cost",
            dimension="money_per_part",
            most=1e9,
            gap="none",
            help="what one raw part costs, on average; left out, it is taken by its mass",
        ),
        Number(
            key="grant",
            field="grant",
            dimension="money",
            most=1e12,
            gap="none",
            help="what somebody else pays towards a cell, when it is handed over",
        ),
        BOOKS,
        FINANCING,
    ),
)
