"""The distances that each way to guard must keep, each with its rule and edition."""

from collections.abc import Iterator

from millhand.formulas.separation import crush_gap_m, opening_distance_m
from millhand.model.fact import Fact
from millhand.model.safeguarding import Distance
from millhand.stages.safeguarding.post import Post
from millhand.stages.safeguarding.regions import own_speed
from millhand.trace import apply, found

OLD, NEW = "ISO 13855:2010", "ISO 13855:2024"
OPENINGS, GAPS, MONITORED = "ISO 13857:2019", "ISO 13854:2017", "ISO/TS 15066:2016"
LOW_RISK = "EN 294, as law texts have it"
FROM_FENCE = (".reach_through_mesh", ".fence.over", ".gap_body")  # what counts from a fence to the arm
US_RULE, US = "ANSI B11.19", "US"


def distances(post: Post, near: Fact, country: str) -> tuple[Distance, ...]:
    """Those of this guard."""
    of = {"fence": fence, "curtain": curtain, "scanner": scanner, "force_limiting": gaps}
    return of[post.guard.id](post, near, country)


def printed(post: Post, name: str, value: float, source: str, *rests_on: Fact) -> Fact:
    """A distance that a table gives for the fact's words, with no sum behind it."""
    title = name.replace("_", " ")
    fact = Fact(id=f"safeguarding.{name}", value=value, unit="m", basis="computed", source=source, title=title,
                inputs=tuple(("", each.id) for each in rests_on))  # fmt: skip
    return found(post.sheet, fact)


def stopped(words: str, rule: str, fact: Fact) -> Distance:
    """A distance that rests on the time of a stop: asked for at its far end, since a person finds out one too short."""
    return Distance(words=words, rule=rule, fact=fact.id, end="high")


def gap(post: Post, body_part: str, words: str) -> Distance:
    """A gap that does not crush."""
    fact = printed(post, f"gap_{body_part}", crush_gap_m(body_part), "follows from iso13854, table of least gaps")
    return Distance(words=words, rule=GAPS, fact=fact.id)


def fence(post: Post, near: Fact, country: str) -> tuple[Distance, ...]:
    """From the mesh to the arm's way, through it and over it, and the gap in which a body is not crushed."""
    mesh = post.figure("fence_mesh_m")
    reach = printed(
        post, "reach_through_mesh", opening_distance_m(mesh.value, shape="square"),
        f"follows from {mesh.id}: iso13857, table 4, square opening", mesh,
    )  # fmt: skip
    height = post.figure("fence_height_m")
    return (
        Distance(words="from the mesh to what moves", rule=OPENINGS, fact=reach.id),
        Distance(words="height of the fence", rule=OPENINGS, fact=height.id),
        *over(post, height),
        gap(post, "body", "between what moves and what does not yield, inside"),
    )


def over(post: Post, height: Fact) -> Iterator[Distance]:
    """So far behind the fence may an arm be whose hand gets to any height between the floor and its highest point; for
    an arm that limits its force by the table for a low risk too, where the risk assessment finds that it is low."""
    assert post.concept.mount is not None
    lengths = (post.concept.mount.figures["base_height_m"], post.arm.figures["reach_m"])
    top = post.apply("sum_of_lengths_m", "fence.top", lengths_m=lengths)
    words = "from a fence so high to what moves, over it"
    met = {"fence_m": height, "low_m": post.figure("floor_level_m"), "top_m": top}
    yield Distance(words=words, rule=OPENINGS, fact=post.apply("over_fence_distance_m", "fence.over", **met).id)
    if post.limits_force:
        low = post.apply("over_fence_low_risk_distance_m", "fence.over_low_risk", **met)
        yield Distance(words=f"{words}, where the risk is found to be low", rule=LOW_RISK, fact=low.id)


def stopping(post: Post, device: str, speed: Fact, name: str) -> Fact:
    """From detection to standstill at one speed."""
    return post.apply(
        "overall_stopping_s", f"{name}.stopping",
        device_s=post.figure(device), control_s=post.figure("stop_reaction_s"), speed_m_s=speed,
        decel_m_s2=own_speed(post)[1],
    )  # fmt: skip


def curtain(post: Post, near: Fact, country: str) -> tuple[Distance, ...]:
    """From the curtain to the arm's way, by both editions, and by the rule of the United States there."""
    inputs = {
        "stopping_s": stopping(post, "curtain_reaction_s", own_speed(post)[0], "curtain"),
        "resolution_m": post.figure("curtain_resolution_m"),
    }
    words = "from the curtain to what moves"
    found_distances = [
        stopped(words, rule, post.apply(formula, name, **inputs))
        for rule, formula, name in (
            (OLD, "separation_2010_curtain_m", "curtain.by_2010"),
            (NEW, "separation_2024_curtain_m", "curtain.by_2024"),
            *(((US_RULE, "separation_b11_19_m", "curtain.by_us_rule"),) if country == US else ()),
        )
    ]
    return (*found_distances, gap(post, "body", "between what moves and what does not yield, inside"))


def scanner(post: Post, near: Fact, country: str) -> tuple[Distance, ...]:
    """Where the slow field and the stop field must begin, and the field of a plain stop by both editions."""
    own = own_speed(post)[0]
    whole = stopping(post, "scanner_reaction_s", own, "scanner")
    old = post.apply(
        "separation_2010_scanner_m", "scanner.by_2010", stopping_s=whole, height_m=post.figure("scanner_height_m")
    )
    new = post.apply("separation_2024_scanner_m", "scanner.by_2024", stopping_s=whole)
    return (
        stopped("the slow field begins", MONITORED, monitored(post, own, "slow_field")),
        stopped("the stop field begins", MONITORED, monitored(post, near, "stop_field")),
        stopped("a field that stops the arm at full speed", OLD, old),
        stopped("a field that stops the arm at full speed", NEW, new),
    )


def monitored(post: Post, speed: Fact, name: str) -> Fact:
    """The separation at which an arm at one speed must begin to stop."""
    brakes = own_speed(post)[1]
    return post.apply(
        "separation_speed_monitored_m", name,
        human_speed_m_s=post.figure("person_speed_m_s"), robot_speed_m_s=speed,
        reaction_s=apply(
            post.sheet, "attendant_work_s", post.whole("reaction"),
            elements_s=(post.figure("scanner_reaction_s"), post.figure("stop_reaction_s")),
        ),
        stopping_s=post.apply("ramp_s", f"{name}.braking", speed_m_s=speed, accel_m_s2=brakes),
        stopping_path_m=post.apply("stopping_path_m", f"{name}.path", speed_m_s=speed, decel_m_s2=brakes),
        allowances_m=post.figure("monitoring_allowance_m"),
    )  # fmt: skip


def gaps(post: Post, near: Fact, country: str) -> tuple[Distance, ...]:
    """Gaps in which hand, arm and head are not crushed: force limiting keeps nobody away."""
    return tuple(gap(post, part, f"gap in which no {part} is crushed") for part in ("hand", "arm", "head"))
