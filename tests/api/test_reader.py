"""The reader of the document in a real browser: it works under its policy, and asks nobody else."""

from __future__ import annotations

import shutil

import pytest
from playwright.sync_api import sync_playwright

from tests.factories import cast as people

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def browser(monkeypatch):
    monkeypatch.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "true")  # the browser's driver runs a loop in this thread
    with sync_playwright() as driver:
        opened = driver.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        yield opened
        opened.close()


def test_reader_shows_the_acts_and_breaks_no_policy(live_server, browser):
    people.cast()
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    said, asked = [], []
    page.on("console", lambda message: said.append(f"{message.type}: {message.text}"))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(live_server.url + "/sign-in/?next=/api/v1/docs/")
    page.fill("[name=username]", "alice")
    page.fill("[name=password]", people.PASSWORD)
    page.keyboard.press("Enter")

    page.wait_for_selector(".opblock", timeout=60_000)

    receipts = page.locator(".opblock-summary-path[data-path='/api/v1/receipts/']")
    for _ in range(100):  # the reader draws only what is near the window
        if receipts.count() == 2:
            break
        page.mouse.wheel(0, 400)
        page.wait_for_timeout(100)
    assert receipts.count() == 2
    receipts.last.click()
    page.wait_for_selector(".opblock-body .parameters")
    page.get_by_role("button", name="Try it out").click()
    assert [line for line in said if line.startswith("error")] == []
    assert [url for url in asked if not url.startswith((live_server.url, "data:"))] == []
