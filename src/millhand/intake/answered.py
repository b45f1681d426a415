"""Answers to questions about what has no place of its own in the file: `answered` gives each by the path of its fact.

A value stands there as it would stand in its own place, in short or in long form, and is read as if it stood there.
"""

import re
from collections.abc import Mapping
from dataclasses import replace

from millhand.intake.clock import seconds_of_day
from millhand.intake.form import Text
from millhand.intake.form_shop import JUDGED
from millhand.intake.inquiry_opened import Opened, child
from millhand.intake.yaml_tree import Node, Scalar, Table

EXAMPLE = "answers as {today.elements.exchange.time: 40 s}"
OF_DAY = ".start"  # ends the path of a time of day


def answered_in(node: Node | None, opened: Opened) -> Mapping[str, Node]:
    """Path -> the value that was answered."""
    if not isinstance(node, Table):
        if node is not None:
            opened.bad_node(node, EXAMPLE, "not_a_table")
        return {}
    found: dict[str, Node] = {}
    form = JUDGED.entries[0]
    assert isinstance(form, Text)
    for path, where in node.places.items():
        value = child(node, path)
        if not re.fullmatch(form.pattern, path):
            opened.bad(where, path, form.example, "not_a_path")
        elif value is not None:
            found[path] = in_seconds(value) if path.endswith(OF_DAY) else value
    return found


def in_seconds(node: Node) -> Node:
    """A time of day as the seconds since midnight; anything else as it is."""
    if isinstance(node, Table):
        return replace(node, entries={key: in_seconds(value) for key, value in node.entries.items()})
    seconds = seconds_of_day(node.text) if isinstance(node, Scalar) else None
    return replace(node, text=f"{seconds} s") if seconds is not None and isinstance(node, Scalar) else node
