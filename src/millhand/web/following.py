"""What other places of an inquiry follow from a change on the call sheet: what is written there then, by path."""

import re

from millhand.intake.fields import Paper, written

OPERATION = re.compile(r"parts\.[0-9]+\.operations\.[0-9]+\.machine")
LATER = (
    (r"(machines)\.0\.(spacing)", r"machines\.[1-9][0-9]*\.spacing"),
    (r"(parts\.[0-9]+\.operations)\.0\.(gauge_every)", r"{}\.[1-9][0-9]*\.gauge_every"),
)  # the first of several, and those that take over what is typed there


def shared_with(paper: Paper, name: str) -> dict[str, str]:
    """What is written at the operations of the first machines once those of a name do the same work: by path."""
    known = {each.path: each for each in paper.fields()}
    first = known["machines.0.name"].text
    found = {}
    for path, each in known.items():
        if OPERATION.fullmatch(path) and first in each.text.split(", "):
            found[path] = written(each.entry, f"{each.text}, {name}", {})
    return found


def renamed(paper: Paper, path: str, name: str) -> dict[str, str]:
    """What is written at operations once machines have another name: by path."""
    known = {each.path: each for each in paper.fields()}
    old = known[path].text
    found = {}
    for at_path, each in known.items():
        names = each.text.split(", ")
        if OPERATION.fullmatch(at_path) and old and old in names:
            found[at_path] = written(each.entry, ", ".join(name if one == old else one for one in names), {})
    return found


def taken_over(paper: Paper, path: str, text: str) -> dict[str, str]:
    """What is written at later machines and operations once that of the first is told: where nothing else was typed."""
    known = {each.path: each for each in paper.fields()}
    for first, later in LATER:
        at = re.fullmatch(first, path)
        if at is not None:
            old, others = known[path].text, later.format(re.escape(at[1]))
            return {
                at_path: written(each.entry, text, {}) for at_path, each in known.items()
                if re.fullmatch(others, at_path) and each.text in ("", old)
            }  # fmt: skip
    return {}
