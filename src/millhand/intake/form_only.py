"""The form of an inquiry: the components of the catalogue that its study is kept to."""

from millhand.intake.form import Group, Text
from millhand.intake.form_shop import NAME

CHOICES = (
    ("presenter", "presenters"),
    ("outfeed", "outfeeds"),
    ("mount", "mounts of the arm"),
    ("arm", "arms"),
    ("gripper", "grippers"),
    ("safeguarding", "ways of safeguarding"),
    ("sharing", "ways in which two arms share a track"),
)
ONLY = Group(
    key="only",
    field="only",
    help="the components that cells are made of; left out, all that the catalogue has",
    gap="none",
    entries=tuple(
        Text(
            key=key, field=key, many=True, pattern=NAME, help=f"the {words} that are looked at, by their names",
            example=f"the name of a component, as 'millhand catalogue {key}' lists them",
        )
        for key, words in CHOICES
    ),
)  # fmt: skip
