"""A visitor: a page of a real browser that notes everything a visitor would call broken."""

from __future__ import annotations

import shutil
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page

CHROMIUM = shutil.which("chromium") or "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


class Visitor:
    """Goes through the pages; `faults` fills with script errors, foreign requests and server faults."""

    def __init__(self, page: Page, *, address: str) -> None:
        self.page = page
        self.address = address
        self.faults: list[str] = []
        self.taps = 0
        page.on("console", self._console)
        page.on("pageerror", lambda error: self.faults.append(f"script: {error}"))
        page.on("request", self._request)
        page.on("response", self._response)

    def _console(self, message: Any) -> None:
        # Chromium itself reports every answer above 399; those are judged by _response.
        if message.type in {"error", "warning"} and "Failed to load resource" not in message.text:
            self.faults.append(f"console: {message.text}")

    def _request(self, request: Any) -> None:
        if not request.url.startswith((self.address, "data:", "blob:")):
            self.faults.append(f"request elsewhere: {request.url}")

    def _response(self, response: Any) -> None:
        if response.status >= 500:
            self.faults.append(f"{response.status}: {response.url}")

    def sign_in(self, who: str, *, password: str) -> None:
        """Sign in as somebody of the demo firm."""
        self.page.goto("/sign-in/")
        self.page.fill("#id_username", who)
        self.page.fill("#id_password", password)
        self.page.click("button.primary")
        self.page.wait_for_url(f"{self.address}/")

    def go(self, path: str) -> int:
        """Open a page and return its status."""
        answer = self.page.goto(path)
        assert answer is not None
        return int(answer.status)

    def tap(self, words: str, *, role: str = "link", exact: bool = False) -> None:
        """Tap the first thing of these words, as a thumb would, and count it."""
        self.tap_on(self.page.get_by_role(role, name=words, exact=exact))  # type: ignore[arg-type] # a role's name

    def tap_on(self, target: Locator) -> None:
        """Tap the first of these and wait for the page that it leads to."""
        with self.page.expect_navigation():
            target.first.tap()
        self.taps += 1

    def is_too_wide(self) -> bool:
        """Say whether the page scrolls sideways."""
        return bool(self.page.evaluate("document.documentElement.scrollWidth > window.innerWidth"))

    def barriers(self) -> list[str]:
        """Name what axe-core finds, with the element at fault."""
        found = Axe().run(self.page, options=RULES).response["violations"]
        return [f"{v['id']}: {v['nodes'][0]['html'][:120]}" for v in found]
