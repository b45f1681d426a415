"""friction_tables: static friction of pairs; young2002: pressure of a cylinder on a plane."""

import math
from functools import partial

import pytest

from millhand.formulas.friction import PAIRS, gripping_friction, sliding_friction
from tests.checks import MEMORY, SEEN, Check, Seen, assert_holds

# Least and greatest printed value, as printed.
READ = {
    "aluminium_steel_dry": ("0.61", "0.61"),
    "steel_steel_dry": ("0.12", "0.78"),
    "steel_steel_greased": ("0.12", "0.35"),
    "aluminium_aluminium_dry": ("1.05", "1.35"),
    "aluminium_aluminium_greased": ("0.3", "0.3"),
    "brass_steel_dry": ("0.51", "0.51"),
    "brass_steel_greased": ("0.19", "0.19"),
    "copper_steel_dry": ("0.53", "0.53"),
    "copper_steel_greased": ("0.18", "0.18"),
    "bronze_steel_greased": ("0.16", "0.16"),
    "cast_iron_steel_dry": ("0.4", "0.4"),
    "cast_iron_steel_greased": ("0.21", "0.21"),
    "cast_iron_cast_iron_greased": ("0.07", "0.07"),
    "glass_metal_dry": ("0.5", "0.7"),
    "glass_metal_greased": ("0.2", "0.3"),
    "plastic_steel_dry": ("0.2", "0.45"),
    "cup_sheet_dry": ("0.5", "0.5"),
    "cup_any_wet": ("0.2", "0.3"),
    "cup_any_oily": ("0.1", "0.3"),
    "cup_any_rough": ("0.6", "0.6"),
}
ENDS = ("gripping_friction", "sliding_friction")
REMEMBERED = {
    "jaw_steel_oily": ("0.1", "0.15"),
    "jaw_ground_steel_coolant": ("0.08", "0.12"),
    "jaw_serrated_soft_steel": ("0.3", "0.5"),
    "rubber_steel_dry": ("0.6", "0.85"),
    "rubber_metal_oily": ("0.2", "0.4"),
    "polyurethane_metal_dry": ("0.4", "0.7"),
    "polyurethane_steel_oily": ("0.15", "0.3"),
    "rubber_cardboard_dry": ("0.4", "0.6"),
}


def ends(pair: str, printed: tuple[str, str], seen: Seen) -> list[Check]:
    """Both ends of one pair; of a value that stands alone its print, by the scatter of half either way."""
    alone = printed[0] == printed[1]
    shares = {"gripping_friction": 0.5, "sliding_friction": 1.5} if alone else dict.fromkeys(ENDS, 1.0)
    return [
        Check(
            formula=name,
            inputs={"pair": pair},
            printed=digits,
            exact=True,
            pick=partial(unscattered, share=shares[name]),
            key="friction_tables",
            seen=seen,
        )
        for name, digits in zip(ENDS, printed, strict=True)
    ]


def unscattered(value: float, *, share: float) -> float:
    """The printed value behind one that was lowered or raised by the scatter."""
    return value / share


CHECKS = [
    *(check for pair, printed in READ.items() for check in ends(pair, printed, SEEN)),
    *(check for pair, printed in REMEMBERED.items() for check in ends(pair, printed, MEMORY)),
    Check(  # both bodies alike with Poisson's ratio 0.3: factor times root of (load a length x modulus / diameter)
        formula="line_pressure_pa",
        inputs={"force_n": 100.0, "contact_m": 0.02, "diameter_m": 0.05, "modulus_pa": 210e9 / (2.0 * (1.0 - 0.09))},
        printed="0.591",
        pick=lambda pressure_pa: pressure_pa / math.sqrt(100.0 / 0.02 * 210e9 / 0.05),
        key="young2002",
        seen=MEMORY,
    ),
    *(
        Check(formula="ring_moment_share", inputs={"jaws": jaws}, printed=printed, key="young2002", seen=MEMORY)
        for jaws, printed in ((2.0, "0.318"), (3.0, "0.189"))
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_printed_values(check: Check) -> None:
    """Each comes out as printed."""
    assert_holds(check)


def test_every_pair_has_its_print() -> None:
    """No pair stands in the table that is not checked here, and gripping never takes the higher end."""
    assert set(PAIRS) == set(READ) | set(REMEMBERED)
    assert all(0.0 < low <= high for low, high in PAIRS.values())
    assert all(gripping_friction(pair) < sliding_friction(pair) for pair in PAIRS)
