"""The company file: whose paper a proposal is written on. Every key may be missing; an unknown one is an error."""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from millhand.errors import InputError, InputErrors
from millhand.intake.inquiry_evidence import file_trouble
from millhand.intake.picture import BROKEN, picture_trouble, redrawn
from millhand.intake.yaml_tree import Listing, Node, Scalar, read_tree, shown
from millhand.model.company import Company, Logo

LONGEST, LINES = 2000, 12  # signs of a text, lines of an address
LOGO_MB = 2
PREFIX = 20  # signs
WHOLE = re.compile(r"[0-9]{1,4}")
UNSEEN = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")  # signs that no printed text holds


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One company file while it is read."""

    folder: Path
    errors: list[InputError] = field(default_factory=list)

    def bad(self, node: Node, write: str, code: str) -> None:
        """Note one error at a value."""
        self.errors.append(InputError(node.where, shown(node), write, code))

    def text(self, node: Node) -> str:
        """A text of one line or several."""
        if not isinstance(node, Scalar):
            self.bad(node, "a text", "company_text")
        elif len(node.text) > LONGEST or UNSEEN.search(node.text):
            self.bad(node, f"a text of at most {LONGEST} signs, without control signs", "company_text")
        else:
            return node.text.strip()
        return ""

    def lines(self, node: Node) -> tuple[str, ...]:
        """A list of short lines, or one text with a line each."""
        if isinstance(node, Scalar):
            found = tuple(each.strip() for each in self.text(node).splitlines() if each.strip())
        elif isinstance(node, Listing):
            found = tuple(self.text(each) for each in node.items)
        else:
            found = ()
            self.bad(node, "a list of lines", "company_lines")
        if len(found) > LINES:
            self.bad(node, f"at most {LINES} lines", "company_lines")
        return found

    def prefix(self, node: Node) -> str:
        """The few signs that numbers of proposals begin with."""
        found = self.text(node)
        if len(found) > PREFIX or "\n" in found:
            self.bad(node, f"at most {PREFIX} signs on one line, such as P-", "company_prefix")
            return ""
        return found

    def days(self, node: Node) -> int | None:
        """A whole number of days."""
        if isinstance(node, Scalar) and WHOLE.fullmatch(node.text) and 1 <= int(node.text) <= 3650:
            return int(node.text)
        self.bad(node, "a whole number of days from 1 to 3650, such as 60", "company_days")
        return None

    def logo(self, node: Node) -> Logo | None:
        """A picture inside the folder of the company file, looked at before anybody draws it."""
        if not isinstance(node, Scalar):
            self.bad(node, "the path of a PNG or JPEG file, such as logo.png", "company_logo")
            return None
        trouble = file_trouble(node.text, self.folder, of="company file", example="logo.png", limit_mb=LOGO_MB)
        if trouble is not None:
            self.bad(node, *trouble)
            return None
        data = (self.folder / node.text).read_bytes()
        form, wrong = picture_trouble(data)
        drawn = b"" if wrong else redrawn(data, form)
        if not drawn:
            self.bad(node, wrong or BROKEN, "company_logo")
            return None
        return Logo(data=drawn, form=form)


READERS: dict[str, Callable[[Paper, Node], Any]] = {
    "name": Paper.text, "address": Paper.lines, "contact": Paper.lines,
    "number_prefix": Paper.prefix, "number": Paper.text, "revision": Paper.text,
    "prices": Paper.text, "valid_days": Paper.days, "delivery": Paper.text, "milestones": Paper.text,
    "warranty": Paper.text, "service": Paper.text, "closing": Paper.text, "logo": Paper.logo,
}  # fmt: skip


def read_company(path: Path) -> Company:
    """The company of a file; InputErrors with every error at once."""
    tree = read_tree(path)
    paper = Paper(folder=path.parent)
    known: dict[str, Any] = {}
    for key, node in tree.entries.items():
        if key not in READERS:
            write = f"one of {', '.join(READERS)}"
            paper.errors.append(InputError(tree.places[key], key, write, "unknown_key"))
        elif not (isinstance(node, Scalar) and node.plain and not node.text):
            known[key] = READERS[key](paper, node)
    if paper.errors:
        raise InputErrors(paper.errors)
    return Company(**known)
