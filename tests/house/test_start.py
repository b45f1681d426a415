"""The help comes at once: no library that costs time is loaded before a command needs it."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from millhand.cli.main import COMMANDS
from tests.house.source_text import TOP

HEAVY = {
    "numpy", "scipy", "pandas", "pydantic", "rich", "ortools", "yaml", "jinja2", "vl_convert", "numba", "fastapi",
    "sqlalchemy", "python_calamine", "xlsxwriter",
}  # fmt: skip
ONE_AFTER_THE_OTHER = """
import json, runpy, sys
for words in json.loads(sys.argv[1]):
    sys.argv = ["millhand", *words]
    try:
        runpy.run_module("millhand", run_name="__main__")
        code = 0
    except SystemExit as end:
        code = end.code or 0
    print("ended", json.dumps([code, sorted({name.partition(".")[0] for name in sys.modules})]), flush=True)
"""
LOADED = "; import sys; print('loaded', *{name.partition('.')[0] for name in sys.modules})"
STARTS = {
    "help": "import runpy, sys; sys.argv = ['millhand', '--help']\n"
    "try: runpy.run_module('millhand', run_name='__main__')\nexcept SystemExit: pass\npass",
    "package": "import millhand",
    "commands": "from millhand.cli.main import COMMANDS",
}


@pytest.mark.parametrize("start", STARTS.values(), ids=STARTS)
def test_a_start_loads_nothing_heavy(start: str) -> None:
    """A fresh process that only shows its help, or only loads the package, knows none of the heavy libraries."""
    run = subprocess.run([sys.executable, "-c", start + LOADED], capture_output=True, text=True, check=True)

    loaded = set(run.stdout.splitlines()[-1].split())
    assert "loaded" in loaded
    assert not loaded & HEAVY


NOT_SIMULATING = [
    ["account", "add", "--help"],
    ["check", "examples/1_two_mills/inquiry.yaml"],
    ["schema", "inquiry"],
    ["schema", "cell"],
    ["schema", "study"],
    ["catalogue"],
    ["formula"],
    ["formula", "move_time_s"],
    ["new", "{folder}"],
    ["schedule", "examples/cells/one_arm_two_grippers.json"],
    ["portfolio", "tests/golden/study_2.json"],
    ["questions", "tests/golden/inquiry_1.yaml", "--json"],
    ["answers", "tests/golden/inquiry_1.yaml", "tests/golden/questions_1.xlsx"],
    ["compare", "tests/golden/study_2.json", "tests/golden/study_2.json"],
    *([name, "--help"] for name in COMMANDS),
]
SIMULATING = {
    "parts",
    "simulate",
    "starter",
    "study",
    "serve",
    "today",
    "warm-up",
}  # a starter's cell is placed by compiled code


def ended(commands: list[list[str]]) -> list[tuple[int, set[str]]]:
    """How each of some commands ended, run one after the other in one fresh process, and what was loaded by then."""
    asked = [sys.executable, "-c", ONE_AFTER_THE_OTHER, json.dumps(commands)]
    run = subprocess.run(asked, capture_output=True, text=True, cwd=TOP)
    told = [json.loads(line.partition(" ")[2]) for line in run.stdout.splitlines() if line.startswith("ended ")]

    assert len(told) == len(commands), run.stderr
    return [(code, set(loaded)) for code, loaded in told]


def test_a_command_that_does_not_simulate_loads_no_compiler(tmp_path: Path) -> None:
    """Half a second and a compiler's memory are for those alone who run a cell; each such command ends well."""
    given = [[word.format(folder=tmp_path / "job") for word in words] for words in NOT_SIMULATING]

    for words, (code, loaded) in zip(given, ended(given), strict=True):
        assert code == 0, words
        assert "millhand" in loaded
        assert not loaded & {"numba", "llvmlite"}, words


def test_a_command_that_simulates_loads_the_compiler() -> None:
    """The look at what is loaded sees the compiler where it is."""
    given = ["simulate", "examples/cells/one_operator_two_mills.json", "--hours", "1", "--replications", "2"]
    ((code, loaded),) = ended([given])

    assert code == 0
    assert "numba" in loaded


def test_every_command_is_known_to_simulate_or_not_to() -> None:
    """A new command must be put into one of the two lists."""
    assert {words[0] for words in NOT_SIMULATING if words[1:] != ["--help"]} | SIMULATING == set(COMMANDS)
