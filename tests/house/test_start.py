"""The help comes at once: no library that costs time is loaded before a command needs it."""

import subprocess
import sys

import pytest

HEAVY = {
    "numpy", "scipy", "pandas", "pydantic", "rich", "ortools", "yaml", "jinja2", "vl_convert", "numba", "fastapi",
    "sqlalchemy",
}  # fmt: skip
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
