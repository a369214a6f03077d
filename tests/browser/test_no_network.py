"""A site manager's phone without network: forms open, what is written is kept, and all of it arrives once."""

from __future__ import annotations

import io
import random
import re
from contextlib import contextmanager

import pytest
from PIL import Image

from tests.browser.browser import Visitor
from tests.browser.conftest import MOST_SECONDS, PASSWORDS

HOME = "/phone/"
KEPT = "Object.keys(localStorage).some(key => key.startsWith('kept-'))"
WAITING = """() => new Promise(done => {
  const asked = indexedDB.open("pourtally", 1);
  asked.onupgradeneeded = () => asked.result.createObjectStore("entries", {keyPath: "key"});
  asked.onsuccess = () => {
    const all = asked.result.transaction("entries").objectStore("entries").getAll();
    all.onsuccess = () => { asked.result.close(); done(all.result.sort((a, b) => a.order - b.order)); };
  };
})"""
ENTRIES = "fetch('/api/v1/offline/?limit=200').then(answer => answer.json()).then(found => found.rows)"


class Phone(Visitor):
    """A phone of 320 px with touch, whose browser keeps what it kept when a tab is closed."""

    def forms(self, title: str) -> list[str]:
        """Return the addresses of the kept forms under a heading."""
        rows = self.page.locator("section", has=self.page.get_by_role("heading", name=title, exact=True))
        return [row.get_attribute("href") or "" for row in rows.locator("a[data-keep]").all()]

    def offline(self, gone: bool = True) -> None:
        """Take the network away, or give it back."""
        self.page.context.set_offline(gone)

    def reopen(self) -> None:
        """Close the tab and open another one."""
        context = self.page.context
        self.page.close()
        self.__init__(context.new_page(), address=self.address)  # type: ignore[misc] # as a new tab begins

    def waiting(self, state: str = "waiting") -> list[dict]:
        """Return what the phone keeps in a state, the oldest first."""
        return [row for row in self.page.evaluate(WAITING) if row["state"] == state]

    def keep(self, path: str, figures: dict[str, str] | None = None, button: str = "") -> None:
        """Write a form and see that it is kept."""
        self.page.goto(path)
        for name, value in (figures or {}).items():
            for fold in self.page.locator(f"details:not([open]):has([name={name}])").all():
                fold.locator("summary").first.tap()
            self.page.locator(f"[name={name}]").fill(value)
        pressed = self.page.get_by_role("button", name=button) if button else None
        (pressed or self.page.locator("main form button.primary").last).tap()
        self.page.get_by_text("Kept on this phone").wait_for()

    def first_box(self, path: str) -> str:
        """Name the first box for an amount on a form."""
        self.page.goto(path)
        return self.page.locator("[name^=amount_]").first.get_attribute("name") or ""

    def wait_until_sent(self, number: int) -> None:
        """Wait until so many entries are known to have arrived."""
        self.page.locator("#sent-list > li").nth(number - 1).wait_for()


@pytest.fixture
def phone(service, chromium):
    """Open a phone: phone("imran") is signed in and has the forms."""

    @contextmanager
    def held(who):
        context = chromium.new_context(
            base_url=service, viewport={"width": 320, "height": 640}, has_touch=True, locale="en-GB"
        )
        context.set_default_timeout(MOST_SECONDS * 1000)
        try:
            seen = Phone(context.new_page(), address=service)
            enter(seen, who)
            yield seen
            assert [fault for fault in seen.faults if not fault.startswith("request elsewhere")] == []
        finally:
            context.close()

    return held


def enter(phone, who):
    phone.sign_in(who, password=PASSWORDS[who])
    wait_until_kept(phone)


def wait_until_kept(phone):
    """Wait until the phone has the forms."""
    for _ in range(300):
        if phone.page.evaluate(KEPT):
            return
        phone.page.wait_for_timeout(200)
    pytest.fail("the forms were not kept within a minute")


def entries(phone):
    """The entries as the service has them, the oldest first, with what they were posted as."""
    return list(reversed(phone.page.evaluate(ENTRIES)))


def test_receipts_and_slips_written_without_network_arrive_once_and_in_order(phone):
    with phone("imran") as site:
        site.go(HOME)
        before = len(entries(site))
        orders, issue = site.forms("Record a delivery")[:2], site.forms("Issue to a pour")[1]
        waste = site.forms("Record waste")[0]
        site.offline()

        site.keep(orders[0], button="All as ordered")
        site.keep(orders[1], {"found_1": "2", "note_number": "OFF-1"}, button="Record these quantities")
        site.keep(issue, {site.first_box(issue): "1"})
        site.keep(waste, {site.first_box(waste): "1", "reason": "burst in the rain"})
        assert "4 entries wait on this phone" in site.page.inner_text("#waiting")
        assert not site.is_too_wide()
        site.reopen()
        site.go(HOME)
        assert [row["path"] for row in site.waiting()] == [*orders, issue, waste]
        assert site.page.locator("#waiting-list > li").count() == 4
        assert not site.is_too_wide()
        assert site.small_controls() == []
        site.offline(False)
        site.wait_until_sent(4)

        arrived = entries(site)[before:]
        assert [row["kind"] for row in arrived] == ["receipt", "receipt", "issue", "waste"]
        assert [row["state"] for row in arrived] == ["posted"] * 4
        assert all(row["happened_at"] < row["recorded_at"] for row in arrived)
        assert site.waiting() == []
        assert "wait" not in site.page.inner_text("#waiting")


def test_answers_that_were_lost_after_the_commit_double_nothing(phone):
    """Thirty entries, of which every fourth is recorded without its answer coming back."""
    number, lost = 30, []
    with phone("imran") as site:
        site.go(HOME)
        before = len(entries(site))
        path = site.forms("Record waste")[0]
        box = site.first_box(path)
        site.offline()
        for n in range(number):
            site.keep(path, {box: "0.001" if n % 2 else "0.002", "reason": f"swept up {n}"})
        posts = []

        def cut(route):
            posts.append(route.request.url)
            answer = route.fetch()
            if len(posts) % 4 == 1 and len(lost) < 7:
                lost.append(answer.status)
                route.abort("connectionreset")
            else:
                route.fulfill(response=answer)

        site.page.context.route(
            re.compile(re.escape(path) + "$"),
            lambda r: cut(r) if r.request.method == "POST" else r.continue_(),
        )
        site.reopen()
        site.page.context.set_offline(False)
        site.go(HOME)
        for _ in range(40):
            site.page.locator("[data-send-now]").tap()
            site.page.wait_for_timeout(500)
            if not site.waiting():
                break

        arrived = entries(site)[before:]
        assert lost == [200] * 7
        assert len(posts) == number + 7
        assert site.waiting("refused") == []
        assert len(arrived) == number
        assert [row["reason"] for row in site_acts(site, arrived)] == [f"swept up {n}" for n in range(number)]


def site_acts(site, arrived):
    """The slips that were posted, as their entries order them."""
    slips = [row["slip"]["id"] for row in arrived]
    return [site.page.evaluate(f"fetch('/api/v1/slips/{pk}/').then(a => a.json())")["slip"] for pk in slips]


def test_first_try_whose_answer_was_lost_counts_once(phone):
    """With network at first: the receipt is committed, and the phone never hears of it."""
    with phone("imran") as site:
        site.go(HOME)
        order = site.forms("Record a delivery")[-2]
        before = len(entries(site))
        lost = []

        def cut(route):
            if route.request.method == "POST" and not lost:
                lost.append(route.fetch().status)
                return route.abort("connectionreset")
            return route.continue_()

        site.page.context.route(re.compile(re.escape(order) + "$"), cut)
        site.keep(order, {"found_1": "1"}, button="Record these quantities")
        site.go(HOME)
        site.wait_until_sent(1)

        (arrived,) = entries(site)[before:]
        assert lost == [200]
        assert arrived["state"] == "posted"
        assert arrived["happened_at"] <= arrived["recorded_at"]


def test_entry_that_cannot_be_read_stays_with_its_reason_until_it_is_corrected(phone):
    with phone("imran") as site:
        site.go(HOME)
        path = site.forms("Record waste")[0]
        box = site.first_box(path)
        site.offline()
        site.keep(path, {box: "two", "reason": "wet through"})
        site.keep(path, {box: "many", "reason": "lost"})
        site.offline(False)
        site.go(HOME)
        site.page.locator("#waiting-list .status-stop").nth(1).wait_for()

        assert "“two” is not a number" in site.text()
        assert "2 entries were not taken" in site.page.inner_text("#waiting")
        site.page.on("dialog", lambda dialog: dialog.accept())
        site.page.get_by_role("button", name="Remove").last.tap()
        site.page.get_by_text("“many”").wait_for(state="detached")
        site.page.get_by_role("link", name="Open and correct").tap()
        site.page.get_by_text("Not taken when it was sent").wait_for()
        assert site.page.locator("[name=reason]").input_value() == "wet through"
        site.page.locator(f"[name={box}]").fill("0.002")
        with site.page.expect_navigation():
            site.page.locator("main form button.primary").tap()
        assert re.search(r"/stores/slips/\d+/$", site.page.url)
        site.go(HOME)
        assert site.waiting("refused") == site.waiting() == []


def test_another_person_on_the_same_phone_neither_sees_nor_sends_the_first_ones(phone):
    with phone("imran") as site:
        site.go(HOME)
        path = site.forms("Record waste")[0]
        box = site.first_box(path)
        site.offline()
        site.keep(path, {box: "0.003", "reason": "written by Imran"})
        before_leaving = []
        site.page.route("**/phone/state/", lambda route: route.abort())
        site.offline(False)
        site.go("/stores/")
        site.page.on("dialog", lambda dialog: (before_leaving.append(dialog.message), dialog.accept()))
        site.page.locator("summary", has_text="Menu").tap()
        with site.page.expect_navigation():
            site.page.get_by_role("button", name="Sign out").last.tap()
        site.page.unroute("**/phone/state/")

        assert "1 entry on this phone was not sent" in before_leaving[0]
        assert site.page.evaluate("caches.keys()") == ["assets"]
        site.sign_in("asha", password=PASSWORDS["asha"])
        site.page.get_by_text("1 entry of").wait_for()
        site.go(HOME)
        site.page.locator("[data-send-now]").tap()
        site.page.wait_for_timeout(1_500)
        assert "written by Imran" not in site.page.inner_text("main")
        assert len(site.waiting()) == 1
        site.page.evaluate("document.querySelectorAll('form[data-signs-out]')[0].requestSubmit()")
        site.page.wait_for_url("**/sign-in/")
        enter(site, "imran")
        site.go(HOME)
        site.wait_until_sent(1)
        assert site.waiting() == []


def test_entry_waits_for_who_has_to_sign_in_again(phone):
    with phone("imran") as site:
        site.go(HOME)
        path = site.forms("Record waste")[0]
        box = site.first_box(path)
        site.offline()
        site.keep(path, {box: "0.004", "reason": "washed away"})
        site.page.context.clear_cookies(name="sessionid")
        site.offline(False)
        site.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        site.page.get_by_text("Sign in, and it is sent").wait_for()
        site.page.evaluate("location.assign('/sign-in/')")
        site.page.wait_for_url("**/sign-in/")
        enter(site, "imran")
        site.go(HOME)
        site.wait_until_sent(1)


def test_photo_is_made_small_enough_before_it_waits(phone, tmp_path):
    noise = tmp_path / "note.jpg"
    with phone("imran") as site:
        site.go(HOME)
        order = site.forms("Record a delivery")[0]
        noise.write_bytes(_noise())
        site.offline()
        site.page.goto(order)
        site.page.locator("[name=photo]").set_input_files(noise)
        site.page.locator("summary", has_text="Other quantities").tap()
        site.page.locator("[name=found_1]").fill("1")
        site.page.get_by_role("button", name="Record these quantities").tap()
        site.page.get_by_text("Kept on this phone").wait_for()
        size = site.page.evaluate(
            f"({WAITING})().then(all => all.at(-1).fields.find(f => f[0] === 'photo')[1].size)"
        )
        site.offline(False)
        site.go(HOME)
        site.wait_until_sent(1)
        site.page.locator("#sent-list a").first.tap()
        site.page.wait_for_url("**/stores/receipts/*/")

        assert 0 < size <= 400_000
        assert site.page.locator("main img, main a[href*='/papers/']").count() > 0


def _noise():
    """A photo as large as a phone's, which shrinks badly."""
    small = Image.frombytes("RGB", (600, 800), random.Random(7).randbytes(600 * 800 * 3))  # noqa: S311 - no secret
    kept = io.BytesIO()
    small.resize((2400, 3200)).save(kept, "JPEG", quality=90)
    assert kept.tell() > 1_000_000
    return kept.getvalue()


def test_forms_kept_for_later_are_light_and_come_after_the_page(phone):
    """Keeping them is no part of the first load: it begins two seconds later."""
    with phone("imran") as site:
        sizes = []
        site.page.context.on("requestfinished", lambda request: sizes.append(sum(request.sizes().values())))
        site.page.evaluate("localStorage.clear()")
        site.go("/stores/")
        wait_until_kept(site)

        assert sum(sizes) <= 240_000
