"""A visitor: a page of a real browser that notes everything a visitor would call broken."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from typing import Any

from axe_playwright_python.base import AXE_SCRIPT
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
NOTHING_BUT_CONTRAST = ["color-contrast"]
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]

# Only what is wrong comes back: what passes is a thousand times as much.
LOOK = """
rules => axe.run({runOnly: rules, resultTypes: ["violations"], elementRef: false})
  .then(found => found.violations.map(v => `${v.id}: ${v.nodes[0].html.slice(0, 120)}`))
"""

# What a thumb has to hit: controls, and the links by which a row of a list is worked on.
SMALL = """
[...document.querySelectorAll(
  `main :is(button, .button, .choice, .links a, select, textarea,
    input:not([type=hidden], [type=checkbox]))`)]
  .filter(e => e.checkVisibility())
  .map(e => [e.textContent.trim().slice(0, 40) || e.name, Math.round(e.getBoundingClientRect().height)])
  .filter(([, height]) => height < 48)
"""
MOST_TABS = 120


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

    def key_in_box(self, box: Locator, *, figure: str) -> None:
        """Tap into a box and key in a figure over what stands there; the tap counts, the digits do not."""
        box.tap()
        self.taps += 1
        self.page.keyboard.press("ControlOrMeta+a")
        self.page.keyboard.type(figure)
        assert box.input_value() == figure

    def tab_to(self, target: Locator) -> None:
        """Go on with the Tab key alone until the thing has the focus, as somebody without a mouse would."""
        for _ in range(MOST_TABS):
            if target.evaluate("found => found === document.activeElement"):
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"not reached within {MOST_TABS} tabs: {target}")

    def press(self, words: str, *, role: str = "button") -> None:
        """Tab to a control, press Enter on it and wait for the page that it leads to."""
        self.tab_to(self.page.get_by_role(role, name=words).first)  # type: ignore[arg-type] # a role's name
        with self.page.expect_navigation():
            self.page.keyboard.press("Enter")

    def text(self) -> str:
        """Return the words of the sheet, with every kind of space as a plain one."""
        return " ".join(self.page.inner_text("main").split())

    def said(self) -> str:
        """Return what the page says was done."""
        return self.page.locator(".messages").inner_text()

    def small_controls(self) -> list[list[Any]]:
        """Name what is on the page too low for a thumb in a glove, with its height in px."""
        return list(self.page.evaluate(SMALL))

    def is_too_wide(self) -> bool:
        """Say whether the page scrolls sideways."""
        return bool(self.page.evaluate("document.documentElement.scrollWidth > window.innerWidth"))

    def barriers(self, *, rules: Sequence[str] = RULES) -> list[str]:
        """Name what axe-core finds, with the element at fault."""
        if not self.page.evaluate("'axe' in window"):
            self.page.evaluate(AXE_SCRIPT)
        return list(self.page.evaluate(LOOK, rules))
