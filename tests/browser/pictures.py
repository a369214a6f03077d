"""Takes the README's pictures of a running demo: python -m tests.browser.pictures http://localhost:8000."""

from __future__ import annotations

import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

from deploy.settings import demo
from tests.browser.browser import CHROMIUM, FLAGS

FOLDER = Path(__file__).resolve().parents[2] / "deploy" / "pictures"
DESK, HIGH, LOW = ({"width": 1280, "height": height} for height in (640, 880, 570))
PHONE = {"width": 320, "height": 600}
PICTURES = (
    ("today", "asha", DESK, "/"),
    ("slab", "asha", HIGH, "/slabs/3/"),
    ("bill", "asha", DESK, "/bills/3/"),
    ("plan", "asha", DESK, "/plan/"),
    ("comparison", "asha", DESK, "/slabs/2/comparison/"),
    ("spend", "olive", LOW, "/spend/"),
    ("receipt-phone", "imran", PHONE, "/stores/receipts/order/13/"),
)


def take(address: str) -> None:
    """Save every picture from the demo at this address."""
    passwords = {person["sign_in"]: person["password"] for person in demo.PEOPLE}
    FOLDER.mkdir(exist_ok=True)
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        for name, who, size, path in PICTURES:
            page = browser.new_page(base_url=address, viewport=size, locale="en-GB")
            page.goto("/sign-in/")
            page.fill("#id_username", who)
            page.fill("#id_password", passwords[who])
            page.click("button.primary")
            page.goto(path, wait_until="networkidle")
            if name == "bill":  # one figure opened, to show what stands behind it
                page.locator("tr", has_text="Cement").locator("summary").first.click()
            page.screenshot(path=FOLDER / f"{name}.png")
            page.close()
        browser.close()


if __name__ == "__main__":
    take(sys.argv[1])
