"""Words that no file of the project may hold: promises of safety, paths of one machine, hosts of registries."""

import re
from pathlib import Path

import pytest

from tests.house.source_text import TOP, short

KINDS = {".py", ".md", ".toml", ".yaml", ".yml", ".json", ".csv", ".html", ".css", ".js", ".txt", ".j2", ""}
FOLDERS = ("src", "docs", "examples", "tests", "benchmarks", "locks", ".ci")
LOOSE = ("README.md", "CONTRIBUTING.md", "CHANGELOG.md", "Makefile", "pyproject.toml")
SEEN_BY_USERS = ("src", "docs", "examples", "README.md", "CHANGELOG.md")

# Built from pieces, so that this file does not hold what it looks for.
HOSTS = re.compile("|".join((r"py" + r"pi\.org", r"python" + r"hosted", r"npm" + r"js\.", r"deb\." + r"debian")))
PATHS = re.compile(r"(?<![\w.])/(?:wo" + r"rk|fa" + r"rm|ro" + r"ot|ho" + r"me|Users)/|/tm" + r"p/\w")
PROMISES = re.compile(r"\b(?:sa" + r"fe|com" + r"pliant|com" + r"pliance)\b", re.IGNORECASE)


def project_files() -> list[Path]:
    """Every text file that belongs to the project."""
    found = [TOP / name for name in LOOSE if (TOP / name).is_file()]
    for folder in FOLDERS:
        found += [path for path in sorted((TOP / folder).rglob("*")) if path.is_file() and path.suffix in KINDS]
    return [path for path in found if "__pycache__" not in path.parts]


def lines_with(pattern: re.Pattern[str], paths: list[Path]) -> list[str]:
    """Where a pattern stands, as file:line: text."""
    return [
        f"{short(path)}:{number}: {line.strip()[:80]}"
        for path in paths
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="ignore").splitlines(), start=1)
        if pattern.search(line)
    ]


FILES = project_files()


@pytest.mark.parametrize("pattern", [HOSTS, PATHS], ids=["hosts", "paths"])
def test_no_file_knows_the_machine_it_was_written_on(pattern: re.Pattern[str]) -> None:
    """Neither a registry's host nor a path of somebody's disk stands in a file."""
    assert not lines_with(pattern, FILES)


def test_nothing_is_promised_that_only_a_risk_assessment_can_say() -> None:
    """What a reader meets never calls anything by the words that only competent persons may use."""
    met = [path for path in FILES if short(path).startswith(SEEN_BY_USERS)]

    assert not lines_with(PROMISES, met)


def test_the_patterns_find_what_they_look_for() -> None:
    """Each pattern finds an example, and leaves an innocent line alone."""
    assert HOSTS.search("https://files.python" + "hosted.org/x")
    assert PATHS.search("see /ho" + "me/somebody/x")
    assert PATHS.search("in /tm" + "p/x")
    assert PROMISES.search("this cell is sa" + "fe")
    assert not PATHS.search("framework/house")
    assert not PROMISES.search("safeguarding, safety distance")
