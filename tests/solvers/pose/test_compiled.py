"""Warming up compiles every loop of the package, so that no study has to."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from millhand.cli.main import group
from millhand.solvers.pose import compiled, gap_loop


def test_every_loop_for_the_compiler_is_warmed_up(monkeypatch: pytest.MonkeyPatch) -> None:
    """As many as the source marks as an entry; each asked for once."""
    source = Path(gap_loop.__file__).read_text(encoding="utf-8")
    asked: list[str] = []
    monkeypatch.setattr(compiled, "_loop", lambda name, takes: asked.append(name))
    for each in (compiled.gap_loop, compiled.ends_loop):
        each.cache_clear()
    compiled.warm_up()
    for each in (compiled.gap_loop, compiled.ends_loop):
        each.cache_clear()

    assert sorted(asked) == sorted(re.findall(r"@entry\ndef (\w+)", source))
    assert len(asked) == len(set(asked)) == 2


def test_the_command_warms_up_the_poses_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Beside the simulation and the draws of cases, each once."""
    asked: list[str] = []
    monkeypatch.setattr("millhand.cli.warm_up.warm_up", lambda watch, runner: asked.append("simulation") or 3)
    monkeypatch.setattr("millhand.cli.warm_up.warm_up_cases", lambda: asked.append("cases"))
    monkeypatch.setattr("millhand.cli.warm_up.warm_up_poses", lambda: asked.append("poses"))
    result = CliRunner().invoke(group, ["warm-up"])

    assert result.exit_code == 0
    assert sorted(asked) == ["cases", "poses", "simulation"]
    assert result.output.startswith("Layout and simulation are ready, for cells of 3 kinds (")
