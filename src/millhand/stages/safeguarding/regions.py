"""How fast an arm may meet each body region, and the speed near people that follows."""

from millhand.formulas.contact import REGIONS
from millhand.model.fact import Fact
from millhand.model.safeguarding import Region
from millhand.stages.safeguarding.post import Post
from millhand.trace import Sheet, apply, found

TABLES = "isots15066, annex A, tables A.2 and A.3"


def table(sheet: Sheet, region: str, name: str, value: float, unit: str) -> Fact:
    """One figure of the standard's tables as a fact."""
    title = f"contact, {region.replace('_', ' ')}: {name.replace('_', ' ')}"
    return found(
        sheet,
        Fact(id=f"contact.{region}.{name}", value=value, unit=unit, basis="assumed", source=TABLES, title=title),
    )


def clamped_hand(sheet: Sheet) -> Fact:
    """Greatest force on a hand that is caught, which words about closing tools are held against."""
    return table(sheet, "hand_finger", "clamped", REGIONS["hand_finger"].force_n, "N")


def regions(post: Post, flange: Fact) -> tuple[Region, ...]:
    """Every region of the tables with this arm's speed; skull and face allow no contact."""
    mass = apply(
        post.sheet, "effective_robot_mass_kg", post.whole("contact.mass"),
        moving_kg=post.arm.figures["moving_mass_kg"], payload_kg=flange,
    )  # fmt: skip
    found_regions = []
    for name, data in REGIONS.items():
        clamped = table(post.sheet, name, "clamped", data.force_n, "N")
        speed = None
        if data.transient > 0.0:
            speed = apply(
                post.sheet, "speed_of_contact_force_m_s", post.whole(f"contact.{name}.speed"),
                force_n=table(post.sheet, name, "transient", data.force_n * data.transient, "N"),
                stiffness_n_m=table(post.sheet, name, "stiffness", data.stiffness_n_m, "N/m"),
                body_kg=table(post.sheet, name, "mass", data.mass_kg, "kg"), robot_kg=mass,
            )  # fmt: skip
        found_regions.append(Region(name=name, speed=speed.id if speed else None, clamped=clamped.id))
    return tuple(found_regions)


def binding(sheet: Sheet, found_regions: tuple[Region, ...]) -> str:
    """The region that allows least among those that may be met at all."""
    allowed = [each for each in found_regions if each.speed is not None]
    return min(allowed, key=lambda each: sheet.value(each.speed or "")).name


def own_speed(post: Post) -> tuple[Fact, Fact]:
    """The speed and the braking of what moves while nobody is near: the carriage of a track, else the arm."""
    if post.tracked:
        return post.figure("track_speed_m_s"), post.figure("track_accel_m_s2")
    return post.arm.figures["speed_m_s"], post.arm.figures["stop_accel_m_s2"]


def speed_near(post: Post, found_regions: tuple[Region, ...], *, contact: bool) -> Fact:
    """The arm's speed while people are near: where it may touch them that of the binding region, else the reduced one.

    Never above its own, nor above what a carriage is reckoned with near people.
    """
    if contact:
        limits = tuple(post.sheet[each.speed] for each in found_regions if each.speed is not None)
    else:
        limits = (post.figure("reduced_speed_m_s"),)
    track = (post.figure("track_speed_near_people_m_s"),) if post.tracked else ()
    return post.apply("least", "speed_near", values=(*limits, own_speed(post)[0], *track))
