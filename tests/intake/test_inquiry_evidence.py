"""Files beside an inquiry: inside its folder, there, files, and not too large."""

from pathlib import Path

import pytest

from millhand.intake.inquiry_evidence import LIMIT_MB, file_trouble


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a photo, a large file, an inner folder and a link out of it."""
    inside = tmp_path / "job"
    (inside / "photos").mkdir(parents=True)
    (inside / "photos" / "door.jpg").write_bytes(b"a photo")
    with (inside / "large.bin").open("wb") as stream:
        stream.truncate(LIMIT_MB * 1_000_000 + 1)
    (tmp_path / "secret.txt").write_text("outside")
    (inside / "link.txt").symlink_to(tmp_path / "secret.txt")
    (inside / "inner.jpg").symlink_to(inside / "photos" / "door.jpg")
    return inside


@pytest.mark.parametrize("name", ["photos/door.jpg", "./photos/door.jpg", "inner.jpg"])
def test_a_file_inside_is_evidence(folder: Path, name: str) -> None:
    """Also in a folder below, also by a link that stays inside."""
    assert file_trouble(name, folder) is None


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("../secret.txt", "evidence_outside"), ("photos/../../secret.txt", "evidence_outside"),
        ("/etc/hostname", "evidence_outside"), ("C:\\secret.txt", "evidence_outside"), ("link.txt", "evidence_link"),
        ("none.jpg", "evidence_missing"), ("photos", "evidence_folder"), ("large.bin", "evidence_large"),
    ],
)  # fmt: skip
def test_everything_else_is_refused(folder: Path, name: str, code: str) -> None:
    """Each way out has its code and says what to write."""
    trouble = file_trouble(name, folder)

    assert trouble is not None
    assert trouble[1] == code
    assert trouble[0].startswith(("a path", "a file", "the path"))
