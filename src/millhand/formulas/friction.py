"""Static friction of pairs, as tables print it: a range, of which gripping takes the low end and sliding the high."""

from millhand.formulas.grip import CAUTION
from millhand.formulas.register import formula

# friction_tables: least and greatest printed value of each pair; where only one is printed, both ends are that one.
PAIRS = {
    "aluminium_steel_dry": (0.61, 0.61),
    "steel_steel_dry": (0.12, 0.78),  # a range to 0.6, and mild and hard steel alone at 0.74 and 0.78
    "steel_steel_greased": (0.12, 0.35),
    "aluminium_aluminium_dry": (1.05, 1.35),
    "aluminium_aluminium_greased": (0.3, 0.3),
    "brass_steel_dry": (0.51, 0.51),
    "brass_steel_greased": (0.19, 0.19),
    "copper_steel_dry": (0.53, 0.53),
    "copper_steel_greased": (0.18, 0.18),
    "bronze_steel_greased": (0.16, 0.16),
    "cast_iron_steel_dry": (0.4, 0.4),
    "cast_iron_steel_greased": (0.21, 0.21),
    "cast_iron_cast_iron_greased": (0.07, 0.07),
    "glass_metal_dry": (0.5, 0.7),
    "glass_metal_greased": (0.2, 0.3),
    "plastic_steel_dry": (0.2, 0.45),
    "cup_sheet_dry": (0.5, 0.5),
    "cup_any_wet": (0.2, 0.3),
    "cup_any_oily": (0.1, 0.3),
    "cup_any_rough": (0.6, 0.6),
    "jaw_steel_oily": (0.1, 0.15),
    "jaw_ground_steel_coolant": (0.08, 0.12),
    "jaw_serrated_soft_steel": (0.3, 0.5),
    "rubber_steel_dry": (0.6, 0.85),
    "rubber_metal_oily": (0.2, 0.4),
    "polyurethane_metal_dry": (0.4, 0.7),
    "polyurethane_steel_oily": (0.15, 0.3),
    "rubber_cardboard_dry": (0.4, 0.6),
}


SCATTER = 0.5  # friction_tables: values differ by half and more; taken where a pair has one print alone


@formula(source="friction_tables, static friction", unit="1", caution=CAUTION)
def gripping_friction(pair: str) -> float:
    """Static friction to hold a part with: the least value printed for the pair, half of one that stands alone [1].

    Source: friction_tables.  Valid as a first guess: values scatter by half and more with film, roughness and load.

    >>> gripping_friction("jaw_steel_oily"), gripping_friction("cup_sheet_dry")
    (0.1, 0.25)
    """
    low, high = PAIRS[pair]
    return low if low < high else low * (1.0 - SCATTER)


@formula(source="friction_tables, static friction", unit="1", caution=CAUTION)
def sliding_friction(pair: str) -> float:
    """Static friction that a part must overcome to slide by itself: the greatest print, or half more [1].

    Source: friction_tables.  Valid as a first guess: values scatter by half and more with film, roughness and load.

    >>> sliding_friction("steel_steel_dry")
    0.78
    """
    low, high = PAIRS[pair]
    return high if low < high else high * (1.0 + SCATTER)
