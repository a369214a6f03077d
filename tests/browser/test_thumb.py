"""A site manager's day on a phone of 320 px, with one thumb: taps are counted, digits are not."""

from __future__ import annotations

import re

import pytest

SUPPLIER, SITE = "Blue Hollow Aggregates", "Ridge House"
SAND, STONE = "Sand – half cubic metre", "Stone, 20 mm – half cubic metre"


def choose(page, box, words):
    """Choose the option of these words from a list whose options may say more."""
    option = page.locator(f"{box} option", has_text=words).first
    page.select_option(box, value=option.get_attribute("value"))


@pytest.fixture
def order(visitor):
    """The id of an order of two lines that the office wrote, approved and sent."""
    with visitor("asha") as office:
        page = office.page
        office.go("/orders/new/")
        choose(page, "#id_supplier_id", SUPPLIER)
        choose(page, "#id_site_id", SITE)
        for row, (pack, packs) in enumerate(((SAND, "4"), (STONE, "6")), start=1):
            choose(page, f"#id_pack_{row}", pack)
            page.fill(f"#id_packs_{row}", packs)
        for words in ("Save the draft", "Approve", "Send"):
            with page.expect_navigation():
                page.get_by_role("button", name=words, exact=True).click()
        return re.search(r"/orders/(\d+)/", page.url)[1]


def test_two_lines_with_other_quantities_take_at_most_eight_taps(visitor, order):
    with visitor("imran", width=320, touch=True) as site:
        page = site.page
        site.tap("Record a delivery")
        assert site.small_controls() == []
        site.tap_on(page.locator(f"main a[href='/stores/receipts/order/{order}/']"))
        assert site.small_controls() == []
        page.get_by_text("Other quantities").tap()
        site.taps += 1
        assert site.small_controls() == []
        for row, figure in ((1, "3"), (2, "5.5")):
            box = page.locator(f"#id_found_{row}")
            assert box.get_attribute("inputmode") == "decimal"
            site.key_in_box(box, figure=figure)
        site.tap("Record these quantities", role="button")

        assert site.taps <= 8
        assert "The receipt is recorded" in site.said()
        found = page.locator("td[data-label='Found']").all_inner_texts()
        assert [re.search(r"\d[\d.]*", words)[0] for words in found] == ["3", "5.5"]


def test_issue_waste_and_closing_a_pour_stay_under_the_thumb(visitor):
    with visitor("imran", width=320, touch=True) as site:
        page = site.page
        assert site.small_controls() == []
        site.tap("Issue", exact=True)
        assert site.small_controls() == []
        site.key_in_box(page.get_by_label("Cement").first, figure="5")
        site.tap("Issue to slab", role="button")
        assert site.taps == 3
        assert "5 bags" in site.text()

        site.go("/stores/")
        site.tap(SITE)
        assert site.small_controls() == []
        site.tap("Record waste")
        assert site.small_controls() == []
        site.key_in_box(page.get_by_label("Cement").first, figure="1")
        page.locator("#id_reason").fill("a torn bag")
        site.tap("Record waste", role="button")
        assert "1 bag" in site.text()

        site.go("/")
        site.tap("Record as poured")
        assert site.small_controls() == []
        site.tap("Record the pour", role="button")
        site.tap("Close the pour")
        assert site.small_controls() == []
        for heap in page.locator("input[name^=found_]").all():
            site.key_in_box(heap, figure="0")
        site.tap("Close the pour", role="button")
        assert "The pour is closed" in site.said()
