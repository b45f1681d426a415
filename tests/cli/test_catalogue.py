"""`millhand catalogue`: every figure with its range and origin, inside 80 columns, and the words for what is wrong."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from millhand.catalogue.components import COLUMNS, HOLDS, NEEDED, PRICE_COLUMNS, read_catalogue
from millhand.cli.catalogue import OTHERS
from millhand.cli.main import group

CATALOGUE = read_catalogue()
KINDS = sorted({each.kind for each in CATALOGUE.components.values()} | set(OTHERS))
DOCS = Path(__file__).parents[2] / "docs" / "catalogue.md"


def run(*words: str) -> Result:
    """The command with these words."""
    return CliRunner().invoke(group, ["catalogue", *words])


def test_without_a_kind_the_kinds_are_listed() -> None:
    """Each kind with what is in it, and in which money."""
    text = run().output

    assert text.startswith("Money in USD of 2026.")
    for kind in KINDS:
        assert f"\n  {kind}: " in text
    assert "arm: force_limited_12, force_limited_25, fenced_20, fenced_60" in text


@pytest.mark.parametrize("kind", KINDS)
def test_a_kind_is_listed_inside_eighty_columns(kind: str) -> None:
    """Whatever the terminal, nothing is cut off."""
    result = run(kind)

    assert result.exit_code == 0
    assert result.output.count("\n") > 1
    assert max(map(len, result.output.splitlines())) <= 80


def test_a_figure_has_value_range_and_origin() -> None:
    """In SI as the data file has it, no digit lost."""
    text = run("arm").output

    assert "fenced_20: fenced industrial arm, 20 kg\n" in text
    assert "  price: 38000 USD (28000 to 50000)\n    components.csv:" in text
    assert "  repeatability_m: 0.00005 m\n" in text
    assert "common practice, no source" in text


def test_changes_figures_rules_and_assumptions_are_there() -> None:
    """What is not a component can be read as well."""
    assert "  factor on outside: 0.45 (0.3 to 0.7)" in run("by_hand").output
    assert "handshake_s: 5 s (2 to 10)\n" in run("figures").output
    assert "three-jaw centric grippers hold round parts" in run("rules").output
    questions = " ".join(run("assumptions").output.split())
    for assumption in CATALOGUE.assumptions.values():
        assert " ".join(assumption.question.split()) in questions


def test_json_holds_the_records() -> None:
    """One kind is a list or a map of its records; all is the whole catalogue."""
    arms = json.loads(run("arm", "--json").output)
    whole = json.loads(run("--json").output)

    assert [arm["id"] for arm in arms] == [
        "force_limited_12",
        "force_limited_25",
        "fenced_20",
        "fenced_60",
        "scara_10",
        "gantry_30",
    ]
    assert arms[2]["figures"]["price"]["high"] == 50_000
    assert whole["components"].keys() == CATALOGUE.components.keys()
    assert json.loads(run("figures", "--json").output) == whole["figures"]


def test_guards_and_hazards_are_listed_with_what_to_ask() -> None:
    """Each choice with its judgement, each obstacle and each hazard with its question, as text and for machines."""
    guards, hazards = " ".join(run("guards").output.split()), " ".join(run("hazards").output.split())
    safeguards = CATALOGUE.safeguards

    for guard in safeguards.choices:
        assert f"{guard.id}: {guard.title}" in guards
    for rule in (*safeguards.contact, *safeguards.machine):
        assert " ".join(rule.question.split()) in guards
    for each in safeguards.hazards:
        assert f"{each.task}: {each.hazard}" in hazards
        assert each.ask in hazards
    assert [each["id"] for each in json.loads(run("hazards", "--json").output)] == [h.id for h in safeguards.hazards]


def test_own_prices_are_shown_where_they_apply(tmp_path: Path) -> None:
    """The price of the file, and its line as the origin."""
    path = tmp_path / "prices.csv"
    path.write_text(",".join(PRICE_COLUMNS) + "\nfenced_20,,41500,,offer of March\n", encoding="utf-8")

    assert "  price: 41500 USD\n    prices.csv:2, offer of March\n" in run("arm", "--prices", str(path)).output


def test_an_unknown_kind_ends_in_words() -> None:
    """Exit 2, and the kinds that there are."""
    result = run("robot")

    assert result.exit_code == 2
    assert result.output.startswith("catalogue: read 'robot'; write one of presenter, outfeed, mount, sharing, ")


def test_the_page_names_what_own_files_need() -> None:
    """Headings, needed figures and sets of the page are those of the reader."""
    text = DOCS.read_text(encoding="utf-8")

    assert ",".join(COLUMNS) in text
    assert ",".join(PRICE_COLUMNS) in text
    flowing = " ".join(text.split())
    for kind, names in NEEDED.items():
        if kind not in ("interface", "extra", "service", "door", "clamping"):
            assert f"| {kind} | {', '.join(names)}" in flowing, kind
    for names in HOLDS:
        assert ", ".join(names) in flowing
