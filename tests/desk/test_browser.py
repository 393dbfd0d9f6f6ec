"""The round in a real browser, by keyboard alone; no page breaks a rule of accessibility."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright

from marking.decided.decisions import MarkGiven
from marking.record.chain import breaks
from marking.record.opening import open_record
from tests.checking.rows import CUBOID
from tests.desk.sitting import RUBRICS
from tests.desk.test_desk_sets import class_csv

ROOT = Path(__file__).resolve().parents[2]
SMALL = {"width": 1024, "height": 600}
ZOOMED = {"width": 512, "height": 300}
"""What 200 % of zoom leaves of the small screen."""
NAMES = ("chromium", "chromium-browser", "google-chrome")


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """The browser that is installed; skipped by name where there is none, except where all must run."""
    path = next((found for name in NAMES if (found := shutil.which(name))), None)
    if path is None:
        if os.environ.get("WRITEUPS_CI") == "1":
            pytest.fail("WRITEUPS_CI is set, and there is no Chromium here")
        pytest.skip("no Chromium on this machine")
    with sync_playwright() as play:
        # In a container the browser cannot make a sandbox of its own as root.
        started = play.chromium.launch(executable_path=path, args=["--no-sandbox"] if os.geteuid() == 0 else [])
        yield started
        started.close()


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """The first address of an empty desk."""
    with desk_at(tmp_path / "desk.record") as first:
        yield first


@contextmanager
def desk_at(record: Path) -> Iterator[str]:
    """Give the first address of a desk in a process of its own."""
    command = [sys.executable, "-m", "marking", "desk", "--record", str(record), "--no-browser"]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as desk:
        assert desk.stdout is not None
        found = re.search(r"http://127\.0\.0\.1:\d+/\?key=\S+", desk.stdout.readline())
        assert found is not None
        yield found[0]
        desk.terminate()
        assert desk.wait(timeout=20) in (0, -15)


def faults(page: Page) -> list[str]:
    """Return the rules that a page breaks, each with the first place."""
    found = Axe().run(page).response["violations"]
    return [f"{page.url}: {one['id']}: {one['nodes'][0]['html'][:120]}" for one in found]


def press(page: Page, key: str) -> None:
    """Press a key that leads to another page."""
    with page.expect_navigation():
        page.keyboard.press(key)


def begin(browser: Browser, address: str, screen: dict[str, int], *, script: bool = True) -> Page:
    """Return a page that has come in and said who decides."""
    context = browser.new_context(viewport=screen, java_script_enabled=script)  # type: ignore[arg-type]
    page = context.new_page()
    page.set_default_timeout(60_000)
    page.goto(address)
    assert "key=" not in page.url
    page.keyboard.type("Mr Pellow")
    press(page, "Enter")
    return page


@pytest.mark.campaign
def test_a_round_by_keyboard_alone(browser: Browser, address: str, tmp_path: Path) -> None:
    """Name, sample set, a cell mended, every mark a key, sheets printed, signed and closed; every page is sound."""
    page = begin(browser, address, SMALL)
    broken = faults(page)
    press(page, "n")
    page.wait_for_selector("td a.button")
    broken += faults(page)
    press(page, "n")
    broken += faults(page)
    page.keyboard.type("24.0")
    press(page, "Enter")
    press(page, "n")
    broken += faults(page)
    keys, decided = ("a", "w"), 0
    press(page, "l")
    press(page, "u")
    while page.locator("button[data-key=a]").count():
        alike = page.locator("button[data-key=W]").count()
        press(page, "W" if alike else keys[decided % 2])
        decided += 1
        if decided in (3, 12):
            broken += faults(page)
    assert decided > 10
    broken += faults(page)
    press(page, "n")
    broken += faults(page)
    sheets = page.locator("a[data-key=p]").get_attribute("href")
    with page.context.expect_page() as opened:
        page.keyboard.press("p")
    opened.value.close()
    assert page.request.get(page.url.split("/set/")[0] + str(sheets)).body().startswith(b"%PDF")
    assert page.url.endswith("/feedback")
    press(page, "n")
    broken += faults(page)
    press(page, "n")
    assert "signed and closed" in page.inner_text("main")
    broken += faults(page)
    base = page.url.rsplit("/", 1)[0]
    script = ("student/2", "student/2/words", "student/2/evening")
    for path in (
        "class",
        "benches",
        "leads",
        "time",
        *script,
        "nowhere",
        f"decide/{page_criterion()}/2",
        "../../department",
    ):
        page.goto(f"{base}/{path}")
        broken += faults(page)
    assert broken == []
    record = open_record(str(tmp_path / "desk.record"), may_begin=False)
    assert breaks(record.whole()) == ()
    (name,) = record.sets()
    assert {one.who for one in record.decisions(name)} == {"Mr Pellow"}
    record.close()


@pytest.mark.campaign
def test_thirty_scripts_by_counted_keys(browser: Browser, tmp_path: Path) -> None:
    """One key a decision and one to go on from a page: nothing else is pressed from the open set to the closed one."""
    folder = tmp_path / "desk.sets" / "11C"
    folder.mkdir(parents=True)
    (folder / "11C.csv").write_bytes(class_csv({f"S{number:02}": CUBOID for number in range(30)}))
    with desk_at(tmp_path / "desk.record") as address:
        page = begin(browser, address, SMALL)
        while not page.locator("td a.button").count():
            page.goto(page.url)
        presses, pages, decided = 0, [], 0
        while "signed and closed" not in page.inner_text("main"):
            deciding = page.locator("button[data-key=a]").count() > 0
            key = ("a", "w")[decided % 2] if deciding else "n"
            assert page.locator(f"[data-key={key}]").count() == 1, page.url
            press(page, key)
            presses += 1
            decided += deciding
            pages += [] if deciding else [page.url]
            assert presses < 500
    record = open_record(str(tmp_path / "desk.record"), may_begin=False)
    (name,) = record.sets()
    given = [one for one in record.decisions(name) if isinstance(one, MarkGiven)]
    record.close()
    assert len(given) == decided >= 30
    assert len({one.student for one in given}) == 30
    # Sets, feedback, close: one key each to go on.
    assert presses - decided == len(pages) <= 4


def page_criterion() -> str:
    """Return a criterion of the sample set that is worked out."""
    return next(one.code for one in RUBRICS["cooling-insulation"].criteria if one.check.value == "value")


@pytest.mark.campaign
@pytest.mark.parametrize("screen", [SMALL, ZOOMED], ids=["1024 x 600", "at 200 %"])
def test_nothing_runs_off_the_side(browser: Browser, address: str, screen: dict[str, int]) -> None:
    """On a small screen and at 200 % of zoom each page scrolls one way only, and the buttons can be reached."""
    page = begin(browser, address, screen)
    press(page, "n")
    page.wait_for_selector("td a.button")
    base = page.locator("td a.button").first.get_attribute("href")
    assert base is not None
    start = page.url.rstrip("/") + base.rsplit("/", 1)[0]
    more = ("benches", "leads", "student/2/words", "student/2/evening", "../../department")
    for path in ("cells", "decide", "class", "time", "student/2", "feedback", "close", *more):
        page.goto(f"{start}/{path}")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), path
    page.goto(f"{start}/decide")
    box = page.locator("button[data-key=a]").bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= screen["height"] * (1 if screen is SMALL else 2)
    assert page.evaluate("document.activeElement.dataset.key") == "a"


@pytest.mark.campaign
def test_a_key_typed_into_a_reason_decides_nothing(browser: Browser, address: str) -> None:
    """While somebody types, letters are letters."""
    page = begin(browser, address, SMALL)
    press(page, "n")
    page.wait_for_selector("td a.button")
    href = page.locator("td a.button").first.get_attribute("href")
    assert href is not None
    page.goto(page.url.rstrip("/") + href.rsplit("/", 1)[0] + f"/decide/{page_criterion()}/2")
    before = page.url
    page.locator("#why").focus()
    page.keyboard.type("a walk late")
    assert page.url == before
    assert page.input_value("#why") == "a walk late"


@pytest.mark.campaign
def test_the_round_works_without_script(browser: Browser, address: str) -> None:
    """Plain forms: Tab and Enter lead through."""
    page = begin(browser, address, SMALL, script=False)
    with page.expect_navigation():
        page.get_by_role("button", name="Try the sample set").press("Enter")
    while not page.locator("td a.button").count():
        page.goto(page.url)
    href = page.locator("td a.button").first.get_attribute("href")
    assert href is not None
    page.goto(page.url.rstrip("/") + href.rsplit("/", 1)[0] + "/decide")
    first = page.url
    with page.expect_navigation():
        page.get_by_role("button", name="Award").first.press("Enter")
    assert page.url != first
    assert page.get_by_role("button", name="Undo").count() == 1


def test_a_key_is_first_for_what_the_page_is_about(browser: Browser) -> None:
    """Where two marks can be given 2 gives them, whatever way at the head has the same key; elsewhere it leads on."""
    page = browser.new_page()
    script = (ROOT / "marking/desk/static/desk.js").read_text(encoding="utf-8")
    head = '<header><a href="#" data-key="2" onclick="said = \'way\'">Second marking</a></header>'
    for main, wanted in (('<button data-key="2" onclick="said = \'marks\'">Give 2</button>', "marks"), ("", "way")):
        page.set_content(f"<script>let said = ''</script>{head}<main>{main}</main><script>{script}</script>")
        page.keyboard.press("2")
        assert page.evaluate("said") == wanted
