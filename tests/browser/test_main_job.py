"""The site's and the owner's part of the main job in a real browser; the office's is in test_keyboard."""

from __future__ import annotations

import re


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
        page.get_by_role("button", name="Issue to slab").tap()
        page.locator("[data-focus]").wait_for()

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
