"""The shared desk in a real browser, several people at once; no page breaks a rule of accessibility."""

from __future__ import annotations

import io
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from marking.record.opening import open_record
from tests.commands.running import ROOT, run_here
from tests.desk.test_browser import SMALL, ZOOMED, browser, faults, press  # noqa: F401 - the browser of the desk's tests
from tests.staffroom.serving import HEAD, PASSWORD, PEOPLE, TECHNICIAN, sample_department

MARKER, OTHER = "Ms Calloway", "Mr Fenn"


@pytest.fixture
def address(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """A desk of the sample department in a process of its own."""
    record = str(tmp_path / "department.record")
    for name in (HEAD, MARKER, OTHER, TECHNICIAN):
        monkeypatch.setattr(sys, "stdin", io.StringIO(f"{PASSWORD}\n{PASSWORD}\n"))
        assert run_here("desk", "--record", record, "--add", name, "--role", PEOPLE[name].value).status == 0
    command = [sys.executable, "-m", "marking", "desk", "--record", record, "--serve", "127.0.0.1:0"]
    command += ["--department", str(sample_department() / "department.csv")]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as desk:
        assert desk.stdout is not None
        found = re.search(r"http://127\.0\.0\.1:\d+", desk.stdout.readline())
        assert found is not None
        yield found[0]
        desk.terminate()
        assert desk.wait(timeout=30) in (0, -15)


def come_in(browser: Browser, address: str, name: str, screen: dict[str, int] = SMALL) -> Page:  # noqa: F811
    """Return a page of a browser of *name*'s own, by keyboard."""
    page = browser.new_context(viewport=screen).new_page()  # type: ignore[arg-type]
    page.set_default_timeout(60_000)
    page.goto(address)
    page.keyboard.type(name)
    page.keyboard.press("Tab")
    page.keyboard.type(PASSWORD)
    press(page, "Enter")
    assert f"Signed in: {name}" in page.inner_text("header")
    return page


def narrow(page: Page) -> bool:
    """Tell whether a page scrolls one way only."""
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def a_question(head: Page, owner: Page, reviewer: Page, address: str) -> list[str]:
    """Take a question down as *owner*, give it on as *head*, answer it as *reviewer*; return what pages break."""
    owner.goto(f"{address}/questions?student=P001")
    broken = faults(owner)
    owner.click("main ul a")
    broken += faults(owner)
    owner.fill("#why", "I named the source")
    with owner.expect_navigation():
        owner.click("main form button.first")
    broken += faults(owner)
    where = owner.url
    head.goto(where)
    broken += faults(head)
    head.select_option("#reviewer", OTHER)
    with head.expect_navigation():
        head.click("button[value=pass]")
    reviewer.goto(f"{address}/questions")
    broken += faults(reviewer)
    press(reviewer, "n")
    assert reviewer.url == where
    broken += faults(reviewer)
    assert narrow(reviewer)
    reviewer.fill("#why", "it is named in line two")
    with reviewer.expect_navigation():
        reviewer.click("button[value=answer]")
    assert "The mark stays as it is" in reviewer.inner_text("main")
    return broken + faults(reviewer)


@pytest.mark.campaign
def test_a_department_in_several_browsers(browser: Browser, address: str, tmp_path: Path) -> None:  # noqa: F811
    """Drawn by one, marked by two at once by keyboard, handed in, read, ruled on, signed; each sees their own."""
    first = browser.new_page()
    first.goto(address)
    broken = faults(first)
    head = come_in(browser, address, HEAD)
    while head.locator("tbody tr").count() < 9:
        head.wait_for_timeout(500)
        head.reload()
    head.goto(f"{address}/moderation")
    broken += faults(head)
    head.fill("#seed", "autumn")
    head.check("#kind-together")
    head.fill("#together", "3")
    with head.expect_navigation():
        head.click("main form button.first")
    broken += faults(head)
    one, other = come_in(browser, address, MARKER), come_in(browser, address, OTHER, ZOOMED)
    for page in (one, other):
        page.goto(f"{address}/second")
        broken += faults(page)
        press(page, "n")
        broken += faults(page)
        press(page, "n")
        broken += faults(page)
        assert narrow(page)
    before = one.url
    one.locator("#remark").focus()
    one.keyboard.type("a walk w")
    assert one.url == before
    one.keyboard.press("Escape")
    for number in range(60):
        waiting = [page for page in (one, other) if page.locator("button[data-key=a]").count()]
        if not waiting:
            break
        for page in waiting:  # in turn: both have a mark on the screen all the time
            press(page, "w" if number % 3 == 0 and page is one else "a")
    for page in (one, other):
        press(page, "n")
        assert "handed in" in page.inner_text("main")
        broken += faults(page)
        page.goto(f"{address}/moderation")
        assert "not open to your role" in page.inner_text("main")
        broken += faults(page)
        page.goto(f"{address}/signatures")
        broken += faults(page)
    head.reload()
    assert "all agree on" in head.inner_text("main")
    broken += faults(head)
    head.goto(f"{address}/moderation")
    head.fill("#seed", "7")
    head.fill("#boundaries", "4,7,10")
    with head.expect_navigation():
        head.click("main form button.first")
    where = head.url
    for page, stem in ((one, "MsCalloway"), (other, "MrFenn")):
        page.goto(f"{address}/second")
        page.locator("main a.button", has_text="Mark").click()
        (pack,) = (sample_department() / "returned").glob(f"{stem}-*.xlsx")
        page.set_input_files("#file", str(pack))
        with page.expect_navigation():
            page.click("button[value=file]")
        assert "handed in" in page.inner_text("main")
    head.goto(where)
    assert "Mean difference" in head.inner_text("main")
    broken += faults(head)
    assert narrow(head)
    head.goto(f"{where}/rule?ruling=accept&marker=Mr+Fenn")
    broken += faults(head)
    head.fill("#why", "sound")
    with head.expect_navigation():
        head.click("main form button.first")
    assert "Mr Fenn: first marks accepted" in head.inner_text("main")
    one.goto(f"{address}/signatures")
    broken += faults(one)
    with one.expect_navigation():
        one.click("text=Sign as First marker")
    assert f"First marker: {MARKER}" in one.inner_text("main")
    broken += a_question(head, one, other, address)
    bench = come_in(browser, address, TECHNICIAN)
    broken += faults(bench)
    bench.goto(f"{address}/password")
    broken += faults(bench)
    with bench.expect_navigation():
        bench.click("text=Sign out")
    assert bench.url.endswith("/sign-in")
    bench.go_back()
    bench.reload()
    assert bench.url.endswith("/sign-in")
    assert broken == []
    record = open_record(str(tmp_path / "department.record"), may_begin=False)
    assert {one.who for one in record.all_decisions(about="second-mark")} == {MARKER, OTHER}
    record.close()
