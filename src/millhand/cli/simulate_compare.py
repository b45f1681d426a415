"""The answer of `millhand simulate` for several cells: each by itself, each against the first, and which is best."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from millhand.cli.simulate_show import Block, joined
from millhand.cli.simulate_table import between, fine_percent, paragraph, percent, table
from millhand.model.cell import Cell
from millhand.model.performance import Output
from millhand.solvers.output.contest import Contest
from millhand.solvers.output.per_shift import good_alone, rates
from millhand.solvers.output.ranking import Standing
from millhand.solvers.output.selection import Selection

INDENT = " " * 9


def comparison(loaded: Mapping[Path, Cell], outputs: Sequence[Output], *, found: Contest) -> Iterator[str]:
    """All lines; cells go by numbers, whose meaning stands first."""
    told = {label(number): output for number, output in enumerate(outputs, start=1)}
    blocks = (
        _legend(loaded),
        [_runs_words(told)],
        _each(told),
        _against(found),
        _verdict(found),
        _left_out(told),
    )
    yield from joined(blocks)


def label(number: int) -> str:
    """How a cell is called in the comparison."""
    return f"cell {number}"


def _legend(loaded: Mapping[Path, Cell]) -> Block:
    """Number, file and name of each cell."""
    lines: Block = []
    for number, (file, cell) in enumerate(loaded.items(), start=1):
        first, *rest = paragraph(str(file), indent=INDENT)
        lines += [f"{label(number):<{len(INDENT)}}{first.lstrip()}", *rest, *paragraph(cell.name, indent=INDENT)]
    return lines


def _runs_words(told: Mapping[str, Output]) -> str:
    """What was run."""
    one = next(iter(told.values()))
    return f"Replications of {one.horizon_s / 3600:g} h, seed {one.seed} for all cells"


def _each(told: Mapping[str, Output]) -> Block:
    """Each cell by itself."""
    rows = []
    for name, output in told.items():
        alone = good_alone(output)
        rows.append(
            (
                name,
                f"{output.good_per_h.mean:.3f}",
                between(output.good_per_h, 3),
                f"{rates(output)[1].per_week.mean:.0f}",
                "-" if alone is None else f"{alone.per_week.mean:.0f}",
                str(output.replications),
            )
        )
    return table(("", "good an hour", "95 % interval", "a week", "alone", "runs"), rows)


def _against(found: Contest) -> Block:
    """Paired differences against the first cell."""
    rows = [
        (
            f"{name} less {found.first}",
            f"{each.difference.mean:+.3f}",
            f"{each.difference.low:+.3f} to {each.difference.high:+.3f}",
            "-" if each.gain is None else f"{each.gain:.{0 if each.gain >= 100 else 1}f}",
        )
        for name, each in found.against_first.items()
    ]
    lines = table(("good an hour", "difference", "95 % interval", "gain"), rows)
    return lines + paragraph(
        "All cells met the same chance, replication by replication; gain: so many times as many independent "
        "replications would have given the same interval."
    )


def _verdict(found: Contest) -> Block:
    """Which is best, and how surely."""
    if found.selection is None and found.standing is None:
        return ["No cell made a good part, so none is best."]
    words = _selection_words(found.selection) if found.selection else _standing_words(found.standing)
    zone = f"{found.indifference:.3f} good parts an hour ({fine_percent(found.zone)} of the greatest)"
    return paragraph(f"{words} A lead below {zone} is taken not to matter.")


def _standing_words(stands: Standing | None) -> str:
    """How the ranking stands."""
    if stands is None:
        return ""
    words = f"With a chance of at least {percent(stands.chance)} {stands.statement}."
    if stands.settled:
        return words
    lacking = f"{stands.more} more replications of each would settle it" if stands.more else "no number would settle it"
    return f"{words} Ahead is {stands.best}; {lacking}, if things go on so."


def _selection_words(found: Selection) -> str:
    """How the selection ended."""
    if found.ended_by == "most":
        return (
            f"No choice yet, the most replications are done: left are {', '.join(found.left)}; ahead is {found.best}."
        )
    return (
        f"Chosen is {found.best}: with a chance of at least {percent(found.chance)} it is the best, or worse than the "
        "best by less than matters."
    )


def _left_out(told: Mapping[str, Output]) -> Block:
    """What no cell's simulation holds, each thing once."""
    words = dict.fromkeys(words for output in told.values() for words in output.left_out)
    return [line for each in words for line in paragraph(f"Left out: {each}.")]
