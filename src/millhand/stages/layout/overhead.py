"""A beam on columns under which the arm hangs: what the search is told of it, and what it found, as facts."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from millhand.model.concept import Component
from millhand.model.fact import Fact
from millhand.model.layout import Overhead, Spot
from millhand.solvers.placing.site import Beam, Rect
from millhand.stages.layout.ground import Ground
from millhand.stages.layout.placing import PLACED, Stage
from millhand.trace import apply

HEIGHTS = 5  # of the foot that are tried, over the range of the mount


def ceiling(ground: Ground) -> Fact:
    """Clear height over the cell: as the shop says, else as it usually is."""
    return ground.inquiry.wishes.height_m or ground.figure("ceiling_m")


def beam_of(ground: Ground, mount: Component) -> Beam | None:
    """The beam as numbers; None where the arm does not hang."""
    if "beam_depth_m" not in mount.figures:
        return None
    sizes = {name: mount.figures[name].value for name in ("beam_depth_m", "beam_width_m", "column_m", "span_m")}
    return Beam(
        depth_m=sizes["beam_depth_m"], width_m=sizes["beam_width_m"], column_m=sizes["column_m"],
        span_m=sizes["span_m"], carriage_m=mount.figures["carriage_height_m"].value, ram_m=_ram_m(ground),
        above_m=ground.figure("above_beam_m").value, ceiling_m=ceiling(ground).value,
    )  # fmt: skip


def _ram_m(ground: Ground) -> float:
    """How far a loader's ram goes up beyond the flange of its hand; nothing for other arms."""
    arm = ground.concept.arm
    assert arm is not None
    ram = arm.figures.get("ram_m")
    return ram.value if ram is not None else 0.0


def heights_of(mount: Component) -> tuple[float, ...]:
    """Heights of the foot that are tried, the lowest first: over the range of the mount where it can be built so."""
    usual = mount.figures["base_height_m"]
    if mount.words.get("height") != "chosen" or usual.low is None or usual.high is None:
        return ()
    step = (usual.high - usual.low) / (HEIGHTS - 1)
    return tuple(round(usual.low + step * n, 6) for n in range(HEIGHTS))


def overhead(stage: Stage) -> Overhead | None:
    """How high it all goes and how far apart the columns stand; None where nothing hangs."""
    mount, sheet = stage.ground.concept.mount, stage.ground.sheet
    assert mount is not None
    if stage.kit.beam is None:
        return None
    base = f"concepts.{stage.ground.concept.id}.layout"
    parts = (foot_height(stage), mount.figures["carriage_height_m"], mount.figures["beam_depth_m"])
    beam = apply(sheet, "sum_of_lengths_m", f"{base}.beam.top", lengths_m=parts)
    arm = stage.fact("arm.top", stage.plan.top_m, "m", PLACED)
    top = apply(sheet, "greatest_of_lengths_m", f"{base}.overhead.top", lengths_m=(beam, arm))
    low = apply(sheet, "sum_of_lengths_m", f"{base}.beam.low", lengths_m=parts[:2])
    return Overhead(
        hangs="ram" if stage.kit.on_beam else "arm", foot=(low if stage.kit.on_beam else parts[0]).id, beam_low=low.id,
        beam_top=beam.id, arm_top=arm.id, top=top.id, ceiling=ceiling(stage.ground).id,
        span=stage.fact("beam.span", stage.plan.span_m, "m", PLACED).id,
    )  # fmt: skip


def foot_height(stage: Stage) -> Fact:
    """What the arm is bolted to, above the floor: as the mount has it, or as the search chose."""
    mount = stage.ground.concept.mount
    assert mount is not None
    if not stage.kit.heights_m:
        return mount.figures["base_height_m"]
    return stage.fact("arm.foot_height", stage.plan.foot_m, "m", PLACED)


def columns(stage: Stage) -> Iterator[Spot]:
    """Where the columns of a beam stand."""
    for number, rect in enumerate(stage.plan.columns, start=1):
        yield spot(stage, f"column_{number}", replace(rect, name=f"column {number}"))


def on_floor(stage: Stage, pieces: Iterable[Spot]) -> tuple[Spot, ...]:
    """The pieces that take floor: a ram works over the machines, and the strip under an arm that hangs is taken."""
    return tuple(each for each in pieces if each.name != "arm" or not stage.kit.on_beam)


def beam(stage: Stage) -> Iterator[Spot]:
    """The beam over the strip, from the first column to the last."""
    row, over, wide = stage.plan.columns, stage.plan.arm, stage.kit.beam
    if wide is None:
        return
    first, last = row[0], row[-1]
    far = abs(last.x_m - first.x_m) + abs(last.y_m - first.y_m)
    if over.width_m >= over.depth_m:
        long = replace(over, x_m=(first.x_m + last.x_m) / 2.0, width_m=far, depth_m=wide.width_m)
    else:
        long = replace(over, y_m=(first.y_m + last.y_m) / 2.0, width_m=wide.width_m, depth_m=far)
    yield spot(stage, "beam", replace(long, name="beam"))


def spot(stage: Stage, name: str, rect: Rect) -> Spot:
    """A rectangle as facts under a name of its own."""
    measures = {"x": rect.x_m, "y": rect.y_m, "width": rect.width_m, "depth": rect.depth_m}
    ids = {key: stage.fact(f"{name}.{key}", value, "m", PLACED).id for key, value in measures.items()}
    return Spot(name=rect.name, x_m=ids["x"], y_m=ids["y"], width_m=ids["width"], depth_m=ids["depth"])
