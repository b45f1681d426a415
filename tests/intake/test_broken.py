"""Broken inquiries of every kind: `millhand check` says exactly the expected words; following them mends the file."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from millhand.cli.main import group

BROKEN = Path(__file__).resolve().parents[1] / "broken"
KINDS = sorted(path.name for path in BROKEN.iterdir())


def checked(path: Path) -> Result:
    """What `millhand check` says about a file."""
    return CliRunner().invoke(group, ["check", str(path)])


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder with its bytes."""
    return {path.name: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_corpus_is_large() -> None:
    """At least thirty kinds, each in a folder of its own."""
    assert len(KINDS) >= 30


@pytest.mark.parametrize("kind", KINDS)
def test_a_broken_inquiry_is_told_in_exactly_these_words(kind: str) -> None:
    """Exit 2, all errors at once on standard error, nothing on standard output, nothing written."""
    before = contents(BROKEN / kind)

    result = checked(BROKEN / kind / "broken.yaml")

    assert result.stderr == (BROKEN / kind / "expected.txt").read_text(encoding="utf-8")
    assert (result.exit_code, result.stdout) == (2, "")
    assert contents(BROKEN / kind) == before


@pytest.mark.parametrize("kind", KINDS)
def test_following_the_words_mends_it(kind: str) -> None:
    """The file in which only what the words say was changed can be used."""
    result = checked(BROKEN / kind / "mended.yaml")

    assert (result.exit_code, result.stderr) == (0, "")
    assert "Can be used" in result.stdout
