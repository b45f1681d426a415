"""`millhand warm-up`: every kind of cell is compiled, by as many processes as one says."""

import json

import pytest
from click.testing import CliRunner

from millhand.cli import warm_up as warm_up_command
from millhand.cli.main import group
from millhand.run import LocalRunner, Nobody, Runner, Watch
from millhand.solvers.kernel import running
from millhand.solvers.kernel.records import SHAPES


def test_every_kind_is_compiled_the_largest_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each shape once: what takes longest is begun first, so that several processes end together."""
    seen: list[object] = []
    monkeypatch.setattr(running, "loop_for", seen.append)

    assert running.warm_up(Nobody(), LocalRunner()) == len(SHAPES)
    assert seen == list(reversed(SHAPES))


def test_the_command_works_in_as_many_processes_as_it_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """They compile the kinds of cells; the loops beside them are compiled too; how many kinds is told."""
    seen: dict[str, object] = {}

    def compiling(_: Watch, runner: Runner) -> int:
        seen["runner"] = runner
        return 4

    monkeypatch.setattr(warm_up_command, "warm_up", compiling)
    for name in ("warm_up_cases", "warm_up_poses"):
        monkeypatch.setattr(warm_up_command, name, lambda name=name: seen.update({name: True}))
    told = CliRunner().invoke(group, ["warm-up", "--workers", "3", "--json"])

    assert json.loads(told.stdout)["shapes"] == 4
    assert seen == {"runner": LocalRunner(workers=3), "warm_up_cases": True, "warm_up_poses": True}
