"""One more element of work by hand is one more: the usual ones stay, as they were answered or assumed."""

from pathlib import Path

from millhand.catalogue.assumptions import assumptions
from millhand.intake.fields import Paper, paper_of
from millhand.intake.yaml_put import with_item
from millhand.web.elements import of_further
from millhand.web.form_words import in_short, in_words, left_to_say, stands_open
from millhand.web.pages import label_of

SHOP = """format: millhand-inquiry/1
name: Bushes, two lathes
people: {wage: 26 EUR/h, operators: 1}
shifts: 1 x 8 h
machines: [{name: lathe, kind: lathe, count: 2, control: free_outputs, door: powered, clamping: powered_chuck}]
parts:
  - name: bush
    shape: round
    raw: 60 dia x 45 mm
    raw_mass: 1 kg
    lot_size: 150 parts
    orders_per_y: 48000 parts/y
    operations: [{name: turn, machine: lathe, time: 260 s, gauge_every: 15 parts}]
today: {parts_per_shift: 175}
answered:
  shifts.shift_1.operators: 1
  today.elements.exchange.time: 30 s
  today.elements.gauge.time: 75 s
"""


def read(text: str) -> Paper:
    """The inquiry as the desk has it."""
    found = paper_of(text, Path(), assumptions())
    assert found.inquiry is not None, found.errors
    return found


def times(found: Paper) -> dict[str, tuple[float, float | None, float | None, str, float]]:
    """Each element: its time with the range, how it is known, and at which load it is done."""
    assert found.inquiry is not None
    return {
        each.name: (each.time_s.value, each.time_s.low, each.time_s.high, each.time_s.basis, each.every_n.value)
        for each in found.inquiry.today.elements
    }


INSERT = {"name": "insert", "time": "180 s", "side": "outside", "every_n": "120"}
WASH = {"name": "wash", "time": "20 s", "side": "inside"}


def more(text: str, item: dict[str, str], path: str = "today.elements") -> str:
    """The text with one more item of a list."""
    return of_further(read(text), path, item, 1).edit(text)


def test_the_usual_elements_stay_as_they_were() -> None:
    """Answered ones with their answers, which leave their old place; assumed ones with their ranges."""
    text = SHOP.replace("  shifts.shift_1.operators: 1\n", "")
    before, listed = times(read(text)), more(text, INSERT)
    after = times(read(listed))

    assert before.items() <= after.items()
    assert after.keys() - before.keys() == {"insert"}
    assert before["exchange"][0] == 30.0
    assert before["fetch"][3] == "assumed"
    assert before["gauge"][4] == 15.0
    assert "answered" not in listed


def test_other_answers_stay_where_they_are_and_a_list_grows_as_it_is() -> None:
    """A second own element finds the list; other lists know nothing of it."""
    once = more(SHOP, INSERT)
    twice = more(once, WASH)

    assert "shifts.shift_1.operators: 1" in twice
    assert list(times(read(twice)))[-2:] == ["insert", "wash"]
    assert len(times(read(twice))) == len(times(read(once))) + 1
    assert "elements" not in more(SHOP, {"name": "saw", "kind": "lathe"}, "machines").partition("answered")[0]


def test_elements_of_a_long_list_say_in_short_what_they_are_and_the_new_one_stands_open() -> None:
    """Those that are told are folded, with what was typed; what is needed is said at its field, and not once more."""
    text = Path("examples/1_two_mills/inquiry.yaml").read_text(encoding="utf-8")
    own = with_item(text, "today.elements", {"name": "check_bore"})
    section = paper_of(own, Path(), assumptions()).section("today")
    assert section is not None
    *told, fresh = next(each for each in in_words(section).below if each.path == "today.elements").below

    assert [stands_open(each, len(told) + 1) for each in (*told, fresh)] == [False] * len(told) + [True]
    assert all(stands_open(each, 3) for each in told)
    assert in_short(told[0]) == "12 s (7 s to 20 s), outside"
    assert (len(fresh.errors), left_to_say(fresh).errors) == (2, ())
    labels = {each.entry.key: label_of(each) for each in fresh.fields}
    assert labels["side"] == "Whether the machine stands meanwhile"
    assert labels["name"] == "What it is called here"
