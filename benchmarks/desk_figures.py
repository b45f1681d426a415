"""How quick the web app is, in the real browser: pages beside a still page of the same size, and sliders."""

import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

import httpx2 as httpx
from playwright.sync_api import Browser, Page

from benchmarks.measuring import Gate, Line, median_line
from millhand.catalogue.assumptions import assumptions
from millhand.catalogue.components import read_catalogue
from millhand.intake.inquiry import read_inquiry
from millhand.model.study import Study
from millhand.report.pages import study_pages
from millhand.report.study_json import study_as_json
from millhand.run import LocalRunner, Nobody, packed
from millhand.whole import answered
from tests.browser.chromium import running
from tests.web.live import Live, live
from tests.web.serving import studied

EXAMPLE = Path(__file__).resolve().parents[1] / "examples" / "1_two_mills" / "inquiry.yaml"
PAINT = "performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? null"
MOVE = """([name, share]) => { const each = document.getElementsByName(name)[0];
  each.value = +each.min + (each.max - each.min) * share;
  each.dispatchEvent(new Event('input', {bubbles: true})); return performance.now(); }"""
SEEN = """(before) => new Promise((done) => { const look = () => {
  const now = document.getElementById('figures').textContent;
  now !== before[0] && now.includes(before[1]) ? requestAnimationFrame(() => done(performance.now()))
    : setTimeout(look, 4); }; look(); })"""
PLAIN, CHARTS = 300.0, 1000.0  # kB
MOVES = 100


def pages(rounds: int) -> Iterator[Line]:
    """Sizes of all pages, and the first paint of the call sheet beside a still page of its size."""
    with tempfile.TemporaryDirectory() as folder, running() as browser, live(Path(folder)) as server:
        done, inquiry = a_study(), begun(server)
        made = study_pages(done, text=study_as_json(done))
        piece = studied(server.store, inquiry, {"own": {f"pages/{name}": text.encode() for name, text in made.items()}})
        page = entered(browser, server)
        own = [f"/inquiries/{inquiry}{end}" for end in ("", "/form?of=machines", "/questions", "/text", "/history")]
        plain = [size(page, path) for path in ("/", *own, *(f"/studies/{piece}/own/{each}" for each in made
                 if each.startswith("facts")))]  # fmt: skip
        charts = [size(page, f"/studies/{piece}/own/{each}") for each in made if not each.startswith(("facts", "head"))]
        yield Line(figure="desk_page", value=max(plain), low=min(plain), high=max(plain), rounds=len(plain),
                   unit="kB transferred, the largest page without charts", gate=Gate(most=PLAIN))  # fmt: skip
        yield Line(figure="desk_chart_page", value=max(charts), low=min(charts), high=max(charts), rounds=len(charts),
                   unit="kB transferred, the largest page with charts", gate=Gate(most=CHARTS))  # fmt: skip
        page.goto(own[0])
        (Path(folder) / "still.html").write_text(page.content(), encoding="utf-8")
        with still(Path(folder)) as other:
            ratios = [paint(page, server.url + own[0]) / paint(page, f"{other}/still.html") for _ in range(rounds)]
        yield median_line("desk_first_paint", ratios, unit="times that of a still page of the same size")


def sliders(rounds: int) -> Iterator[Line]:
    """From a moved slider to the new payback on the screen, at once and simulated."""
    with tempfile.TemporaryDirectory() as folder, running() as browser, live(Path(folder)) as server:
        piece = studied(server.store, begun(server), {"own": {"record": packed(a_study())}})
        page = entered(browser, server)
        page.goto(f"/studies/{piece}/own/whatif")
        found: dict[str, list[float]] = {"At once": [], "Simulated anew": []}
        for number in range(MOVES * rounds):
            before = str(page.locator("#figures").text_content())
            began = page.evaluate(MOVE, ["people.wage", ((number * 37) % 101) / 101])
            for words, times in found.items():
                times.append(page.evaluate(SEEN, [before, words]) - began)
        for words, gate in (("At once", 150.0), ("Simulated anew", 1500.0)):
            times = sorted(found[words])
            middle = times[int(0.95 * len(times))]
            name = "desk_slider" if words == "At once" else "desk_slider_simulated"
            yield Line(figure=name, value=middle, low=times[0], high=times[-1], rounds=len(times),
                       unit="ms, 95 of 100 moves", gate=Gate(most=gate))  # fmt: skip


def a_study() -> Study:
    """The first example, answered."""
    inquiry, catalogue = read_inquiry(EXAMPLE, assumptions()), read_catalogue()
    return answered(inquiry, catalogue, seed=1, draws=40, runner=LocalRunner(workers=2), watch=Nobody())


def begun(server: Live) -> str:
    """The first example on the desk."""
    sent = {"kind": "text", "text": EXAMPLE.read_text(encoding="utf-8")}
    answer = httpx.post(f"{server.url}/api/inquiries", json=sent, headers=server.headers, timeout=60)
    return str(answer.json()["id"])


def entered(browser: Browser, server: Live) -> Page:
    """A window that came in."""
    page = browser.new_context(base_url=server.url).new_page()
    page.goto(f"/enter?key={server.app.state.gate.key}")
    page.get_by_role("button", name="Open the desk").click()
    page.wait_for_url(server.url + "/")
    return page


def size(page: Page, path: str) -> float:
    """The kB of a page itself as it comes over the wire; scripts and styles come once and are kept by the browser."""
    answer = page.goto(path)
    assert answer is not None
    assert answer.ok, path
    return answer.request.sizes()["responseBodySize"] / 1000.0


def paint(page: Page, url: str) -> float:
    """Milliseconds to the first paint of a page."""
    page.goto(url)
    end = time.monotonic() + 10.0
    while time.monotonic() < end:
        found = page.evaluate(PAINT)
        if found is not None:
            return float(found)
        time.sleep(0.01)
    raise TimeoutError(url)


@contextmanager
def still(folder: Path) -> Iterator[str]:
    """A server of files, which does nothing else."""

    class Quiet(SimpleHTTPRequestHandler):
        """Without a word on the screen."""

        def __init__(self, *given: object, **rest: object) -> None:
            super().__init__(*given, directory=str(folder), **rest)  # type: ignore[arg-type]

        def log_message(self, *_: object) -> None:
            """Say nothing."""

    with ThreadingHTTPServer(("127.0.0.1", 0), Quiet) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()
