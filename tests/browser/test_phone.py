"""The forms of a site manager on a phone: light, and large enough for a thumb."""

from __future__ import annotations

import re

import pytest

# How the style sheets number the pages on paper: this page, and how many there are.
PAGE_RULES = """
[...document.styleSheets].flatMap(sheet => [...sheet.cssRules])
  .filter(rule => rule instanceof CSSPageRule).map(rule => rule.cssText)
"""
FORMS = (
    "/stores/receipts/expected/",
    "/stores/receipts/new/",
    "/stores/receipts/measure/",
    "/stores/1/count/",
    "/stores/1/waste/",
)


@pytest.mark.parametrize("path", FORMS)
def test_controls_are_48_px_high(visitor, path):
    with visitor("imran", width=320, touch=True) as site:
        assert site.go(path) == 200
        assert site.small_controls() == []


def test_receipt_form_is_at_most_60_kb_in_6_requests(visitor, chromium, service):
    with visitor("imran", width=320, touch=True) as site:
        cookies = site.page.context.cookies()
    cold = chromium.new_context(base_url=service, viewport={"width": 320, "height": 640})
    cold.add_cookies(cookies)
    page = cold.new_page()
    sizes = []
    page.on("requestfinished", lambda request: sizes.append(sum(request.sizes().values())))
    page.goto("/stores/receipts/new/", wait_until="networkidle")
    cold.close()

    assert len(sizes) <= 6
    assert sum(sizes) <= 60_000


def test_bill_on_paper_carries_its_title_block(visitor):
    with visitor("asha") as office:
        office.go("/bills/1/")
        office.page.emulate_media(media="print")

        assert office.page.locator(".title-block").is_visible()
        assert not office.page.locator(".nav").first.is_visible()
        box = office.page.locator(".frame").bounding_box()
        assert box["width"] > 0.9 * office.page.viewport_size["width"]
        assert office.page.pdf(format="A4").startswith(b"%PDF")
        rules = office.page.evaluate(PAGE_RULES)
        assert [re.findall(r"counter\((\w+)\)", rule) for rule in rules] == [["page", "pages"]]
