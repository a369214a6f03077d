"""The office's job from the drawing to the sent order, with no mouse: every control is reached by Tab."""

from __future__ import annotations

import json
import re
from datetime import UTC, datetime, timedelta
from importlib import resources
from pathlib import Path

EXAMPLE = Path(str(resources.files("estimates"))) / "examples" / "roof-over-ridge-house.json"
SLAB = "Dairy Store, cold room roof"


def _sheet(number: str, slab: str) -> str:
    sheet = json.loads(EXAMPLE.read_text(encoding="utf-8"))
    sheet["drawing"]["number"] = number
    sheet["slab"] = slab
    return json.dumps(sheet)


def _write(office, box: str, words: str) -> None:
    """Tab to a box and write into it; a long text comes at once, as from a clipboard."""
    office.tab_to(office.page.locator(box))
    office.page.keyboard.insert_text(words)


def _wait_for_plan(office, words: re.Pattern[str]):
    """Look at the plan until the worker has put these words on it."""
    found = office.page.locator("main p", has_text=words)
    for _ in range(60):
        office.go("/plan/")
        if found.count():
            return found.first
        office.page.wait_for_timeout(500)
    raise AssertionError(f"the plan never said: {words.pattern}")


def test_office_takes_a_drawing_to_a_sent_order_with_the_keyboard(visitor):
    with visitor("asha") as office:
        page = office.page
        office.press("Slabs", role="link")
        office.press("Add a slab", role="link")
        office.tab_to(page.locator("#id_site_id"))
        page.keyboard.type("Dairy")
        _write(office, "#id_name", SLAB)
        office.press("Add the slab")
        office.go("/slabs/")
        office.press(SLAB, role="link")
        slab = page.url
        office.press("Enter the design", role="link")
        office.press("A design sheet in a file instead", role="link")
        _write(office, "main textarea", _sheet("DS-130", SLAB))
        office.press("Save the design")
        assert "12.534 m³" in office.text()

        figure = page.locator("main details.opens > summary").first
        office.tab_to(figure)
        page.keyboard.press("Enter")
        assert page.locator(".derivation .formula").first.is_visible()
        _write(office, "#issue [name=reason]", "N. Orveld by telephone: as drawn, the revision follows.")
        office.press("Issue the bill")
        assert re.search(r"/bills/\d+/$", page.url)
        assert "101 bags" in office.text()

        page.goto(slab)
        office.press("Plan a pour", role="link")
        day = datetime.now(tz=UTC).date() + timedelta(days=30)
        page.fill("#id_pour_date", day.isoformat())  # the keys of a date box follow the system's own order
        office.press("Plan the pour")

        assert _wait_for_plan(office, re.compile(r"bags of Cement.*cold room roof", re.DOTALL)).is_visible()
        office.press("Order what is ticked")
        assert re.search(r"/orders/\d+/$", page.url)
        assert "approved" in office.text()
        office.press("Send")
        assert "sent" in office.text()
