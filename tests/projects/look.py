"""Sample sheets, rendered without a database, and a browser that sees them as the service would send them."""

from __future__ import annotations

import datetime
import mimetypes
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from django import forms
from django.contrib.staticfiles import finders
from django.template import engines
from django.template.loader import render_to_string
from playwright.sync_api import Page, Route, sync_playwright

from projects.pages.forms import CountField, MoneyField, QuantityField, SheetForm
from tests.estimates.calc import drawn_slabs

ADDRESS = "http://sheet.test/"
POLICY = "default-src 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'"
AS_OF = datetime.datetime(2026, 5, 4, 9, 12, tzinfo=datetime.UTC)

NAV = [
    {"url": f"/{label.lower()}/", "label": label, "current": label == "Slabs"}
    for label in ("Today", "Slabs", "Plan", "Orders", "Stores", "Suppliers", "Spend")
]
FRAME = {
    "firm": "Tarn and Daughters",
    "person": "Alice Tarn",
    "locale": "en_IN",
    "currency": "INR",
    "as_of": AS_OF,
}


class ReceiptForm(SheetForm):
    note = forms.CharField(label="Delivery note", required=False, help_text="As printed on the note.")
    bags = CountField(label="Bags counted", of="bags", least=1)
    sand = QuantityField(label="Sand found", stock_unit="cm3", help_text="Length × width × height.")
    price = MoneyField(label="Price agreed", currency="INR", required=False)
    check = forms.ChoiceField(
        label="Bag mass", choices=[("ok", "as printed"), ("low", "below")], widget=forms.RadioSelect
    )
    store = forms.ChoiceField(label="Store", choices=[("1", "Hill Lane"), ("2", "Quarry Road")])
    dry = forms.BooleanField(label="All bags dry and unbroken", required=False)
    remark = forms.CharField(label="Remark", required=False, widget=forms.Textarea)


def bill_line(title: str, *, stock: str, net: int, **more: Any) -> dict[str, Any]:
    working = {
        "formula": "volume × cement_per_m3",
        "net": net / 1000,
        "unit": "kg",
        "inputs": {
            "volume": {"value": 11.868, "unit": "m³", "source": "concrete.net"},
            "cement_per_m3": {"value": 403.2, "unit": "kg/m³", "source": "dry factor 1.54, 1440 kg/m³"},
        },
        "method": "Loose volumes with a dry factor",
        "source": "Common practice",
    }
    plain = {"title": title, "stock": stock, "net": net, "allowance": net // 50, "order": net + net // 50}
    return plain | {"working": working} | more


def samples(**more: Any) -> dict[str, Any]:
    lines = [
        bill_line("Concrete in place, slab and beams", stock="cm3", net=11_868_000, amount=0),
        bill_line(
            "Cement", stock="g", net=4_785_178, order=4_900_000, pack="bag", content=50_000, amount=3_724_000
        ),
        bill_line("Sand", stock="cm3", net=5_044_000, amount=1_260_950),
        bill_line("Stone 20 mm", stock="cm3", net=6_052_000, amount=1_510_200),
        bill_line("Stone 10 mm", stock="cm3", net=4_035_000, amount=31_750_000),
    ]
    facts = [
        {"name": "Engineer", "value": "A. Tiwald"},
        {"name": "Grade", "value": "M20, 1:1.5:3 by volume"},
        {"name": "Cover", "value": "20 mm, beams 25 mm"},
    ]
    movements = [{"at": AS_OF, "grams": 50_000 * n, "minor": 123_456 * n} for n in range(1, 5)]
    return {
        "nav": NAV,
        "frame": FRAME,
        "crumbs": [{"url": "/slabs/", "label": "Slabs"}, {"url": "/hill/", "label": "Hill Lane"}],
        "title_block": {
            "site": "Hill Lane",
            "slab": "Roof over hall",
            "drawing": "HL-S-02",
            "revision": "C",
            "edition": "is-2026.1",
        },
        "design": drawn_slabs.read(drawn_slabs.ROOF),
        "lines": lines,
        "facts": facts,
        "movements": movements,
        "form": ReceiptForm(locale="en_IN"),
    } | more


def refused_form() -> ReceiptForm:
    return ReceiptForm({"note": "4417", "bags": "12 sacks", "sand": "2,5 cubes"}, locale="en_IN")


def styleguide(**more: Any) -> str:
    """The page with one of everything."""
    source = Path(__file__).with_name("styleguide.html").read_text(encoding="utf-8")
    return engines["django"].from_string(source).render(samples(**more))


def pages() -> dict[str, str]:
    """Every sample sheet by name."""
    empty = {"nav": [], "frame": {}}
    return {
        "styleguide": styleguide(),
        "refused": styleguide(form=refused_form()),
        "sign-in": render_to_string("projects/sign_in.html", {"form": SignInSample()} | empty),
        "404": render_to_string("404.html"),
        "500": render_to_string("500.html"),
    }


class SignInSample(SheetForm):
    username = forms.CharField(label="Name", widget=forms.TextInput(attrs={"autocomplete": "username"}))
    password = forms.CharField(
        label="Password", widget=forms.PasswordInput(attrs={"autocomplete": "current-password"})
    )


@contextmanager
def browser_page(
    html: dict[str, str], *, width: int, dark: bool = False, script: bool = True
) -> Iterator[Page]:
    """A page in the real Chromium; `html` is served by name under ADDRESS with the service's policy."""

    def answer(route: Route) -> None:
        name = route.request.url.removeprefix(ADDRESS)
        if name.startswith("static/"):
            found = Path(str(finders.find(name.removeprefix("static/"))))
            kind = mimetypes.guess_type(found.name)[0]
            route.fulfill(body=found.read_bytes(), content_type=kind)
        else:
            headers = {"Content-Security-Policy": POLICY}
            route.fulfill(body=html[name], content_type="text/html; charset=utf-8", headers=headers)

    with sync_playwright() as play:
        chromium = play.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        page = chromium.new_page(
            viewport={"width": width, "height": 800},
            color_scheme="dark" if dark else "light",
            java_script_enabled=script,
        )
        page.route("**/*", answer)
        yield page
        chromium.close()
