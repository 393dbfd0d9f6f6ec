"""Takes the README's picture of *To decide*: an answer in words of the sample set, at the size of a small screen.

``python -m tests.desk.take_picture samples/pictures/desk.png``
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
SCREEN = {"width": 1024, "height": 600}


def opened(page: Page, address: str) -> None:
    """Come in, put the sample set on the desk and go on to the first answer with ideas in it and others like it."""
    page.goto(address)
    page.keyboard.press("n")
    page.wait_for_selector("td a.button")
    start = page.locator("td a.button").first.get_attribute("href") or ""
    page.goto(page.url.rstrip("/") + start.rsplit("/", 1)[0] + "/decide")
    for _ in range(80):
        if page.locator("blockquote mark").count():
            return
        with page.expect_navigation():
            page.keyboard.press("l")
    raise SystemExit("no answer in words waits")


def main(out: str) -> None:
    """Open a desk, and photograph it."""
    browser = next(found for name in ("chromium", "chromium-browser") if (found := shutil.which(name)))
    with tempfile.TemporaryDirectory() as folder:
        record = str(Path(folder) / "desk.record")
        command = [sys.executable, "-m", "marking", "desk", "--record", record, "--no-browser", "--by", "Ms Calloway"]
        with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as desk, sync_playwright() as play:
            assert desk.stdout is not None
            address = re.search(r"http://\S+", desk.stdout.readline())
            assert address is not None
            chrome = play.chromium.launch(executable_path=browser, args=["--no-sandbox"])
            page = chrome.new_page(viewport=SCREEN)  # type: ignore[arg-type]
            opened(page, address[0])
            page.screenshot(path=out)
            chrome.close()
            desk.terminate()


if __name__ == "__main__":
    main(*sys.argv[1:])
