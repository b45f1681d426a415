"""How far a cell reaches along the floor, held against the sides of the floor that is free."""

from millhand.model.layout import Drawn, Spot
from millhand.stages.layout.drawn import named
from millhand.stages.layout.overhead import on_floor
from millhand.stages.layout.placing import Stage
from millhand.trace import apply


def outline(stage: Stage, picture: Drawn, pieces: tuple[Spot, ...]) -> tuple[str, ...]:
    """To the east and to the north: all that is new, its fence, and the door planes that it stands at. Nothing where
    nobody told the sides of the floor."""
    if stage.ground.inquiry.wishes.floor_sides is None:
        return ()
    sheet, under = stage.ground.sheet, f"concepts.{stage.ground.concept.id}.layout.outline"
    point = apply(sheet, "sum_of_lengths_m", "layout.door_extent", lengths_m=())
    own = {each.name for each in named(stage, on_floor(stage, pieces))}
    new = [each for each in picture.pieces if each.name in own]
    at = [(each.x_m, each.y_m) for each in picture.openings]
    at += [end for each in picture.fence for end in ((each.x_m, each.y_m), (each.to_x_m, each.to_y_m))]
    found = []
    for axis, middles, lengths in (
        ("east", (*(each.x_m for each in new), *(x for x, _ in at)), [each.width_m for each in new]),
        ("north", (*(each.y_m for each in new), *(y for _, y in at)), [each.depth_m for each in new]),
    ):
        sizes = (*(sheet[each] for each in lengths), *(point for _ in at))
        reach = apply(
            sheet, "outline_m", f"{under}.{axis}", middles_m=tuple(sheet[each] for each in middles), lengths_m=sizes
        )
        found.append(reach.id)
    return tuple(found)
