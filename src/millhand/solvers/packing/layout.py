"""Where each part of a tray in up to five blocks lies, for a drawing or for the arm's points."""

from collections.abc import Iterator
from dataclasses import dataclass

from millhand.formulas.blocks import five_blocks, rows_of_parts


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """Parts in columns and rows that all lie the same way, from the lower left corner of the block."""

    x_m: float
    y_m: float
    columns: int
    rows: int
    part_x_m: float  # what one part takes along the length of the tray
    part_y_m: float
    turned: bool  # by a quarter: the part's length lies across


def blocks_of(length_m: float, *, width_m: float, part_length_m: float, part_width_m: float) -> tuple[Block, ...]:
    """The blocks of the pattern with the most parts, those with parts in them only; sizes with their gaps."""
    _, cuts = five_blocks(length_m, width_m=width_m, part_length_m=part_length_m, part_width_m=part_width_m)
    upper, lower, left, right = cuts.upper_left_m, cuts.lower_left_m, cuts.left_m, cuts.right_m
    rooms = (
        (0.0, 0.0, lower, left),
        (lower, 0.0, length_m - lower, right),
        (upper, right, length_m - upper, width_m - right),
        (0.0, left, upper, width_m - left),
        (upper, left, lower - upper, right - left),
    )
    found = (filled(room, (part_length_m, part_width_m)) for room in rooms)
    return tuple(block for block in found if block.columns * block.rows > 0)


def filled(room: tuple[float, float, float, float], part: tuple[float, float]) -> Block:
    """One block: x, y, length and width of its room, filled the better way round."""
    x_m, y_m, along_m, across_m = room
    columns, rows, turned = rows_of_parts(along_m, width_m=across_m, part_length_m=part[0], part_width_m=part[1])
    part_x_m, part_y_m = (part[1], part[0]) if turned else part
    return Block(
        x_m=x_m, y_m=y_m, columns=columns, rows=rows, part_x_m=part_x_m, part_y_m=part_y_m, turned=turned
    )  # fmt: skip


def middles(block: Block) -> Iterator[tuple[float, float]]:
    """Middle of each part of a block, row by row."""
    for row in range(block.rows):
        for column in range(block.columns):
            yield block.x_m + (column + 0.5) * block.part_x_m, block.y_m + (row + 0.5) * block.part_y_m
