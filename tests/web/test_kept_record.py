"""The record of a study that another version kept: never read, told in words, its pages and files left as they are."""

from collections.abc import Iterator
from dataclasses import fields, make_dataclass
from io import BytesIO
from pathlib import Path

import pytest

from millhand.model.part import Today
from millhand.run import OwnUnpickler, packed, unpacked
from millhand.web import worker
from millhand.web.kept_record import KIND, RECORD, kinds, mark_of
from tests.mapped_mill import mapped
from tests.report.fixture_internal import internal_study
from tests.web.serving import ORIGIN, Served, served, studied

PAGES = {"pages/answer": b"<h2>Recommendation</h2>"}
WORDS = "another version worked it out"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("kept")) as found:
        yield found


@pytest.fixture(scope="module", params=[KIND, f"{KIND}-0123456789ab"], ids=["without a mark", "of other fields"])
def old(desk: Served, request: pytest.FixtureRequest) -> str:
    """A study with a record that this version must not read, though its bytes can be unpacked."""
    own = {**PAGES, str(request.param): packed(internal_study())}
    return studied(desk.store, desk.begin(), {"own": own, "customer": PAGES})


@pytest.mark.parametrize("copy", ["own", "customer"])
@pytest.mark.parametrize("where", ["whatif", "whatif/figures", "proposal/proposal.pdf", "proposal/pages"])
def test_what_needs_the_record_says_what_to_do(desk: Served, old: str, copy: str, where: str) -> None:
    """In words, without an error of ours, and without a figure out of a field of another name."""
    answer = desk.browser.get(f"/studies/{old}/{copy}/{where}")

    assert answer.status_code == 422
    assert WORDS in answer.text
    assert "work the inquiry out again" in answer.text


def test_its_pages_stand_and_lead_to_a_new_study(desk: Served, old: str) -> None:
    """The page of the study and that of its proposal; nothing can be issued and no tab leads to what if."""
    page = desk.browser.get(f"/studies/{old}/own/answer")
    assert page.status_code == 200
    assert "Recommendation" in page.text
    assert "/own/whatif" not in page.text
    assert "worked out by another version" in page.text
    paper = desk.browser.get(f"/studies/{old}/own/proposal")
    assert paper.status_code == 200
    assert WORDS in paper.text
    assert "Work the inquiry out again</a>" in paper.text
    assert "/customer/issue" not in paper.text
    assert "proposal.pdf?" not in paper.text
    customer = desk.browser.get(f"/studies/{old}/customer/proposal").text
    assert WORDS in customer
    assert "/inquiries/" not in customer


def test_a_program_is_told_the_same(desk: Served, old: str) -> None:
    """With a code of its own; nothing is issued."""
    for answer in (
        desk.browser.get(f"/api/pieces/{old}/own/whatif"),
        desk.browser.get(f"/api/pieces/{old}/own/proposal.pdf"),
        desk.browser.post(f"/api/pieces/{old}/issue", json={}, headers=ORIGIN),
    ):
        assert answer.status_code == 422
        assert [each["code"] for each in answer.json()["errors"]] == ["other_version"]
        assert WORDS in answer.json()["errors"][0]["words"]


def test_nobody_is_shown_an_old_record(desk: Served, old: str) -> None:
    """Neither in the list of files nor by its address."""
    assert f"/{KIND}" not in desk.browser.get(f"/studies/{old}/own/files").text
    for name in (KIND, f"{KIND}-0123456789ab"):
        assert desk.browser.get(f"/studies/{old}/own/files/{name}").status_code == 404
        assert desk.browser.get(f"/api/pieces/{old}/own/{name}").status_code == 404


class _Heard(OwnUnpickler):
    """Reads, and remembers which classes were named."""

    def find_class(self, module: str, name: str, /) -> object:
        """The class."""
        found = super().find_class(module, name)
        if isinstance(found, type):
            HEARD.add(found)
        return found


HEARD: set[type] = set()


def test_every_record_in_a_study_is_in_its_mark() -> None:
    """None is packed whose fields could change without the mark."""
    for study in (mapped(), internal_study()):
        _Heard(BytesIO(packed(study))).load()

    assert Today in HEARD
    assert set(kinds()) >= HEARD


@pytest.mark.parametrize("place", [0, 3])
def test_a_field_more_is_another_mark(place: int) -> None:
    """Wherever it stands; so are two fields in another order. The same fields have the same mark."""
    own = [(each.name, each.type) for each in fields(Today)]
    same, more, turned = (
        make_dataclass("Today", given, namespace={"__module__": Today.__module__})
        for given in (own, [*own[:place], ("new_s", float), *own[place:]], [own[1], own[0], *own[2:]])
    )

    assert mark_of((same,)) == mark_of((Today,))
    assert len({mark_of((each,)) for each in (same, more, turned)}) == 3
    assert f"{KIND}-{mark_of(kinds())}" == RECORD


def test_a_study_keeps_its_record_by_the_mark(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the process that makes a study leaves behind is what the desk reads."""
    (tmp_path / "asked.json").write_text('{"on": "2027-01-31", "language": "en", "form": "short"}')
    monkeypatch.setattr(worker, "made", lambda folder, asked: mapped())
    monkeypatch.setattr(worker, "shift_of", lambda study: None)
    monkeypatch.setattr(worker, "write", lambda study, out, letter, shift: out.mkdir(parents=True))

    assert worker.main(tmp_path) == 0
    assert [each.name for each in tmp_path.rglob("out/own/*")] == [RECORD]
    assert unpacked((tmp_path / "out" / "own" / RECORD).read_bytes()) == mapped()
