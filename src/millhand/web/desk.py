"""What can be done with inquiries, once for the pages and for the HTTP interface."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import Any

from sqlalchemy import Connection

from millhand.catalogue.examples import example_folder, files_of_example
from millhand.catalogue.starters import inquiry_of_starter, starter_named
from millhand.errors import InputError
from millhand.intake.fields import FILE, Field, Paper, written
from millhand.intake.yaml_edit import quoted
from millhand.intake.yaml_put import typed_at, with_item, with_value, without_item, word_at
from millhand.intake.yaml_tree import LIMIT_BYTES
from millhand.store import work
from millhand.store.inquiries import Begun, Kept, begin, kept
from millhand.store.opening import Store
from millhand.store.revisions import Revision, files_of, keep, rename, revision
from millhand.web.asking import Asking
from millhand.web.folders import Reader
from millhand.web.papering import Papering
from millhand.web.running import Running

BACK = "back to revision "
MOST_FILES, MOST_BYTES = 40, 40_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Desk:
    """The store, who reads inquiries, who runs studies, who answers what-if questions and who makes proposals."""

    store: Store
    reader: Reader
    running: Running
    asking: Asking
    papering: Papering


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """One inquiry as it is now, with the form of its text."""

    kept: Kept
    revision: Revision
    files: Mapping[str, bytes]
    paper: Paper


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of a text: what it does, to what (a path of the file, '' the whole), made from which revision."""

    base: int
    path: str
    edit: Callable[[str], str]
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What came of a change. `aside`: somebody else changed the same place, so it is kept beside the current one."""

    revision: int
    aside: bool


def open_inquiry(desk: Desk, name: str, number: int | None = None) -> Open:
    """An inquiry, at a revision or now; KeyError where there is none."""
    with desk.store.reading() as connection:
        own = kept(connection, name)
        at = revision(connection, name, number or own.revision)
        files = files_of(connection, name, at.number)
    return Open(kept=own, revision=at, files=files, paper=desk.reader.paper(at.text, files))


def start(desk: Desk, begun: Begun, who: str) -> Kept:
    """Put a new inquiry on the desk, called by the name in its text."""
    small_enough(begun)
    called = name_in(begun.text) or begun.name or "New inquiry"
    with desk.store.writing() as connection:
        return begin(connection, Begun(name=called[:200], text=begun.text, files=begun.files, why=begun.why), who)


def small_enough(begun: Begun) -> None:
    """InputError where an inquiry with its files is larger than the desk takes, or no folder could hold them."""
    if len(begun.text.encode("utf-8")) > LIMIT_BYTES:
        raise InputError(FILE, "more than 1 MB", "an inquiry of at most 1 MB", "too_large")
    if len(begun.files) > MOST_FILES or sum(map(len, begun.files.values())) > MOST_BYTES:
        read = f"{len(begun.files)} files of {sum(map(len, begun.files.values())) / 1e6:.0f} MB"
        raise InputError(FILE, read, f"at most {MOST_FILES} files of {MOST_BYTES // 1_000_000} MB in all", "too_large")
    folders = {above.as_posix() for path in begun.files for above in PurePosixPath(path).parents}
    for path in (FILE, *begun.files):
        if path in folders:
            raise InputError(FILE, path[:80], "a file or a folder of that name, not both", "file_and_folder")


def blank() -> Begun:
    """A first inquiry without a figure: what is typed is the shop's, and nothing else is."""
    text = (Path(__file__).parent / "blank.yaml").read_text(encoding="utf-8")
    return Begun(name="New inquiry", text=text, why="begun from a blank sheet")


def from_starter(name: str) -> Begun:
    """The inquiry of a starter."""
    starter = starter_named(name, "starter")
    text = inquiry_of_starter(name).read_text(encoding="utf-8")
    return Begun(name=starter.title, text=text, why=f"begun from the starter {name}")


def from_example(name: str) -> Begun:
    """The inquiry of an example with its files."""
    folder = example_folder(name, "example")
    files = {path: (folder / path).read_bytes() for path in files_of_example(folder)}
    text = files.pop(FILE).decode("utf-8")
    return Begun(name=name, text=text, files=files, why=f"begun from the example {name}")


def from_ours(kind: str, name: str) -> Begun:
    """A starter or an example, by its name."""
    return from_starter(name) if kind == "starter" else from_example(name)


def from_inquiry(desk: Desk, name: str) -> Begun:
    """A copy of an inquiry as it is now."""
    own = open_inquiry(desk, name)
    text = own.revision.text
    called = f"{own.kept.name} (copy)"
    if typed_at(text, "name"):
        text = with_value(text, "name", quoted(called))
    return Begun(name=called, text=text, files=own.files, why=f"copied from {own.kept.name}"[:200])


def name_in(text: str) -> str:
    """The name that a text says; '' where it says none, or is no YAML."""
    try:
        return word_at(text, "name")
    except Exception:  # any text may be kept, also one that no parser reads
        return ""


def changed(desk: Desk, name: str, change: Change, who: str) -> Taken:
    """Make a change: on the text of now where nobody touched its place since `base`, else aside.

    KeyError where there is no such inquiry or revision; InputError where the place cannot be written.
    """
    with desk.store.writing() as connection:
        own = kept(connection, name)
        base = revision(connection, name, change.base)
        current = revision(connection, name, own.revision)
        if change.edit(current.text) == current.text:  # it is there already: sent twice, or typed in two windows alike
            return Taken(revision=own.revision, aside=False)
        on = current if untouched(base.text, current.text, change.path) else base
        text = change.edit(on.text)
        if text == on.text:
            return Taken(revision=own.revision, aside=False)
        small_enough(Begun(name="", text=text))
        new = keep(connection, name, on.number, text, by=(who, change.why[:200]))
        named(connection, name, new)
        return Taken(revision=new.number, aside=new.aside)


def untouched(before: str, now: str, path: str) -> bool:
    """Whether what stands at a path is the same in two texts; of the whole text where the path is ''."""
    if before == now:
        return True
    return path != "" and typed_at(before, path) == typed_at(now, path)


def named(connection: Connection, name: str, new: Revision) -> None:
    """The desk shows the name in the current text."""
    called = name_in(new.text)
    if called and not new.aside:
        rename(connection, name, called)


def of_field(each: Field, text: str, beside: Mapping[str, str], base: int) -> Change:
    """The change of one field: what was typed, with what stands beside it."""
    value = written(each.entry, text, {**each.kept, **beside})
    return Change(
        base=base, path=each.path, edit=lambda old: with_value(old, each.path, value),
        why=f"{each.fact}: {text.strip() or 'taken out'}",
    )  # fmt: skip


def followed(change: Change, values: Mapping[str, str]) -> Change:
    """A change after which other places follow: what is written there then, by path."""

    def edit(old: str) -> str:
        """The change, then each of them."""
        text = change.edit(old)
        for path, value in values.items():
            text = with_value(text, path, value)
        return text

    return replace(change, edit=edit) if values else change


def of_item(path: str, item: dict[str, str], base: int) -> Change:
    """One more item of a list."""
    return Change(base=base, path=path, edit=lambda old: with_item(old, path, item), why=f"one more of {path}")


def of_lost_item(path: str, number: int, base: int) -> Change:
    """One item less."""
    return Change(
        base=base, path=path, edit=lambda old: without_item(old, path, number), why=f"{path} {number + 1} taken out"
    )


def of_text(text: str, base: int, why: str = "the text edited") -> Change:
    """A whole new text."""
    return Change(base=base, path="", edit=lambda _: text, why=why)


def back_to(desk: Desk, name: str, number: int, who: str) -> Taken:
    """Make an older revision, with its files, the current one again: as a new revision, so that nothing is lost."""
    with desk.store.writing() as connection:
        own, old = kept(connection, name), revision(connection, name, number)
        new = keep(
            connection, name, own.revision, old.text, files=files_of(connection, name, number),
            by=(who, f"{BACK}{number}"),
        )  # fmt: skip
        named(connection, name, new)
        return Taken(revision=new.number, aside=False)


def undo(desk: Desk, name: str, who: str) -> Taken:
    """Take the last change back; again takes back the one before."""
    with desk.store.reading() as connection:
        at = revision(connection, name, kept(connection, name).revision)
        while at.why.startswith(BACK):
            at = revision(connection, name, int(at.why.removeprefix(BACK)))
    return back_to(desk, name, at.base, who) if at.base else Taken(revision=at.number, aside=False)


def ask_for(desk: Desk, name: str, asked: Mapping[str, Any], who: str) -> work.Work:
    """Put a study of the inquiry as it is now in the queue; one that waits or runs for the same is given back."""
    with desk.store.writing() as connection:
        own = kept(connection, name)
        for each in work.works(connection, name):
            if each.under_way and each.revision == own.revision and each.wishes == dict(asked):
                return each
        new = work.ask(connection, name, own.revision, asked, who)
    desk.running.wake.set()
    return new
