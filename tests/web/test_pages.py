"""Every page, filled; forms that keep what was typed; changes at one place by two."""

import io
import re
import zipfile
from collections.abc import Iterator

import pytest

from millhand.web.kept_record import RECORD, is_record
from millhand.web.worker import COPIES
from tests.web.serving import BASE, ORIGIN, Served, links, served, studied, study_files_once

Files = dict[str, dict[str, bytes]]


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """One app for all tests of this file."""
    with served(tmp_path_factory.mktemp("pages")) as found:
        yield found


@pytest.fixture(scope="module")
def files() -> Files:
    """The fixture study's files."""
    return study_files_once()


def text_of(desk: Served, name: str) -> str:
    """The inquiry's text."""
    return str(desk.browser.get(f"/api/inquiries/{name}/text").text)


def test_every_page_is_served_and_every_link_leads_to_one(desk: Served, files: Files) -> None:
    """From the desk along every link: no dead one, no address outside, no page over its size."""
    studied(desk.store, desk.begin(), files)
    seen, ahead = set(), ["/"]
    while ahead:
        path = ahead.pop().partition("#")[0]
        if path in seen or "/files/" in path or path.endswith(("/export", "/leave")):
            continue
        seen.add(path)
        answer = desk.browser.get(path)
        assert answer.status_code == 200, path
        is_page = "content-disposition" not in answer.headers  # the one-file report is taken along, not looked at here
        if is_page and answer.headers["content-type"].startswith("text/html"):
            assert len(answer.content) < 300_000, path
            assert all(each.startswith(("/", "#", "?")) or "://" not in each for each in links(answer.text)), path
            ahead += [joined(path, each) for each in links(answer.text) if each]
    assert len(seen) > 45


def test_turned_to_the_customer_nothing_of_the_house_is_offered(desk: Served, files: Files) -> None:
    """Neither its desk nor its company; what leads back says so. Among the files the proposal comes first."""
    piece = studied(desk.store, desk.begin(), files)
    own, theirs = (desk.browser.get(f"/studies/{piece}/{copy}/files").text for copy in COPIES)
    for end in ("/company", "/issued", "/programs", "/audit"):
        assert (f'href="{end}"' in own, f'href="{end}"' in theirs) == (True, False)
    assert "Back to our own copy" in theirs
    for page in (own, theirs):
        found = [each for each in links(page) if each.startswith("files/")]
        assert found[0] == "files/proposal.pdf"
        assert "</a></b>: the proposal, typeset, to send" in page


def joined(path: str, link: str) -> str:
    """A link as a path of this server."""
    if link.startswith("/"):
        return link
    if link.startswith(("#", "?")):
        return path.partition("?")[0] + link
    return f"{path.rpartition('/')[0]}/{link}"


def test_what_is_typed_is_kept_right_or_wrong_and_undone(desk: Served) -> None:
    """The text holds it as it was typed; the page says what was read and what to write."""
    name = desk.begin()
    first = text_of(desk, name)
    desk.send(f"/inquiries/{name}/field", path="people.wage", base=1, text="thirty")

    assert "wage: thirty" in text_of(desk, name)
    page = desk.browser.get(f"/inquiries/{name}").text
    assert "Read thirty; write an amount an hour, such as 24 USD/h." in page
    desk.send(f"/inquiries/{name}/field", path="people.wage", base=2, text="31 USD/h")
    assert "It can be worked out" in desk.browser.get(f"/inquiries/{name}").text
    desk.send(f"/inquiries/{name}/undo")
    assert "wage: thirty" in text_of(desk, name)
    desk.send(f"/inquiries/{name}/undo")
    assert text_of(desk, name) == first
    desk.send(f"/inquiries/{name}/undo")
    assert text_of(desk, name) == first


def test_pages_are_sent_packed_and_files_that_are_packed_already_as_they_are(desk: Served) -> None:
    """A page goes as gzip where the browser takes it, whole where it does not; a workbook is not packed twice."""
    name = desk.begin()
    page = desk.browser.get(f"/inquiries/{name}/form?of=machines")
    plain = desk.browser.get(f"/inquiries/{name}/form?of=machines", headers={"Accept-Encoding": "identity"})
    book = desk.browser.get(f"/inquiries/{name}/questions.xlsx")
    assert page.headers["content-encoding"] == "gzip"
    assert int(page.headers["content-length"]) * 4 < len(page.content)
    assert ("content-encoding" in plain.headers, plain.text) == (False, page.text)
    assert "content-encoding" not in book.headers


def test_what_cannot_be_kept_is_told_in_words(desk: Served) -> None:
    """Half a letter that no database holds, a file that would be a folder too, an answer sheet that is none."""
    name = desk.begin()
    form = {"form_key": desk.form_key, "base": "1"}
    program = {"Authorization": f"Bearer {desk.browser.cookies['millhand']}"}
    half = desk.browser.put(
        f"/api/inquiries/{name}/text", content=b'{"base": 1, "text": "name: \\ud800"}',
        headers=program | {"Content-Type": "application/json"},
    )  # fmt: skip
    both = {"kind": "text", "text": "name: a\n", "files": {"a.csv": "YQ==", "a.csv/b.csv": "YQ=="}}
    folder = desk.browser.post("/api/inquiries", json=both, headers=program)
    sheet = desk.browser.post(f"/inquiries/{name}/answers/take", data=form | {"sheet": "%"}, headers=ORIGIN)

    assert (half.status_code, folder.status_code, sheet.status_code) == (422, 422, 422)
    words = "There are signs in it that cannot be kept, such as a NUL."
    assert half.json()["errors"] == [{"code": "not_kept", "words": words}]
    assert folder.json()["errors"][0]["words"].endswith("write a file or a folder of that name, not both.")
    assert "write the content in base64." in sheet.text


def test_how_a_value_is_known_is_kept_beside_it(desk: Served) -> None:
    """Basis, source and note become the long form of the file."""
    name = desk.begin()
    desk.send(
        f"/inquiries/{name}/field", path="parts.0.raw_mass", base=1, text="2.5 kg", beside="yes", basis="measured",
        source="scale", note="three: parts",
    )  # fmt: skip

    assert 'raw_mass: {value: 2.5 kg, basis: measured, source: scale, note: "three: parts"}' in text_of(desk, name)


def test_two_windows_at_two_places_are_both_right(desk: Served) -> None:
    """The second change is made on the text that the first one left."""
    name = desk.begin()
    desk.send(f"/inquiries/{name}/field", path="people.wage", base=1, text="31 USD/h")
    desk.send(f"/inquiries/{name}/field", path="parts.0.raw_mass", base=1, text="2.5 kg")

    text = text_of(desk, name)
    assert "wage: 31 USD/h" in text
    assert "raw_mass: 2.5 kg" in text


def test_two_windows_at_one_place_are_both_kept_and_shown(desk: Served) -> None:
    """The later one stands aside with its difference, and can be taken."""
    name = desk.begin()
    desk.send(f"/inquiries/{name}/field", path="people.wage", base=1, text="31 USD/h")
    where = desk.send(f"/inquiries/{name}/field", path="people.wage", base=1, text="33 USD/h")

    assert where == f"/inquiries/{name}/aside/3"
    page = desk.browser.get(where).text
    assert "−  wage: 31 USD/h" in page
    assert "+  wage: 33 USD/h" in page
    assert "wage: 31 USD/h" in text_of(desk, name)
    desk.send(f"/inquiries/{name}/back", number=3)
    assert "wage: 33 USD/h" in text_of(desk, name)


def test_a_whole_text_over_somebody_elses_change_stands_aside(desk: Served) -> None:
    """No text replaces one that its writer has not seen."""
    name = desk.begin()
    desk.send(f"/inquiries/{name}/field", path="people.wage", base=1, text="31 USD/h")

    assert desk.send(f"/inquiries/{name}/text", base=1, text="name: mine\n").endswith("/aside/3")
    assert "wage: 31 USD/h" in text_of(desk, name)


def test_a_list_grows_and_shrinks(desk: Served) -> None:
    """A machine more has its name; taken out, the text is as it was."""
    name = desk.begin()
    first = text_of(desk, name)
    desk.send(f"/inquiries/{name}/item", path="machines", base=1, called="Big Saw")
    assert "- name: big_saw" in text_of(desk, name)
    page = desk.browser.get(f"/inquiries/{name}/form?of=machines").text
    assert 'id="in-machines.1.kind"' in page
    desk.send(f"/inquiries/{name}/item/out", path="machines", number=1, base=2)
    assert text_of(desk, name) == first


def test_words_of_an_inquiry_are_words_and_no_markup(desk: Served) -> None:
    """What somebody types is shown, never run."""
    name = desk.begin()
    bad = "<img src=x onerror=alert(1)>{{ 7*7 }}\"'"
    desk.send(f"/inquiries/{name}/field", path="name", base=1, text=bad)
    for path in ("", "/form?of=", "/history", "/text", "/questions", "/files"):
        page = desk.browser.get(f"/inquiries/{name}{path}").text
        assert "<img src=x" not in page, path
        assert "7*7" in page
    assert "<img src=x" not in desk.browser.get("/").text


def test_a_text_that_is_no_yaml_is_kept_and_mended(desk: Served) -> None:
    """Every page still answers."""
    name = desk.begin("blank")
    desk.send(f"/inquiries/{name}/text", base=1, text="people: [\n")
    for path in ("", "/form", "/text", "/questions", "/history", "/files"):
        assert desk.browser.get(f"/inquiries/{name}{path}").status_code == 200
    assert "mend the text" in desk.browser.get(f"/inquiries/{name}").text


def test_what_is_exported_comes_in_again(desk: Served) -> None:
    """With the files that it names; and the command line's own file comes in too."""
    name = desk.begin("example", "4_tiny_lots")
    packed = desk.browser.get(f"/inquiries/{name}/export")
    assert packed.headers["content-type"] == "application/zip"
    data = {"form_key": desk.form_key}
    answer = desk.browser.post(
        "/inquiries/files", data=data, files=[("files", ("a.zip", packed.content))], headers=ORIGIN
    )
    again = answer.url.path.rpartition("/")[2]
    assert text_of(desk, again) == text_of(desk, name)
    assert desk.browser.get(f"/api/inquiries/{again}").json()["files"] == ["parts.csv"]
    assert desk.browser.get(f"/api/inquiries/{again}").json()["errors"] == []


def zipped(**members: bytes) -> bytes:
    """A zip of these files."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as packed:
        for path, content in members.items():
            packed.writestr(path.replace("__", "/"), content)
    return stream.getvalue()


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.zip", b"no zip", "a zip that this desk exported"),
        ("a.zip", zipped(**{"inquiry.yaml": b"name: a", "big.csv": b"0" * 50_000_000}), "at most 40 files of 40 MB"),
        ("a.zip", zipped(**{"inquiry.yaml": b"name: a", "..__..__evil.csv": b"0"}), "a path inside the folder"),
        ("a.zip", zipped(**{"inquiry.yaml": b"name: a", "run.exe": b"0"}), "a file that ends in one of"),
        ("a.csv", b"a", "one inquiry file"),
        ("a.yaml", b"\xff\xfe\x00", "the file in UTF-8"),
        ("a.yaml", b"x" * 1_100_000, "an inquiry of at most 1 MB"),
    ],
    # a zip holds the time that it was made at, so no name is made of it
    ids=("no_zip", "large", "climbs", "program", "alone", "not_text", "long"),
)
def test_files_that_are_not_taken_are_told(desk: Served, name: str, content: bytes, words: str) -> None:
    """Sizes before anything is opened; no path out of the folder; no kind that no inquiry names."""
    answer = desk.browser.post(
        "/inquiries/files", data={"form_key": desk.form_key}, files=[("files", (name, content))], headers=ORIGIN
    )

    assert answer.status_code == 422
    assert words in answer.text


def test_a_customers_copy_holds_nothing_internal(desk: Served, files: Files) -> None:
    """Its pages and files are those of the copy; the switch is seen on every page, and no link leads to cost."""
    piece = studied(desk.store, desk.begin(), files)
    for part in ("answer", "money", "facts"):
        page = desk.browser.get(f"/studies/{piece}/customer/{part}").text
        assert "Customer&#39;s copy" in page or "Customer's copy" in page
        assert ".estimate.cost" not in page
        assert ".estimate.margin" not in page
        assert "/inquiries/" not in page
    assert "estimate.cost" in files["own"]["study.json"].decode()
    assert "estimate.cost" not in files["customer"]["study.json"].decode()
    assert desk.browser.get(f"/studies/{piece}/customer/files/pages/money").status_code == 404


def test_a_figure_is_moved_and_the_money_follows(desk: Served, files: Files) -> None:
    """At once, then simulated and marked as such; the address holds what was moved; the record is no download."""
    piece = studied(desk.store, desk.begin(), files)
    at = f"/studies/{piece}/own/whatif"
    first = desk.browser.get(at).text
    assert 'name="people.wage"' in first
    assert "At once, output as simulated before" in first
    moved = desk.browser.get(f"{at}/figures?people.wage=60&parts.part.nonsense=x").text
    assert 'hx-get="' + at + "/simulated?people.wage=60" in moved
    assert "instead of" in moved
    assert "installed price" in moved or "installed price" in first
    assert "Simulated anew" in desk.browser.get(f"{at}/simulated?people.wage=60").text
    again = desk.browser.get(f"{at}?people.wage=60").text
    assert 'value="60.0"' in again or 'class="now moved"' in again
    assert desk.browser.get(f"/studies/{piece}/own/files/{RECORD}").status_code == 404
    assert desk.browser.get(f"/api/pieces/{piece}/own/{RECORD}").status_code == 404
    assert not any(map(is_record, desk.browser.get(f"/api/pieces/{piece}").json()["files"]["own"]))
    assert "/record" not in desk.browser.get(f"/studies/{piece}/own/files").text
    assert desk.browser.get(f"/studies/{piece}/nobody/whatif").status_code == 404


def test_the_customer_moves_figures_without_what_is_internal(desk: Served, files: Files) -> None:
    """The same figures come of it; neither cost nor margin can be moved, and nothing leads into the house."""
    piece = studied(desk.store, desk.begin(), files)
    pages = {copy: desk.browser.get(f"/studies/{piece}/{copy}/whatif?people.wage=60").text for copy in COPIES}
    tiles = {copy: re.findall(r"<dd>([^<]*)<small>", page) for copy, page in pages.items()}

    assert len(tiles["own"]) == 2
    assert tiles["customer"] == tiles["own"]
    page = pages["customer"]
    assert not any(each in page for each in ("margin_share", "estimate.cost", "money.past", "/inquiries/"))
    assert f"/studies/{piece}/customer/whatif/simulated?people.wage=60" in page
    assert f'href="/studies/{piece}/customer/whatif"' in desk.browser.get(f"/studies/{piece}/customer/answer").text


def test_downloads_are_files_whatever_they_are_called(desk: Served, files: Files) -> None:
    """Never shown inside our address; letters of any language in the name."""
    name = desk.begin("example", "4_tiny_lots")
    desk.send(f"/inquiries/{name}/field", path="name", base=1, text='Müller "5" \\ Söhne')
    header = desk.browser.get(f"/inquiries/{name}/export").headers["content-disposition"]
    assert header == (
        "attachment; filename=\"M_ller _5_ _ S_hne.zip\"; filename*=UTF-8''M%C3%BCller%20%225%22%20%5C%20S%C3%B6hne.zip"
    )
    piece = studied(desk.store, name, files)
    for copy in COPIES:
        answer = desk.browser.get(f"/studies/{piece}/{copy}/files/report.html")
        assert answer.headers["content-disposition"].startswith("attachment;")
        assert answer.content == files[copy]["report.html"]


@pytest.mark.parametrize(
    "path", ["/inquiries/none", "/studies/x/own/answer", "/pieces/none", "/inquiries/none/text", "/nothing"]
)
def test_what_is_not_there_is_said_on_a_page(desk: Served, path: str) -> None:
    """404 with a way back."""
    answer = desk.browser.get(path)

    assert answer.status_code == 404
    assert 'href="/"' in answer.text


def test_the_address_of_the_tests_is_the_servers(desk: Served) -> None:
    """A browser asks under the name that it came in by."""
    assert str(desk.browser.base_url).rstrip("/") == BASE
