"""The main job in a real browser: drawing to order by the office, loads by the site, cost by the owner."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime, timedelta
from importlib import resources
from pathlib import Path

EXAMPLE = Path(str(resources.files("estimates"))) / "examples" / "roof-over-ridge-house.json"


def _sheet(number: str, slab: str) -> str:
    sheet = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    sheet["drawing"]["number"] = number
    sheet["slab"] = slab
    return json.dumps(sheet)


def _press(page, words: str, *, role: str = "button") -> None:
    """Reach a control and press it with the keyboard alone; wait for the page that it leads to."""
    page.get_by_role(role, name=words).first.focus()
    with page.expect_navigation():
        page.keyboard.press("Enter")


def test_office_takes_a_drawing_to_an_order_with_the_keyboard(visitor):
    with visitor("asha") as office:
        page = office.page
        office.go("/slabs/new/")
        page.select_option("#id_site_id", label="Dairy Store")
        page.fill("#id_name", "Dairy Store, cold room roof")
        _press(page, "Add the slab")
        office.go("/slabs/")
        _press(page, "Dairy Store, cold room roof", role="link")
        slab = page.url
        _press(page, "Enter the design", role="link")
        _press(page, "A design sheet in a file instead", role="link")
        page.get_by_role("textbox").first.fill(_sheet("DS-130", "Dairy Store, cold room roof"))
        page.keyboard.press("Tab")
        _press(page, "Save the design")
        assert "12.534 m³" in page.inner_text("main")
        page.get_by_role("textbox").last.fill("N. Orveld by telephone: as drawn, the revision follows.")
        _press(page, "Issue the bill")
        assert "/bills/" in page.url
        assert "101" in page.inner_text("main")

        page.goto(slab)
        _press(page, "Plan a pour", role="link")
        page.fill("#id_pour_date", (datetime.now(tz=UTC) + timedelta(days=30)).date().isoformat())
        _press(page, "Plan the pour")

        office.go("/plan/")
        cement = page.get_by_text("101 bags of Cement")
        for _ in range(60):
            if cement.count():
                break
            page.wait_for_timeout(500)
            office.go("/plan/")
        assert cement.first.is_visible()
        _press(page, "Order what is ticked")
        assert "/orders/" in page.url


def test_site_manager_records_a_delivery_as_ordered_in_three_taps(visitor):
    with visitor("imran", width=320, touch=True) as site:
        site.tap("Record a delivery")
        site.tap_on(site.page.locator("main a[href*='/receipts/order/']"))
        site.tap("All as ordered", role="button")

        assert site.taps == 3
        assert "/stores/receipts/" in site.page.url
        assert "The receipt is recorded" in site.page.inner_text("main")


SEND_TWICE = """
async () => {
  const form = document.querySelector("main form[method=post]");
  const button = [...form.querySelectorAll("button")].find(
    b => b.textContent.includes("All as ordered"));
  const filled = () => ({method: "POST", body: new FormData(form, button)});
  const send = () => fetch(location.href, filled()).then(answer => answer.url);
  return await Promise.all([send(), send()]);
}
"""


def test_form_sent_twice_at_once_counts_once(visitor):
    with visitor("imran", width=320, touch=True) as site:
        site.go("/stores/receipts/expected/")
        site.tap_on(site.page.locator("main a[href*='/receipts/order/']"))

        first, second = site.page.evaluate(SEND_TWICE)

        assert first == second
        assert re.fullmatch(r".*/stores/receipts/\d+/", first)


def test_refused_issue_keeps_what_was_typed_and_says_what_is_there(visitor):
    with visitor("imran", width=320, touch=True) as site:
        page = site.page
        site.go("/")
        site.tap("Issue", exact=True)
        box = page.get_by_label("Cement", exact=False).first
        box.fill("9999")
        site.tap("Issue to slab", role="button")

        words = page.inner_text("main")
        assert page.get_by_label("Cement", exact=False).first.input_value() == "9999"
        assert "in the store" in words
        assert "Record the delivery" in words or "record the delivery" in words


def test_owner_sees_cost_in_one_tap_and_the_movements_behind_a_figure_in_two_more(visitor):
    with visitor("olive", width=320, touch=True) as owner:
        owner.tap("See what the slabs cost")
        assert owner.taps == 1
        assert "more than its budget" in owner.page.inner_text("main")
        owner.tap_on(owner.page.locator("main a[href*='/spend/slabs/']"))
        owner.tap_on(owner.page.locator("main a[href*='/stores/ledger/']:visible"))

        assert "/stores/ledger/" in owner.page.url


def test_delivery_is_recorded_without_script_too(visitor):
    with visitor("imran", width=320, script=False) as site:
        site.go("/stores/receipts/expected/")
        site.page.locator("main a[href*='/receipts/order/']").last.click()
        site.page.get_by_role("button", name="All as ordered").click()

        assert "The receipt is recorded" in site.page.inner_text("main")
