"""The form of an inquiry: shop, evidence, people, shifts, wishes and money."""

from millhand.intake.form import Group, Number, Several, Text, Word

NAME = r"[a-z][a-z0-9_]{0,39}"
YES_NO = ("yes", "no")
CLOCK = r"([01]?[0-9]|2[0-4])[:.][0-5][0-9]|(0?[1-9]|1[0-2])([:.][0-5][0-9])? ?[ap]m"  # 06:00, 6.00, 6am, 2:30 pm
YEAR_S, WEEK_S, DAY_S, HOUR_S = 365 * 86400.0, 604800.0, 86400.0, 3600.0


def name_text(what: str) -> Text:
    """The entry for the name of one thing: it becomes part of paths, so it is one lower-case word."""
    return Text(
        key="name",
        field="name",
        help=f"the name of {what}, one lower-case word",
        pattern=NAME,
        gap="ask",
        example="a lower-case word of letters, digits and _, such as mill_1",
    )


SHOP = Group(
    key="shop",
    field="shop",
    help="who asks",
    entries=(
        Text(key="name", field="name", help="name of the shop"),
        Text(
            key="country",
            field="country",
            help="two letters",
            pattern=r"[A-Z]{2}",
            example="two capital letters, such as US",
        ),
        Text(
            key="currency",
            field="currency",
            help="three letters; left out, it is the one of the wage",
            pattern=r"[A-Z]{3}",
            example="three capital letters, such as USD",
        ),
        Number(
            key="work_days_per_y",
            field="work_days_per_y",
            dimension="days_per_y",
            least=1,
            most=366,
            help="days a year on which the busiest shift works, holidays left out",
        ),
        Text(
            key="holidays", field="holidays", many=True, help="dates, for the reader; already left out of the work days"
        ),
    ),
)
EVIDENCE = Several(
    key="evidence",
    field="evidence",
    help="photos, drawings and notes beside the inquiry",
    entries=(
        name_text("a piece of evidence"),
        Text(
            key="file",
            field="file",
            help="the file, in the folder of the inquiry or below",
            gap="ask",
            example="the path of a file in this folder",
        ),
        Text(key="words", field="words", help="what it shows"),
    ),
)
FREED = Group(
    key="freed",
    field="freed",
    gap="none",
    help="what becomes of freed hours, where that is several things; in the place of freed_use and share_usable",
    entries=(
        Number(
            key="not_hired", field="not_hired", dimension="share", most=1, gap="none",
            help="posts that then need not be filled; only whole heads count",
        ),
        Number(
            key="redeployed", field="redeployed", dimension="share", most=1, gap="none", help="other work in the shop"
        ),
        Number(
            key="redeployed_worth", field="redeployed_worth", dimension="share", most=3,
            help="what an hour of that work is worth, against what an hour at the machines costs",
        ),
        Number(
            key="overtime", field="overtime", dimension="share", most=1, gap="none", help="overtime that falls away"
        ),
        Number(
            key="overtime_worth", field="overtime_worth", dimension="share", most=3,
            help="what an hour of overtime costs, against an hour at the machines",
        ),
        Number(
            key="temporary", field="temporary", dimension="share", most=1, gap="none",
            help="hours of temporary people that fall away",
        ),
        Number(
            key="temporary_worth", field="temporary_worth", dimension="share", most=3,
            help="what an hour of a temporary costs, against an hour at the machines",
        ),
        Number(
            key="not_usable", field="not_usable", dimension="share", most=1, gap="none",
            help="hours of which nothing comes; so is what no fate was named for",
        ),
    ),
)  # fmt: skip
PEOPLE = Group(
    key="people",
    field="people",
    gap="ask",
    help="who tends the machines today, and what that costs",
    entries=(
        Number(
            key="operators",
            field="operators",
            dimension="count",
            least=0.05,
            most=1000,
            help="heads in a manned shift who tend these machines",
        ),
        Number(
            key="machines_per_operator",
            field="machines_per_operator",
            dimension="number",
            least=0.05,
            most=100,
            help="machines that one operator tends",
        ),
        Number(
            key="wage",
            field="wage_per_h",
            dimension="money_per_h",
            most=1e6,
            gap="ask",
            help="pay of an hour, before on-cost",
        ),
        Number(
            key="on_cost",
            field="on_cost",
            dimension="share",
            most=2,
            help="on-cost: what comes on top of the wage, as a share of it",
        ),
        Word(
            key="on_cost_per",
            field="on_cost_per",
            options=("paid", "worked"),
            help="the hour that the on-cost is counted on",
        ),
        Number(
            key="premium_late",
            field="premium_late",
            dimension="share",
            most=3,
            help="premium on the wage in a late shift",
        ),
        Number(
            key="premium_night", field="premium_night", dimension="share", most=3, help="premium on the wage at night"
        ),
        Number(
            key="premium_weekend",
            field="premium_weekend",
            dimension="share",
            most=3,
            help="premium on the wage at weekends",
        ),
        Number(
            key="allowance",
            field="allowance",
            dimension="share",
            most=0.6,
            help="share of work time for personal needs, fatigue and delay; breaks are not in it",
        ),
        Number(
            key="absence",
            field="absence",
            dimension="share",
            most=0.6,
            help="share of paid days on which somebody is away",
        ),
        Number(
            key="unreplaced",
            field="unreplaced",
            dimension="share",
            most=1,
            help="share of those days on which nobody stands in",
        ),
        Number(
            key="handover",
            field="handover_s",
            dimension="time",
            most=2 * HOUR_S,
            help="time of each shift in which nobody tends the machines: handing over, starting up, tidying",
        ),
        Word(
            key="tend",
            field="tend",
            options=("own", "together"),
            help="own: each his own machines; together: whoever is free goes to the machine that calls",
        ),
        Word(
            key="break_cover",
            field="break_cover",
            options=("none", "each_other", "relief"),
            help="who loads in the breaks: nobody, the others one after the other, or somebody from elsewhere",
        ),
        Number(
            key="other_cells",
            field="other_cells",
            dimension="count",
            most=100,
            whole=True,
            gap="none",
            help="cells besides this one, alike in their calls, that the same people look after or will",
        ),
        Number(
            key="away",
            field="away",
            dimension="share",
            most=0.8,
            help="share of the time in which an operator is called away: setting, gauging in another room",
        ),
        Number(
            key="away_takes",
            field="away_takes_s",
            dimension="time",
            least=10,
            most=8 * HOUR_S,
            help="how long he is away at a call",
        ),
        Word(
            key="freed_use",
            field="freed_use",
            tells=True,
            help="what freed hours become",
            options=("none", "finishing", "programming", "setups", "vacancy", "overtime", "temporary"),
        ),
        Number(
            key="share_usable",
            field="share_usable",
            dimension="share",
            most=1,
            help="share of freed hours that becomes real value",
        ),
        FREED,
    ),
)
BREAKS = Several(
    key="breaks",
    field="breaks",
    named=False,
    gap="assume",
    short="30 min",
    help="pauses inside the shift; [] for none",
    entries=(
        Text(
            key="from",
            field="start_s",
            help="time of day",
            pattern=CLOCK,
            example="a time of day, such as 06:00",
            gap="ask",
        ),
        Number(
            key="length",
            field="length_s",
            dimension="time",
            most=4 * HOUR_S,
            bare="min",
            gap="ask",
            help="length of the break",
        ),
        Word(key="paid", field="paid", options=YES_NO, help="whether the break is paid"),
    ),
)
SHIFTS = Several(
    key="shifts",
    field="shifts",
    gap="ask",
    short="2 x 8 h",
    help="the shifts of a working day",
    entries=(
        name_text("a shift"),
        Text(
            key="from",
            field="start_s",
            help="start, a time of day",
            pattern=CLOCK,
            example="a time of day, such as 06:00",
            gap="ask",
        ),
        Text(
            key="to",
            field="to",
            help="end, a time of day; or give length",
            pattern=CLOCK,
            example="a time of day, such as 14:00",
        ),
        Number(
            key="length",
            field="length_s",
            dimension="time",
            least=60,
            most=DAY_S,
            gap="none",
            bare="h",
            help="from coming to going, breaks inside; or give to",
        ),
        Word(
            key="premium",
            field="premium",
            options=("none", "late", "night", "weekend"),
            help="the premium that is paid",
        ),
        Word(key="manned", field="manned", options=YES_NO, help="whether somebody is there"),
        Number(key="days_per_week", field="days_per_week", dimension="days", least=0.1, most=7, help="days a week"),
        Number(
            key="operators",
            field="operators",
            dimension="count",
            most=1000,
            gap="none",
            help="heads of this shift at these machines; left out, those of people",
        ),
        BREAKS,
    ),
)
JUDGED = Several(
    key="judged",
    field="judged",
    named=False,
    help="values that the engineer puts in the place of any other, each with a reason",
    entries=(
        Text(
            key="path",
            field="path",
            help="the path of the fact, such as people.wage",
            gap="ask",
            pattern=r"[a-z0-9_]+(\.[a-z0-9_]+)+",
            example="the path of a fact, such as people.wage",
        ),
        Text(key="value", field="value", help="the value, as it would stand in its own place", gap="ask"),
        Text(key="reason", field="reason", help="why", gap="ask"),
    ),
)
ANSWERED = Group(
    key="answered",
    field="answered",
    gap="none",
    help="answers to questions about what has no place of its own in this file, by path: usual elements, breaks of "
    "short shifts; each value as it would stand in its place",
    entries=(),
)
