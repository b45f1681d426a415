"""The catalogue is complete, says where everything comes from, and lets own prices and components lie over it."""

import math
from pathlib import Path

import pytest

from millhand.catalogue.arms import COLUMNS as LINK_COLUMNS
from millhand.catalogue.components import COLUMNS, NEEDED, NEEDED_WORDS, PRICE_COLUMNS, read_catalogue
from millhand.errors import InputErrors
from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.walk import facts_in

BUILT_IN = read_catalogue()
COMPONENTS = list(BUILT_IN.components.values())
FACTS = [fact for fact in facts_in(BUILT_IN) if isinstance(fact, Fact)]
FIXED = [
    "trays",
    "drawers",
    "small_tray",
    "step_feeder",
    "loose_bin",
    "infeed_conveyor",
    "from_mould",
    "back_to_tray",
    "out_conveyor",
    "out_box",
    "pedestal",
    "movable_stand",
    "floor_track",
    "belt_track",
    "overhead_track",
    "loader_beam",
    "high_pedestal",
    "own_machines",
    "feed_and_take",
    "both_free",
    "force_limited_12",
    "force_limited_25",
    "fenced_20",
    "fenced_60",
    "scara_10",
    "gantry_30",
    "parallel_single",
    "parallel_double",
    "centric_single",
    "centric_double",
    "vacuum_single",
    "vacuum_double",
    "inside_single",
    "inside_double",
    "magnet_single",
    "magnet_double",
    "adaptive_single",
    "adaptive_double",
    "scanner",
    "fence",
    "light_curtain",
    "force_limiting",
    "interface_free_outputs",
    "interface_fieldbus",
    "interface_none",
    "door_fitted",
    "door_retrofit",
    "door_by_arm",
    "powered_vise",
    "powered_chuck",
    "vise_by_arm",
    "finger_changer",
    "blow_off",
    "seat_sensing",
    "spring_plate",
    "dress_pack",
    "engineering_one",
    "engineering_two",
    "engineering_track",
    "training_freight_spares",
    "finger_set",
    "site_work",
    "deburring",
    "gauging",
    "marking",
    "degating",
    "blowing_clean",
    "parallel_changer",
    "centric_changer",
    "vacuum_changer",
    "docked_drawers",
    "tray_lift",
]  # the order of the file
NEW_ARM = """component,kind,title,figure,unit,low,value,high,source
shop_arm,arm,Arm from the other hall,price,USD,,15000,,own books
shop_arm,arm,Arm from the other hall,payload_kg,kg,,16,,data sheet
shop_arm,arm,Arm from the other hall,reach_m,m,,1.6,,data sheet
shop_arm,arm,Arm from the other hall,repeatability_m,m,,0.00004,,data sheet
shop_arm,arm,Arm from the other hall,moving_mass_kg,kg,,140,,data sheet
shop_arm,arm,Arm from the other hall,bar_radius_m,m,,0.09,,measured
shop_arm,arm,Arm from the other hall,wrist_radius_m,m,,0.06,,measured
shop_arm,arm,Arm from the other hall,speed_m_s,m/s,1.5,1.8,2.2,measured
shop_arm,arm,Arm from the other hall,stop_accel_m_s2,m/s2,,12,,data sheet
shop_arm,arm,Arm from the other hall,class,word,,fenced,,
"""


def written(folder: Path, text: str) -> Path:
    """A table in a file."""
    path = folder / "own.csv"
    path.write_text(text, encoding="utf-8")
    return path


def linked(folder: Path, name: str = "shop_arm", scale: float = 0.914) -> Path:
    """The links of a built-in arm, shorter, as those of another arm."""
    lines = [",".join(LINK_COLUMNS)]
    for at, joint in enumerate(BUILT_IN.arms["fenced_20"].joints, start=1):
        quarters = round(joint.alpha_rad / math.pi * 2.0)
        lines.append(
            f"{name},spherical_wrist,{at},{quarters},turns,{joint.a_m * scale:g},{joint.d_m * scale:g},"
            f"{joint.offset_rad:g},{joint.low:g},{joint.high:g},{joint.speed:g},{joint.accel:g},data sheet"
        )
    path = folder / "links.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def errors_of(*paths: Path, prices: bool = False) -> list[str]:
    """The words of all errors of a table laid over the catalogue."""
    with pytest.raises(InputErrors) as caught:
        read_catalogue(prices=paths[0]) if prices else read_catalogue(components=paths)
    return [str(error) for error in caught.value.errors]


def test_the_ids_that_others_rely_on_are_there() -> None:
    """Stages and files name these components."""
    assert [each.id for each in COMPONENTS] == FIXED


@pytest.mark.parametrize("component", COMPONENTS, ids=lambda component: component.id)
def test_a_component_is_complete(component: Component) -> None:
    """Each has a title, the figures its kind needs, and a price in the catalogue's money."""
    assert component.title
    assert set(NEEDED[component.kind]) <= set(component.figures)
    assert component.figures["price"].unit == BUILT_IN.currency
    for word, options in NEEDED_WORDS.get(component.kind, {}).items():
        assert component.words[word] in options


def test_every_figure_says_where_it_comes_from() -> None:
    """A file with its row and the words that follow; nothing built in passes for given."""
    for fact in FACTS:
        place, _, words = fact.source.partition(", ")
        assert place.partition(":")[0].endswith((".csv", ".toml"))
        assert words
        assert fact.basis == "assumed"
        assert fact.id.startswith("catalogue.")


def test_no_two_figures_share_an_id() -> None:
    """The study's map is flat: an id stands once."""
    ids = [fact.id for fact in FACTS]
    assert len(ids) == len(set(ids))


def test_ranges_hold_their_value() -> None:
    """P10 below, P90 above, and a shape that says which."""
    for fact in FACTS:
        if fact.low is None or fact.high is None:
            assert fact.low is fact.high is None
            assert fact.shape == "point"
        else:
            assert fact.low <= fact.value <= fact.high
            assert fact.low < fact.high
            assert fact.shape != "point"


def test_starting_values_of_the_trade_stand_as_noted() -> None:
    """A sample of the starting values, low, likely and high, as the trade names them."""
    figures, components = BUILT_IN.figures, BUILT_IN.components
    prices = {name: components[name].figures["price"] for name in ("fenced_20", "drawers", "engineering_track")}
    sample = {
        figures["blow_off_mill_s"]: (3, 8, 20),
        figures["turn_over_s"]: (8, 14, 25),
        figures["handshake_s"]: (2, 5, 10),
        components["door_by_arm"].figures["each_way_s"]: (6, 10, 16),
        figures["upkeep_share"]: (0.02, 0.04, 0.07),
        prices["fenced_20"]: (28_000, 38_000, 50_000),
        prices["drawers"]: (10_000, 16_000, 28_000),
        prices["engineering_track"]: (50_000, 75_000, 120_000),
    }
    for fact, (low, value, high) in sample.items():
        assert (fact.low, fact.value, fact.high) == (low, value, high), fact.id


def test_own_prices_lie_over_the_built_in_ones(tmp_path: Path) -> None:
    """The row replaces the price, is given and names its line; all else stays."""
    path = written(tmp_path, "component,low,value,high,source\nfenced_20,,41500,,offer of March\n")

    arm = read_catalogue(prices=path).components["fenced_20"]

    price = arm.figures["price"]
    assert (price.value, price.low, price.basis, price.source) == (41_500.0, None, "given", "own.csv:2, offer of March")
    assert arm.figures["reach_m"] == BUILT_IN.components["fenced_20"].figures["reach_m"]
    assert read_catalogue().components["fenced_20"].figures["price"].value == 38_000.0


def test_a_component_of_ones_own_joins_the_others(tmp_path: Path) -> None:
    """It has its figures as given facts and its class as a word."""
    whole = read_catalogue(components=(written(tmp_path, NEW_ARM), linked(tmp_path)))
    arm = whole.components["shop_arm"]

    assert arm.title == "Arm from the other hall"
    assert arm.figures["joint_2_speed"].source == "links.csv:2, data sheet"
    assert arm.figures["joint_2_speed"].basis == "given"
    assert whole.arms["shop_arm"].family == "spherical_wrist"
    assert arm.words == {"class": "fenced"}
    speed = arm.figures["speed_m_s"]
    assert (speed.low, speed.value, speed.high, speed.basis) == (1.5, 1.8, 2.2, "given")


def test_one_figure_of_a_built_in_component_can_be_replaced(tmp_path: Path) -> None:
    """A single row is enough where the component is known."""
    row = "fenced_20,arm,Our arm,reach_m,m,,1.9,,data sheet"
    arm = read_catalogue(components=(written(tmp_path, ",".join(COLUMNS) + "\n" + row + "\n"),)).components["fenced_20"]

    assert (arm.figures["reach_m"].value, arm.title) == (1.9, "Our arm")
    assert arm.figures["payload_kg"].value == 20.0


def test_what_a_new_component_lacks_is_named_all_at_once(tmp_path: Path) -> None:
    """Each missing figure and word with the line to write it below."""
    lines = NEW_ARM.splitlines()
    errors = errors_of(written(tmp_path, "\n".join([lines[0], *lines[1:3]]) + "\n"))

    assert [error.partition("figure ")[2].rstrip(".").partition(",")[0] for error in errors] == [
        "reach_m", "repeatability_m", "moving_mass_kg", "bar_radius_m", "wrist_radius_m", "speed_m_s",
        "stop_accel_m_s2", "class",
    ]  # fmt: skip
    assert errors[0] == "own.csv:3:1: read 'shop_arm'; write a row for shop_arm with the figure reach_m."


def test_a_gripper_needs_what_its_jaws_hold_by(tmp_path: Path) -> None:
    """Suction cups without cups, or jaws without force, could not be judged."""
    known = (("price", "USD"), ("mass_kg", "kg"), ("fingers_kg", "kg"), ("hands", "1"))
    for jaws, lacking in {
        "vacuum": ["cups", "cup_diameter_m", "pressure_drop_pa"],
        "centric": ["force_n", "stroke_m"],
        "inside": ["force_n", "stroke_m", "closed_m"],
        "magnet": ["pull_n", "quarter_gap_m", "full_m"],
        "adaptive": ["force_n", "stroke_m", "jaws_s"],
    }.items():
        rows = [f"own,gripper,Own gripper,{name},{unit},,1,," for name, unit in known]
        rows += [
            f"own,gripper,Own gripper,{word},word,,{value},," for word, value in (("jaws", jaws), ("hands", "one"))
        ]
        errors = errors_of(written(tmp_path, "\n".join([",".join(COLUMNS), *rows]) + "\n"))

        assert [error.rpartition(" ")[2].rstrip(".") for error in errors] == lacking


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("fenced_20,gripper,x,reach_m,m,,1.9,,", "own.csv:2:11: read 'gripper'; write the kind of the component: arm."),
        ("fenced_20,arm,x,reach_m,mm,,1900,,", "own.csv:2:25: read 'mm'; write m, the unit of reach_m."),
        ("new,arm,x,reach_m,mm,,1900,,", "own.csv:2:19: read 'mm'; write m, the unit of reach_m."),
        ("fenced_20,arm,x,reach_m,m,,0,,", "own.csv:2:28: read '0'; write a number above 0."),
        ("floor_track,mount,x,gear_ratio,1,,0,,", "own.csv:2:35: read '0'; write a number above 0."),
        ("fenced_20,arm,x,reach_m,m,,far,,",
         "own.csv:2:28: read 'far'; write a plain number with a decimal point, such as 1250.5."),
    ],
)  # fmt: skip
def test_a_wrong_row_is_refused_with_its_place(tmp_path: Path, row: str, words: str) -> None:
    """Kind, unit, sign and number are looked at."""
    assert errors_of(written(tmp_path, ",".join(COLUMNS) + "\n" + row + "\n"))[0] == words


def test_a_presenter_must_say_what_it_holds(tmp_path: Path) -> None:
    """A presenter without tray, lane or volume could not be filled."""
    rows = [
        f"rack,presenter,Own rack,{name},{unit},,1,," for name, unit in
        (("price", "USD"), ("pick_s", "s"), ("footprint_length_m", "m"), ("footprint_width_m", "m"))
    ]  # fmt: skip
    height, holds = errors_of(written(tmp_path, "\n".join([",".join(COLUMNS), *rows]) + "\n"))

    assert height == "own.csv:5:1: read 'rack'; write a row for rack with the figure stand_height_m."
    assert holds.startswith("own.csv:5:1: read 'rack'; write rows for rack that say what it holds: ")


def test_an_own_arm_without_links_is_refused(tmp_path: Path) -> None:
    """Its reach and its moves could not be worked out: what to add stands there, the heading too."""
    (error,) = errors_of(written(tmp_path, NEW_ARM))

    assert error.startswith("own.csv:11:1: read 'shop_arm'; write the links and joints of shop_arm in a further file: ")
    assert ",".join(LINK_COLUMNS) in error


def test_links_without_an_arm_are_refused(tmp_path: Path) -> None:
    """Nobody has said what the arm carries or costs."""
    assert errors_of(linked(tmp_path, "other")) == [
        "links.csv:2:1: read 'other'; write rows for other of the kind arm in a file of components."
    ]


def test_links_that_do_not_reach_as_far_as_the_arm_says_are_refused(tmp_path: Path) -> None:
    """Lengths in another unit, most often: the arm says 1.6 m and the links reach 1.2 m."""
    (error,) = errors_of(written(tmp_path, NEW_ARM), linked(tmp_path, scale=0.7))

    words = "write lengths in metres that fit: the links of shop_arm reach 1.23 m, its reach_m is 1.6 m."
    assert error == f"own.csv:11:1: read '1.6'; {words}"


def test_new_links_of_a_built_in_arm_take_the_place_of_the_old_ones(tmp_path: Path) -> None:
    """A second file is enough: the arm is there."""
    whole = read_catalogue(components=(linked(tmp_path, "fenced_20", scale=1.05),))

    assert whole.arms["fenced_20"].joints[1].a_m == pytest.approx(1.05 * 0.78)
    assert whole.components["fenced_20"].figures["joint_1_speed"].basis == "given"


def test_a_price_for_nothing_is_refused(tmp_path: Path) -> None:
    """An unknown id, with the command that lists the known ones."""
    path = written(tmp_path, ",".join(PRICE_COLUMNS) + "\nfenced_21,,1,,\nfenced_20,,x,,\n")

    assert errors_of(path, prices=True) == [
        "own.csv:2:1: read 'fenced_21'; write the id of a component; `millhand catalogue` lists them.",
        "own.csv:3:12: read 'x'; write a plain number with a decimal point, such as 1250.5.",
    ]


def test_a_beam_must_say_all_that_it_is_placed_by(tmp_path: Path) -> None:
    """A mount of the shop's own with the height of its beam alone."""
    rows = [
        f"hall_beam,mount,Beam of the hall,{name},{unit},,1,," for name, unit in
        (("price", "USD"), ("base_height_m", "m"), ("footprint_length_m", "m"), ("footprint_width_m", "m"),
         ("beam_depth_m", "m"), ("beam_width_m", "m"), ("column_m", "m"))
    ]  # fmt: skip
    errors = errors_of(written(tmp_path, "\n".join([",".join(COLUMNS), *rows]) + "\n"))

    assert errors == [
        f"own.csv:8:1: read 'hall_beam'; write a row for hall_beam with the figure {name}."
        for name in ("carriage_height_m", "span_m")
    ]
