"""The form of an inquiry: figures that go together."""

from millhand.intake.form import Number, Several, Text

PATH = r"[a-z][a-zA-Z0-9_.\-]*"
CORRELATIONS = Several(
    key="correlations",
    field="correlations",
    named=False,
    help="figures that are high or low together, for the draws of everything uncertain",
    entries=(
        Text(key="of", field="of", pattern=PATH, gap="ask", help="path of one figure", example="people.wage"),
        Text(
            key="with", field="other", pattern=PATH, gap="ask", help="path of the other", example="people.on_cost"
        ),
        Number(
            key="rank", field="rank", dimension="correlation", least=-1, most=1, gap="ask",
            help="rank correlation, from -1 (one is high where the other is low) to 1",
        ),
    ),
)  # fmt: skip
