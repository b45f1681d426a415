"""`millhand simulate CELL`: what a cell puts out, attended and alone, with intervals."""

import json
from pathlib import Path
from textwrap import fill

import click

from millhand.cli.exits import exits
from millhand.cli.progress import watching
from millhand.cluster import HELP, runner_at
from millhand.intake.cell import read_cell
from millhand.model.canonical import canonical
from millhand.model.performance import Figure, Output
from millhand.solvers.kernel.replications import Plan, log_lines, simulate

MOST_H = 10_000_000.0  # a thousand years, which nobody waits for
SHIFT_H = 8.0  # duties are told per eight hours of the horizon
WIDTH = 80
ABREAST = 6  # columns of a table


@click.command(name="simulate")
@click.argument("cell", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--hours", default=168.0, show_default=True, help="Simulated hours of each replication.")
@click.option("--replications", default=10, show_default=True, help="How many replications.")
@click.option("--seed", default=1, show_default=True, help="The same seed gives the same numbers.")
@click.option("--warm-up", default=0.0, show_default=True, help="Hours cut off at the start of each replication.")
@click.option("--log", type=click.Path(dir_okay=False, path_type=Path), help="Write the first replication's events.")
@click.option("--scheduler", metavar="ADDRESS", help=HELP)
@click.option("--json", "as_json", is_flag=True, help="Write JSON for machines.")
@exits
def command(
    cell: Path,
    hours: float,
    replications: int,
    seed: int,
    warm_up: float,
    log: Path | None,
    scheduler: str | None,
    as_json: bool,
) -> None:
    """Simulate the CELL file: parts an hour with 95 % intervals, states of machines and attendants, duties."""
    if not 0.0 <= warm_up <= MOST_H:
        raise click.BadParameter(f"{warm_up:g} is not from 0 to {MOST_H:.0f}.", param_hint="--warm-up")
    for name, value, least in (("--hours", hours, warm_up), ("--replications", replications, 0)):
        if not value > least:
            raise click.BadParameter(f"{value:g} is not more than {least:g}.", param_hint=name)
        if value > MOST_H:
            raise click.BadParameter(f"{value:g} is more than {MOST_H:.0f}.", param_hint=name)
    runner = runner_at(scheduler, cache=None) if scheduler is not None else None
    loaded = read_cell(cell)
    if (hours - warm_up) * 3600.0 < loaded.grid_s:
        raise click.BadParameter(f"{hours:g} leaves less than one step of the cell's grid.", param_hint="--hours")
    with watching() as watch:
        plan = Plan(runner=runner, watch=watch, warm_up_hours=warm_up)
        output = simulate(loaded, hours=hours, replications=replications, seed=seed, plan=plan)
    if log is not None:
        log.write_text("".join(f"{json.dumps(line)}\n" for line in log_lines(loaded, hours=hours, seed=seed)), "utf-8")
    if as_json:
        click.echo(canonical(output), nl=False)
    else:
        _show(loaded.name, output)


def _show(name: str, output: Output) -> None:
    """The answer as text that also reads well when it is piped."""
    click.echo(f"{name}\n{output.replications} replications of {output.horizon_s / 3600:g} h, seed {output.seed}\n")
    for word, figure in (("parts", output.parts_per_h), ("good parts", output.good_per_h)):
        click.echo(f"{word:<12} {_per_h(figure)}")
    share = output.attended_share
    if 0 < share < 1:
        for word, at, part in (("attended", "attended", share), ("alone", "unattended", 1 - share)):
            figure = output.counts[at]
            click.echo(f"{word:<12} {_scaled(figure, 1 / part)}, in {part:.0%} of the time")
    _show_alone(output)
    click.echo()
    for owners in _tables(output):
        _table(owners)
    for duty, figure in output.duties.items():
        time = output.duty_share[duty].mean
        click.echo(f"{duty:<32} {figure.mean * SHIFT_H:6.2f} times and {time * SHIFT_H * 60:6.1f} min in 8 h")
    click.echo()
    for words in output.left_out:
        click.echo(fill(f"Left out: {words}.", width=WIDTH))


def _show_alone(output: Output) -> None:
    """How long it ran with nobody there."""
    alone = output.alone_s
    if not alone.get("absences"):
        return
    known = [f"{label} {alone[key] / 3600:.2f} h" for label, key in LABELS if key in alone]
    words = ", ".join(known) if known else "nobody was needed most times"
    click.echo(f"{'alone until':<12} {words} ({alone['absences']:.0f} absences)")


LABELS = (("1 in 10 by", "p10_s"), ("half by", "p50_s"), ("9 in 10 by", "p90_s"))


def _per_h(figure: Figure) -> str:
    """A rate with its interval."""
    return f"{figure.mean:8.3f} an hour ({figure.low:.3f} to {figure.high:.3f})"


def _scaled(figure: Figure, factor: float) -> str:
    """A rate within a part of the time."""
    return _per_h(Figure(mean=figure.mean * factor, low=figure.low * factor, high=figure.high * factor))


def _tables(output: Output) -> list[dict[str, dict[str, float]]]:
    """Stations, then attendants, at most so many side by side as fit; only states that occur."""
    people = {"travelling", "carrying", "handling", "on_duty", "idle", "break", "waiting_station", "stopped", "slowed"}
    names: dict[bool, list[str]] = {True: [], False: []}
    for owner, states in output.states.items():
        names[bool(set(states) & people)].append(owner)
    return [
        {owner: dict(output.states[owner]) for owner in owners[at : at + ABREAST]}
        for owners in (names[False], names[True])
        for at in range(0, len(owners), ABREAST)
    ]


def _table(owners: dict[str, dict[str, float]]) -> None:
    """Shares of time: one line a state, one column a station or attendant."""
    from rich import box
    from rich.console import Console
    from rich.table import Table

    states = list(dict.fromkeys(state for shares in owners.values() for state in shares))
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 1, 0, 0))
    table.add_column("share of time", no_wrap=True)
    for owner in owners:
        table.add_column(owner, justify="right")
    for state in states:
        cells = (f"{shares[state]:.1%}" if state in shares else "-" for shares in owners.values())
        table.add_row(state.replace("_", " "), *cells)
    console = Console(width=WIDTH, color_system=None)
    with console.capture() as shown:
        console.print(table)
    click.echo("\n".join(line.rstrip() for line in shown.get().strip().splitlines()) + "\n")
