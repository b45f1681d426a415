"""How often and how long somebody is inside the guard, counted from what the study simulated, and F that follows."""

from millhand.model.fact import Fact
from millhand.model.performance import Performance
from millhand.stages.safeguarding.post import Post
from millhand.trace import decided, found

INSIDE = ("clear", "arm_fault", "tools", "chips")  # duties for which somebody goes in; a refill is done from outside
COUNTED = ("gate", "restart", "restart_field", "door_handshake")  # functions beside that of the guard that it comes to
MORE = (
    "people go in to clear, at changeovers and for tools and chips, as no other side of the machines is drawn: "
    "counted, more than a twentieth of the hours with somebody there, or more often than every quarter of an hour"
)
LESS = (
    "people go in to clear, at changeovers and for tools and chips, as no other side of the machines is drawn: "
    "counted, no more than a twentieth of the hours with somebody there, and less often than every quarter of an hour"
)


def frequency(post: Post, own: Performance | None, judged: Fact) -> Fact:
    """F as counted for this cell, never lower than judged; as judged where nothing was simulated."""
    counted = own is not None and own.output is not None and own.output.attended_share > 0.0
    if own is None or not counted or judged.value > 1.0:
        return judged
    top = f"concepts.{post.concept.id}.safeguarding"
    name = f"{top}.{judged.id.removeprefix('catalogue.').removeprefix('safeguarding.')}"
    known = f"{top}.inside_share"
    share = post.sheet[known] if known in post.sheet else inside(post, own)
    return decided(post.sheet, "counted_frequency", name, {
        "judged": judged, "share": share, "calls_per_h": post.sheet[f"{top}.inside_calls_per_h"],
        "there_share": post.sheet[f"{top}.there_share"],
    })  # fmt: skip


def inside(post: Post, own: Performance) -> Fact:
    """Share of the hours with somebody there in which somebody is inside, with what it is made of as facts."""
    assert own.output is not None
    output, base = own.output, f"concepts.{post.concept.id}"
    words = f"simulation, seed {output.seed}, {output.replications} replications, of cell {output.cell}"

    def counted(name: str, value: float, unit: str) -> Fact:
        fact = Fact(id=f"{base}.safeguarding.{name}", value=value, unit=unit, basis="computed", source=words)
        return found(post.sheet, fact)

    counted("inside_calls_per_h", sum(output.duties[each].mean for each in INSIDE if each in output.duties), "1/h")
    return post.apply(
        "inside_share", "inside_share",
        calls_share=counted(
            "inside_calls_share", sum(output.duty_share[each].mean for each in INSIDE if each in output.duty_share), "1"
        ),
        there_share=counted("there_share", output.attended_share, "1"),
        changeovers_h_per_y=post.sheet[f"{base}.performance.changeovers_h"],
        there_h_per_y=post.sheet[own.attended_h_per_y],
    )  # fmt: skip


def because(counted: Fact, judged: Fact) -> str:
    """Why F is what it is: as counted, or as it was judged."""
    if counted.id == judged.id or judged.value > 1.0:
        return judged.note or ""
    return MORE if counted.value > judged.value else LESS
