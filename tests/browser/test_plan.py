"""What the plan suggests beside orders, in a real browser: moved to another site, put off, turned down."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta


def test_a_suggested_move_is_sent_and_received(visitor):
    with visitor("asha") as office:
        page = office.page
        office.go("/plan/")
        moves = page.locator("section", has=page.locator("input[name=move]"))
        [source, target] = re.findall(r"Move from (.+) to (.+)", moves.first.locator("h2").inner_text())[0]
        sent = moves.first.locator("input[name=move]").count()
        with page.expect_navigation():
            moves.first.get_by_role("button", name="Send what is ticked").click()

        assert "is on the road" in office.said()
        assert re.search(r"/stores/transfers/\d+/$", page.url)
        assert f"From {source} To {target}" in office.text()
        assert page.locator("tbody tr").count() == sent
        with page.expect_navigation():
            page.get_by_role("link", name="Receive it").click()
        with page.expect_navigation():
            page.get_by_role("button", name="Take it into the store").click()

        assert "The transfer is received." in office.said()
        assert "sent and received by the same person" in office.text()
        office.go("/plan/")
        assert f"Move from {source} to {target}" not in office.text()


def test_a_suggestion_is_put_off_and_another_turned_down(visitor):
    later = (datetime.now(tz=UTC).date() + timedelta(days=2)).isoformat()
    with visitor("asha", width=768) as office:
        page = office.page
        office.go("/plan/")
        before = page.locator("li.suggestion").count()
        with page.expect_navigation():
            page.get_by_role("link", name="Put off").last.click()
        page.get_by_label("Show it again on").fill(later)
        page.get_by_label("Reason").fill("the supplier calls back tomorrow")
        with page.expect_navigation():
            page.get_by_role("button", name="Put it off").click()

        assert "It is put off" in office.said()
        assert "the supplier calls back tomorrow" in office.text()
        assert page.locator("li.suggestion").count() == before - 1
        with page.expect_navigation():
            page.get_by_role("link", name="Turn down").last.click()
        page.get_by_label("Reason").fill("it is bought for cash")
        with page.expect_navigation():
            page.get_by_role("button", name="Turn it down").click()

        assert "stays so until its figures change" in office.said()
        assert "turned down: it is bought for cash" in office.text()
        assert page.locator("li.suggestion").count() == before - 2
