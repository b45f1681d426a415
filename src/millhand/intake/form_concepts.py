"""The form of an inquiry: concepts that are to be looked at closely, or left out, by somebody's wish."""

from millhand.intake.form import Several, Text, Word
from millhand.intake.form_floor import PINNED
from millhand.intake.form_only import CHOICES
from millhand.intake.form_shop import NAME, name_text

CONCEPTS = Several(
    key="concepts",
    field="concepts",
    help="concepts that are looked at closely in any case, or left out, by somebody's wish",
    entries=(
        name_text("a wish"),
        Word(
            key="is",
            field="treatment",
            options=("kept", "left_out"),
            gap="ask",
            help="kept: scheduled, simulated and ranked in any case; left_out: not looked at",
        ),
        Text(
            key="of",
            field="base",
            pattern=r"[a-z0-9_]+(-[a-z0-9_]+)*",
            help="the concept that is meant, or that the parts below change",
            example="the name of a concept, such as trays-pedestal-fenced_20-parallel_single-fence",
        ),
        *(
            Text(
                key=key, field=key, pattern=NAME, help=f"the {key} in the place of that concept's own one",
                example=f"the name of a component, as 'millhand catalogue {key}' lists them",
            )
            for key, _ in CHOICES
        ),
        Text(
            key="by_arm", field="works", many=True, pattern=NAME, help="work of the arm besides loading",
            example="the name of a component, as 'millhand catalogue work' lists them",
        ),
        PINNED,
        Text(key="by", field="by", help="whose wish it is"),
        Text(key="reason", field="reason", help="why"),
    ),
)  # fmt: skip
