"""The files beside an inquiry that facts may point at: relative, inside its own folder, no links out, not too large."""

from pathlib import Path, PurePosixPath

from millhand.intake.form_shop import EVIDENCE
from millhand.intake.inquiry_groups import Spot, entries_at, spots_of
from millhand.intake.inquiry_opened import Opened, child
from millhand.model.shop import Evidence

LIMIT_MB = 20


def evidence_of(top: Spot, folder: Path, opened: Opened) -> tuple[Evidence, ...]:
    """Every piece of evidence that the file names."""
    found = []
    for _, spot in spots_of(EVIDENCE, top, opened):
        own = Evidence(**entries_at(EVIDENCE.entries, spot, opened))
        node = child(spot.table, "file")
        trouble = file_trouble(own.file, folder) if own.file else None
        if trouble is not None and node is not None:
            opened.bad_node(node, *trouble)
        found.append(own)
    return tuple(found)


def file_trouble(
    name: str, folder: Path, *, of: str = "inquiry", example: str = "photos/door.jpg", limit_mb: int = LIMIT_MB
) -> tuple[str, str] | None:
    """What to write instead, and the code, where a file cannot be taken; None where it can."""
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or "\\" in name or ":" in name:
        return f"a path inside the folder of the {of}, such as {example}", "evidence_outside"
    whole = folder / path
    if not whole.exists():
        return "the path of a file that is there", "evidence_missing"
    if not whole.resolve().is_relative_to(folder.resolve()):
        return f"a file inside the folder of the {of}, not a link out of it", "evidence_link"
    if not whole.is_file():
        return "the path of a file, not of a folder", "evidence_folder"
    if whole.stat().st_size > limit_mb * 1_000_000:
        return f"a file of at most {limit_mb} MB", "evidence_large"
    return None
