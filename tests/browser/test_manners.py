"""What a form does when it is sent twice or refused, and what is left of the pages without script."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import expect

AFTER_RECEIPT = re.compile(r"/stores/receipts/\d+/$")


def test_form_sent_again_from_the_page_before_counts_once(visitor):
    with visitor("imran", width=320, touch=True) as site:
        page = site.page
        site.go("/stores/receipts/new/")
        key = page.input_value("#id_key")
        _fill_in(page, figure="3")
        site.tap("Record receipt", role="button")
        first = page.url
        page.go_back()
        # Nothing shown to somebody signed in is kept on disk, and this Chromium keeps no page in memory, so
        # that a new, empty form comes. A browser that keeps pages shows the old form and key, as done here.
        assert page.input_value("#id_found_1") == ""
        page.locator("#id_key").evaluate("(box, key) => { box.value = key; }", key)
        _fill_in(page, figure="3")
        site.tap("Record receipt", role="button")

        assert AFTER_RECEIPT.search(first)
        assert page.url == first


def _fill_in(page, *, figure):
    page.select_option("#id_what_1", index=1)
    page.fill("#id_found_1", figure)


def test_button_tapped_twice_in_a_hurry_counts_once(visitor):
    with visitor("imran", width=320, touch=True) as site:
        page = site.page
        site.go("/stores/receipts/new/")
        _fill_in(page, figure="2")
        page.fill("#id_note_number", "HURRY-1")
        page.get_by_role("button", name="Record receipt").dblclick(no_wait_after=True)
        expect(page).to_have_url(AFTER_RECEIPT)  # the first answer may be given up for the second
        site.go("/stores/receipts/?note=HURRY-1")

        assert page.locator("main a[href*='/stores/receipts/']", has_text="RC-").count() == 1


@pytest.mark.parametrize(
    ("who", "path", "button"),
    [
        ("imran", "/stores/receipts/new/", "Record receipt"),
        ("asha", "/suppliers/new/", "Add"),
        ("asha", "/slabs/new/", "Add the slab"),
    ],
)
def test_refused_form_leads_to_what_is_to_be_mended(visitor, who, path, button):
    with visitor(who) as seen:
        page = seen.page
        seen.go(path)
        page.get_by_role("button", name=button).first.click()
        page.locator("[data-focus]").wait_for()

        assert page.evaluate("document.activeElement.matches('[role=alert]')")
        link = page.locator("[role=alert] a").first
        link.press("Enter")
        target = (link.get_attribute("href") or "").removeprefix("#")
        assert page.evaluate("document.activeElement.id || location.hash.slice(1)") == target


def test_office_works_without_script_up_to_the_sent_order_and_the_files(visitor):
    with visitor("asha", script=False) as office:
        page = office.page
        office.go("/orders/new/")
        page.select_option("#id_pack_1", index=1)
        page.fill("#id_packs_1", "2")
        page.fill("#id_price_1", "100")
        for words in ("Save the draft", "Approve", "Send"):
            page.get_by_role("button", name=words, exact=True).click()
        assert re.search(r"/orders/\d+/$", page.url)
        assert "sent" in office.text()

        table = page.request.get("/bills/1/lines.csv")
        assert table.headers["content-type"].startswith("text/csv")
        assert "cement" in table.text().lower()
        sheet = page.request.get("/designs/1/sheet/")
        assert sheet.json()["schema"] == "pourtally-design/1"
