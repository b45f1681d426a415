"""The locks hold exact versions and hashes, and no host; they fit what the project asks for."""

import re
import tomllib
from pathlib import Path

import pytest

from tests.house.source_text import TOP

LOCKS = sorted((TOP / "locks").glob("*.txt"))
PROJECT = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))
HOST = re.compile(r"[a-z]+://|--(extra-)?index-url|--find-links|-i ")


def pinned(text: str) -> list[str]:
    """One entry a package: the line with its version and the hashes that follow it."""
    return [entry for entry in re.split(r"\n(?=\S)", text.replace("\\\n", " ")) if entry.strip()]


def name_of(requirement: str) -> str:
    """The package's name in its one normal form."""
    return re.sub(r"[-_.]+", "-", re.split(r"[\s=<>!~;\[]", requirement.strip())[0]).lower()


def test_there_are_three_locks() -> None:
    """Tools, build and development: each step of the setup has its lock."""
    assert [path.name for path in LOCKS] == ["build.txt", "dev.txt", "tools.txt"]


@pytest.mark.parametrize("path", LOCKS, ids=lambda path: path.name)
def test_a_lock_names_no_host(path: Path) -> None:
    """Where packages come from is the matter of the machine that installs them."""
    assert not HOST.search(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", LOCKS, ids=lambda path: path.name)
def test_every_entry_has_one_version_and_a_hash(path: Path) -> None:
    """What is installed is exactly what was locked."""
    entries = pinned(path.read_text(encoding="utf-8"))

    assert entries
    loose = [entry[:60] for entry in entries if not re.match(r"\S+==\S+ .*--hash=sha256:[0-9a-f]{64}", entry)]
    assert not loose


def test_the_locks_hold_all_that_the_project_asks_for() -> None:
    """A dependency that was added without `make lock` is found here."""
    locked = {path.stem: {name_of(entry) for entry in pinned(path.read_text(encoding="utf-8"))} for path in LOCKS}
    asked = [*PROJECT["project"]["dependencies"], *PROJECT["dependency-groups"]["dev"]]

    assert {name_of(requirement) for requirement in asked} <= locked["dev"]
    assert {name_of(requirement) for requirement in PROJECT["build-system"]["requires"]} <= locked["build"]
    assert "uv" in locked["tools"]
