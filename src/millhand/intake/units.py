"""The table of units: which names a file may use for which kind of quantity, and what each is in SI.

The table is our own and closed: no prefixes, no powers and no expressions beyond what stands here.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

_CODES = (
    "AED ARS AUD BGN BRL CAD CHF CLP CNY COP CZK DKK EGP EUR GBP HKD HUF IDR ILS INR ISK JPY KRW MAD MXN MYR NOK NZD "
    "PEN PHP PLN RON RSD SAR SEK SGD THB TRY TWD UAH USD UYU VND ZAR"
)
CURRENCIES = frozenset(_CODES.split())
SYMBOLS: Mapping[str, str] = {"€": "EUR", "£": "GBP"}  # signs of one currency only
DOLLARS = ("USD", "AUD", "CAD", "HKD", "MXN", "NZD", "CLP", "COP", "ARS")  # '$' is written for each of them
INCH_M, POUND_KG, GRAVITY_M_S2 = 0.0254, 0.45359237, 9.80665  # exact by definition
FOOT_M = 12 * INCH_M
POUND_FORCE_N = POUND_KG * GRAVITY_M_S2
PSI_PA = POUND_FORCE_N / INCH_M**2
DEGREE_RAD = 0.017453292519943295
ZERO_C_K = 273.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Dimension:
    """One kind of quantity: the unit of its fact, the unit names that a file may use, an example for the words."""

    name: str
    si: str
    units: Mapping[str, float]  # name: factor to SI; '' where a number without a unit is understood
    example: str  # 'a time, such as 6 min 20 s'
    bare: str = ""  # the unit of a number without one, where people would write no other
    plain: tuple[str, ...] = ()  # the units that a number without one could have
    whole: bool = False  # hardly ever has three decimals: what looks like thousands may be thousands
    money: bool = False  # a currency stands before the names here, which then are 'per what'
    signed: bool = False  # may lie below zero
    offsets: Mapping[str, float] = field(default_factory=dict)  # added after the factor: temperatures


LENGTH = {
    "m": 1.0, "mm": 1e-3, "cm": 1e-2, "um": 1e-6, "µm": 1e-6, "in": INCH_M, "inch": INCH_M, "ft": FOOT_M,
}  # fmt: skip
TIME = {
    "s": 1.0, "sec": 1.0, "secs": 1.0, "second": 1.0, "seconds": 1.0, "ms": 1e-3, "min": 60.0, "mins": 60.0,
    "minute": 60.0, "minutes": 60.0, "h": 3600.0, "hr": 3600.0, "hrs": 3600.0, "hour": 3600.0, "hours": 3600.0,
    "d": 86400.0, "day": 86400.0, "days": 86400.0, "week": 604800.0, "weeks": 604800.0,
}  # fmt: skip
PARTS = {"": 1.0, "parts": 1.0, "part": 1.0, "pcs": 1.0, "pc": 1.0, "pieces": 1.0}

_TABLE = (
    Dimension(name="length", si="m", units=LENGTH, example="a length, such as 120 mm or 5 ft 2 in", plain=("mm", "m")),
    Dimension(name="position", si="m", units=LENGTH, example="a position, such as 3.2 m or -400 mm", signed=True,
              plain=("mm", "m")),
    Dimension(
        name="mass", si="kg", example="a mass, such as 2.4 kg or 3 lb 6 oz", plain=("kg", "lb"),
        units={"kg": 1.0, "g": 1e-3, "t": 1000.0, "lb": POUND_KG, "lbs": POUND_KG, "oz": POUND_KG / 16},
    ),
    Dimension(name="time", si="s", units=TIME, example="a time, such as 6 min 20 s", plain=("s", "min")),
    Dimension(
        name="months", si="months", example="a time in months or years, such as 24 months", plain=("months", "years"),
        units={"month": 1.0, "months": 1.0, "y": 12.0, "yr": 12.0, "yrs": 12.0, "year": 12.0, "years": 12.0},
    ),
    Dimension(
        name="years", si="y", example="a number of years, such as 8 years", bare="years",
        units={"y": 1.0, "yr": 1.0, "yrs": 1.0, "year": 1.0, "years": 1.0, "month": 1 / 12, "months": 1 / 12},
    ),
    Dimension(
        name="force", si="N", example="a force, such as 400 N",
        units={"N": 1.0, "kN": 1000.0, "lbf": POUND_FORCE_N},
    ),
    Dimension(
        name="pressure", si="Pa", example="a pressure, such as 6 bar",
        units={"Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "mbar": 100.0, "bar": 1e5, "psi": PSI_PA},
    ),
    Dimension(
        name="floor_load", si="Pa", example="a load on a floor, such as 10 kN/m2 or 200 lbf/ft2",
        units={
            "kN/m2": 1e3, "kN/m²": 1e3, "N/m2": 1.0, "kg/m2": GRAVITY_M_S2, "t/m2": 1e3 * GRAVITY_M_S2, "kPa": 1e3,
            "lbf/ft2": POUND_FORCE_N / FOOT_M**2,
        },
    ),
    Dimension(
        name="area", si="m2", example="an area, such as 12 m2, 130 ft2 or 9 m x 3 m", plain=("m2", "ft2"),
        units={"m2": 1.0, "m²": 1.0, "cm2": 1e-4, "mm2": 1e-6, "ft2": FOOT_M**2, "in2": INCH_M**2},
    ),
    Dimension(
        name="volume", si="m3", example="a volume, such as 60 l",
        units={
            "m3": 1.0, "m³": 1.0, "l": 1e-3, "L": 1e-3, "cm3": 1e-6, "mm3": 1e-9, "ft3": FOOT_M**3, "in3": INCH_M**3,
        },
    ),
    Dimension(
        name="angle", si="rad", example="an angle, such as 90 deg",
        units={"rad": 1.0, "deg": DEGREE_RAD, "°": DEGREE_RAD},
    ),
    Dimension(
        name="speed", si="m/s", example="a speed, such as 1.2 m/s",
        units={"m/s": 1.0, "mm/s": 1e-3, "m/min": 1 / 60, "ft/min": FOOT_M / 60, "ft/s": FOOT_M, "in/s": INCH_M},
    ),
    Dimension(
        name="temperature", si="K", example="a temperature, such as 180 degC", signed=True,
        units={"K": 1.0, "degC": 1.0, "°C": 1.0, "degF": 5 / 9, "°F": 5 / 9},
        offsets={"degC": ZERO_C_K, "°C": ZERO_C_K, "degF": ZERO_C_K - 160 / 9, "°F": ZERO_C_K - 160 / 9},
    ),
    Dimension(
        name="frequency", si="1/h", example="a number a time, such as 12 1/h or 2 /min",
        units={
            "1/h": 1.0, "/h": 1.0, "1/min": 60.0, "/min": 60.0, "1/s": 3600.0, "/s": 3600.0, "Hz": 3600.0,
            "1/d": 1 / 24, "/d": 1 / 24,
        },
    ),
    Dimension(name="share", si="1", units={"": 1.0, "%": 0.01}, example="a share, such as 12 % or 0.12"),
    Dimension(
        name="count", si="1", example="a plain number, such as 2",
        units={
            "": 1.0, "machines": 1.0, "machine": 1.0, "operators": 1.0, "operator": 1.0, "people": 1.0,
            "families": 1.0, "family": 1.0, "loads": 1.0,
        },
    ),
    Dimension(name="number", si="1", units={"": 1.0}, example="a plain number, such as 1.05"),
    Dimension(
        name="correlation", si="1", units={"": 1.0}, example="a plain number from -1 to 1, such as 0.6", signed=True
    ),
    Dimension(
        name="parts", si="parts", example="a number of parts, such as 120 parts", whole=True,
        units={**PARTS, "cavities": 1.0, "cavity": 1.0, "parts/shift": 1.0, "pcs/shift": 1.0},
    ),
    Dimension(
        name="parts_per_y", si="parts/y", example="a number of parts a year, such as 40000 parts/y", whole=True,
        units={
            **PARTS, "parts/y": 1.0, "parts/year": 1.0, "pcs/y": 1.0, "pcs/year": 1.0, "parts/month": 12.0,
            "pcs/month": 12.0,
        },
    ),
    Dimension(
        name="days", si="d", example="a number of days, such as 5 days",
        units={"": 1.0, "d": 1.0, "day": 1.0, "days": 1.0, "d/week": 1.0, "days/week": 1.0},
    ),
    Dimension(
        name="days_per_y", si="d/y", example="a number of days a year, such as 250 days",
        units={"": 1.0, "d": 1.0, "days": 1.0, "d/y": 1.0, "days/y": 1.0, "days/year": 1.0},
    ),
    Dimension(name="money", si="money", units={"": 1.0}, example="an amount, such as 150000 {currency}", money=True,
              whole=True),
    Dimension(
        name="money_per_h", si="money/h", example="an amount an hour, such as 24 {currency}/h", money=True,
        bare="h", whole=True, units={"h": 1.0, "hr": 1.0, "hour": 1.0},
    ),
    Dimension(
        name="money_per_part", si="money/part", example="an amount a part, such as 4.50 {currency}/part", money=True,
        units={"": 1.0, "part": 1.0, "pc": 1.0},
    ),
    Dimension(
        name="money_per_y", si="money/y", example="an amount a year, such as 9000 {currency}/y", money=True,
        plain=("y", "month"), whole=True, units={"y": 1.0, "year": 1.0, "month": 12.0},
    ),
    Dimension(
        name="money_per_kwh", si="money/kWh", example="an amount a kilowatt hour, such as 0.16 {currency}/kWh",
        money=True, units={"kWh": 1.0, "MWh": 0.001},
    ),
    Dimension(
        name="money_per_m2", si="money/(m2 y)", example="an amount a square metre and year, such as 80 {currency}/m2",
        money=True, units={"m2": 1.0, "m²": 1.0, "ft2": 10.763910416709722},
    ),
)  # fmt: skip
DIMENSIONS: Mapping[str, Dimension] = {each.name: each for each in _TABLE}
