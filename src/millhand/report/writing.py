"""Writing a study's folder whole or not at all: beside the target first, then put in its place by one exchange."""

import ctypes
import errno
import fcntl
import os
import re
import secrets
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from millhand.errors import ToolError
from millhand.model.canonical import canonical
from millhand.model.study import Study
from millhand.model.written import as_written
from millhand.report.drawings import drawings
from millhand.report.html import report_html
from millhand.report.part_mix import part_mix_csv
from millhand.report.proposal.build import proposal
from millhand.report.proposal.letter import Letter
from millhand.report.study_json import cell_file, study_as_json
from millhand.report.tables import cash_flow_csv, facts_csv
from millhand.report.workbook import workbook

OURS = frozenset({
    "study.json", "report.html", "proposal.pdf", "cash_flow.csv", "facts.csv", "part_mix.csv", "workbook.xlsx",
    "cells", "drawings",
})  # fmt: skip
AT_FOLDER = -100  # AT_FDCWD: names are taken from the working folder
EXCHANGE = 2  # RENAME_EXCHANGE


def write_study(study: Study, folder: Path, letter: Letter | None = None) -> tuple[Path, ...]:
    """Write everything into `folder`, where an older study stays until the new one is whole; the files written.

    letter: how the proposal is wanted; without one there is none.
    """
    target = folder.absolute()
    refuse_foreign(target)
    new = target.parent / f".{target.name}.{secrets.token_hex(4)}"
    try:
        files = study_files(study, letter)
        target.parent.mkdir(parents=True, exist_ok=True)
        with suppress(OSError):  # a folder that may be written and not listed
            clear_left_over(target)
        with held(new):
            fill(new, files)
            put_in_place(new, target)
            flush_folder(target.parent)
    except OSError as trouble:
        raise ToolError(words_for(trouble, folder), code="not_written") from trouble
    finally:
        shutil.rmtree(new, ignore_errors=True)
    return tuple(folder / name for name in files)


@contextmanager
def held(new: Path) -> Iterator[None]:
    """A new folder that is locked for as long as it is written, so that no other run takes it for a left-over.

    It gets its name only once the lock is there. The lock goes with the process, however that ends.
    """
    unnamed = new.with_name(f"{new.name}.begun")
    unnamed.mkdir()
    handle = os.open(unnamed, os.O_RDONLY)
    try:
        with suppress(OSError):  # some network drives know no locks
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        unnamed.rename(new)
        yield
    finally:
        os.close(handle)


def clear_left_over(target: Path) -> None:
    """Remove the hidden folders that runs for the same target left behind when they were killed."""
    name = re.compile(re.escape(f".{target.name}.") + "[0-9a-f]{8}")
    for path in target.parent.iterdir():
        if name.fullmatch(path.name) and not path.is_symlink():
            with suppress(OSError):
                remove_unless_locked(path)


def remove_unless_locked(folder: Path) -> None:
    """Remove a folder that no other process is writing; an OSError where one is, or where nobody can tell."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        shutil.rmtree(folder, ignore_errors=True)
    finally:
        os.close(handle)


def study_files(study: Study, letter: Letter | None = None) -> dict[str, bytes]:
    """All files by their name in the folder, made before the first one is written."""
    text = study_as_json(study)
    texts = {
        "report.html": report_html(study, text=text, language=letter.language if letter is not None else "en"),
        "study.json": text,
        "cash_flow.csv": cash_flow_csv(study),
        "facts.csv": facts_csv(study),
    }
    if study.part_mix is not None:
        texts["part_mix.csv"] = part_mix_csv(study)
    for result in study.results:
        if result.cell is not None:
            texts[cell_file(result.concept.id)] = canonical(as_written(result.cell))
        texts |= {cell_file(each.name): canonical(as_written(each.cell)) for each in result.phases}
    for each in study.tending.cells if study.tending is not None else ():
        texts[cell_file(each.name)] = canonical(as_written(each.cell))
    for run in study.safeguarding.simulated if study.safeguarding is not None else ():
        texts[cell_file(run.name)] = canonical(as_written(run.cell))
    book = workbook(study)
    books = {"workbook.xlsx": book} if book is not None else {}
    if letter is not None:
        books["proposal.pdf"] = proposal(study, letter, text=text)
    return {name: text.encode("utf-8") for name, text in texts.items()} | books | drawings(study)


def refuse_foreign(target: Path) -> None:
    """A folder with anything in it that no study holds is not ours to replace."""
    if not target.exists() and not target.is_symlink():
        return
    if target.is_symlink() or not target.is_dir():
        raise ToolError(f"{target.name} is there already and is no folder; choose another one.", code="not_ours")
    foreign = sorted({path.name for path in target.iterdir()} - OURS)
    if foreign:
        raise ToolError(
            f"the folder {target.name} holds {', '.join(foreign[:3])}, which is no part of a study; "
            "choose another one, so that nothing is lost.",
            code="not_ours",
        )


def fill(new: Path, files: Mapping[str, bytes]) -> None:
    """Write the files into a folder, and wait until the disk has them."""
    for name, content in files.items():
        path = new / name
        path.parent.mkdir(exist_ok=True)
        with path.open("wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
    for folder in {(new / name).parent for name in files}:
        flush_folder(folder)


def flush_folder(folder: Path) -> None:
    """Wait until the disk has the names of a folder; some systems cannot, and lose nothing by it."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def put_in_place(new: Path, target: Path) -> None:
    """Rename the new folder to the target; where one is there, exchange both and drop the old one."""
    if not target.exists():
        try:
            new.rename(target)
        except OSError as trouble:
            if trouble.errno not in (errno.ENOTEMPTY, errno.EEXIST):  # another run was quicker: exchange with its study
                raise
        else:
            return
    if exchanged(new, target):
        return  # what was the target is now called `new`, and goes with the clearing up
    old = target.with_name(f"{new.name}.old")
    target.rename(old)
    try:
        new.rename(target)
    except OSError:
        old.rename(target)
        raise
    shutil.rmtree(old, ignore_errors=True)


def exchanged(one: Path, other: Path) -> bool:
    """Exchange two names in one step where the system can; False where it cannot and nothing happened."""
    with suppress(AttributeError, OSError):
        rename = ctypes.CDLL(None, use_errno=True).renameat2
        return bool(rename(AT_FOLDER, os.fsencode(one), AT_FOLDER, os.fsencode(other), EXCHANGE) == 0)
    return False


def words_for(trouble: OSError, folder: Path) -> str:
    """What stood in the way, in words, and that nothing was lost."""
    if trouble.errno in (errno.ENOSPC, errno.EDQUOT):
        reason = "the disk is full"
    elif trouble.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        reason = "no permission to write there"
    else:
        reason = trouble.strerror or str(trouble)
    return f"cannot write the study to {folder}: {reason}; nothing was written, and what was there is untouched."
