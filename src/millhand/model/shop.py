"""The shop, its people and its hours."""

from dataclasses import dataclass

from millhand.model.fact import Choice, Fact


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """A photo, drawing or note beside the inquiry that facts may point at; `file` is relative, inside its folder."""

    name: str
    file: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """Who asks: name, country, currency, and the days it works."""

    name: str
    country: str  # two letters
    currency: str  # three letters
    work_days_per_y: Fact  # days a year on which the shop works the pattern below
    holidays: tuple[str, ...] = ()  # dates as written; for the reader, already left out of work_days_per_y


@dataclass(frozen=True, slots=True, kw_only=True)
class Fates:
    """What becomes of freed hours: shares of them, and what an hour is worth against one worked at the machines."""

    not_hired: Fact | None  # posts that stay open; whole heads alone count
    redeployed: Fact | None  # other work
    redeployed_worth: Fact | None
    overtime: Fact | None  # less overtime
    overtime_worth: Fact | None
    temporary: Fact | None  # fewer temporary people
    temporary_worth: Fact | None
    not_usable: Fact | None  # nothing comes of them, and of what is not named

    @property
    def shares(self) -> dict[str, Fact]:
        """The share of each fate that is worth something, where it was told."""
        told = {name: getattr(self, name) for name in ("not_hired", "redeployed", "overtime", "temporary")}
        return {name: share for name, share in told.items() if share is not None}

    @property
    def worths(self) -> dict[str, Fact]:
        """What an hour of each fate is worth; a post that stays open saves just what an hour costs."""
        told = {name: getattr(self, f"{name}_worth", None) for name in self.shares}
        return {name: worth for name, worth in told.items() if worth is not None}


@dataclass(frozen=True, slots=True, kw_only=True)
class People:
    """Who tends the machines today, what they cost, and what freed hours could become."""

    operators: Fact  # heads in a manned shift who tend these machines
    machines_per_operator: Fact
    wage_per_h: Fact  # money/h, before on-cost
    on_cost: Fact  # share of the wage
    on_cost_per: Choice  # 'paid' or 'worked' hour
    premium_late: Fact
    premium_night: Fact
    premium_weekend: Fact
    allowance: Fact  # share of work time for personal needs, fatigue, delay; breaks are not in it
    tend: Choice  # own: each his own machines; together: whoever is free goes to the machine that calls
    break_cover: Choice  # none; each_other: one pauses after the other; relief: somebody from elsewhere
    away: Fact  # share of the time in which an operator is called away: setting, gauging in another room
    away_takes_s: Fact  # once
    handover_s: Fact  # of each shift, in which nobody tends the machines
    absence: Fact  # share of paid days
    unreplaced: Fact  # share of those on which nobody stands in
    freed_use: Choice  # what freed hours become: none, finishing, programming, setups, vacancy, overtime, temporary
    share_usable: Fact  # share of freed hours that becomes real value
    other_cells: Fact | None = None  # cells besides this one that the same people look after; None: nobody said
    freed: Fates | None = None  # several fates in the place of one use; then freed_use says 'several'


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A pause inside a shift, counted from midnight; paid or not."""

    start_s: Fact
    length_s: Fact
    paid: Choice  # yes, no


@dataclass(frozen=True, slots=True, kw_only=True)
class Shift:
    """One shift of the pattern. Shifts may overlap, crews may rotate: only machine hours over 24 a day cannot be."""

    name: str
    start_s: Fact  # time of day
    length_s: Fact  # from coming to going, breaks inside
    days_per_week: Fact
    operators: Fact  # heads of this shift at these machines
    manned: Choice  # yes, no
    premium: Choice  # none, late, night, weekend
    breaks: tuple[Break, ...] = ()
