"""An order as a UBL 2.1 Order, for the supplier's own programs.

Source: OASIS Universal Business Language 2.1, schema of the Order document of 4 November 2013; units by
UN/ECE Recommendation 20. The tests hold what is written here against the published schema. No customisation
and no profile is claimed.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any, Final

from babel.numbers import get_currency_precision
from lxml import etree

from inventory.queries.orders import Letter

ORDER: Final = "urn:oasis:names:specification:ubl:schema:xsd:Order-2"
AGGREGATE: Final = "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2"
BASIC: Final = "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"
NAMESPACES: Final = {None: ORDER, "cac": AGGREGATE, "cbc": BASIC}

UNITS: Final = {"kg": "KGM", "m": "MTR", "m³": "MTQ", "L": "LTR", "m²": "MTK", "no.": "C62", "day": "DAY"}
"""Codes of UN/ECE Recommendation 20 for the units in which materials are shown; C62 is "one"."""

PRICE_PARTS: Final = 10_000


def xml(letter: Letter, *, currency: str) -> bytes:
    """Return the order as an XML document in UTF-8."""
    root = etree.Element(f"{{{ORDER}}}Order", nsmap=NAMESPACES)
    _basic(root, "UBLVersionID", "2.1")
    _basic(root, "ID", letter.number)
    _basic(root, "IssueDate", letter.issued_date.isoformat())
    if letter.amended is not None:
        _basic(root, "Note", letter.amended.reason)
    _basic(root, "DocumentCurrencyCode", currency)
    _basic(root, "LineCountNumeric", str(len(letter.lines)))
    if letter.version > 1:
        before = _aggregate(root, "OrderDocumentReference")
        _basic(before, "ID", letter.number)
        _basic(before, "VersionID", str(letter.version - 1))
    _party(_aggregate(root, "BuyerCustomerParty"), name=letter.firm)
    seller = _party(_aggregate(root, "SellerSupplierParty"), name=letter.supplier)
    if letter.email:
        _basic(_aggregate(seller, "Contact"), "ElectronicMail", letter.email)
    _delivery(root, letter=letter)
    if letter.freight_minor:
        charge = _aggregate(root, "AllowanceCharge")
        _basic(charge, "ChargeIndicator", "true")
        _basic(charge, "AllowanceChargeReason", "Delivery")
        _amount(charge, "Amount", letter.freight_minor, currency=currency)
    total = _aggregate(root, "AnticipatedMonetaryTotal")
    goods = letter.total_minor - letter.freight_minor
    _amount(total, "LineExtensionAmount", goods, currency=currency)
    if letter.freight_minor:
        _amount(total, "ChargeTotalAmount", letter.freight_minor, currency=currency)
    _amount(total, "PayableAmount", letter.total_minor, currency=currency)
    for line in letter.lines:
        _line(root, line=line, currency=currency)
    found: bytes = etree.tostring(root, xml_declaration=True, encoding="UTF-8", pretty_print=True)
    return found


def _delivery(root: Any, *, letter: Letter) -> None:
    delivery = _aggregate(root, "Delivery")
    where = _aggregate(delivery, "DeliveryLocation")
    _basic(where, "Name", letter.site)
    if letter.place:
        line = _aggregate(_aggregate(where, "Address"), "AddressLine")
        _basic(line, "Line", letter.place)
    day = letter.expected_date.isoformat()
    period = _aggregate(delivery, "RequestedDeliveryPeriod")
    _basic(period, "StartDate", day)
    _basic(period, "EndDate", day)


def _line(root: Any, *, line: Any, currency: str) -> None:
    """A line in the unit of its material, priced for the content of one pack, which the note names."""
    item = _aggregate(_aggregate(root, "OrderLine"), "LineItem")
    unit, ordered, content = _quantities(line)
    _basic(item, "ID", str(line.position))
    _basic(item, "Note", f"{line.packs} × {line.pack.name}")
    _basic(item, "Quantity", ordered, unitCode=unit)
    _amount(item, "LineExtensionAmount", line.amount_minor, currency=currency)
    price = _aggregate(item, "Price")
    rate = Decimal(line.pack_price).scaleb(-4 - get_currency_precision(currency))
    _basic(price, "PriceAmount", f"{rate.normalize() + 0:f}", currencyID=currency)
    _basic(price, "BaseQuantity", content, unitCode=unit)
    goods = _aggregate(item, "Item")
    _basic(goods, "Name", line.material.name)
    _basic(_aggregate(goods, "BuyersItemIdentification"), "ID", line.material.code)


def _quantities(line: Any) -> tuple[str, str, str]:
    """The unit, what is ordered and what one pack holds: the mass of what is settled by mass."""
    if line.mass_g is not None:
        return "KGM", _decimal(line.mass_g, per=1_000), _decimal(line.pack.mass_g, per=1_000)
    material = line.material
    unit = UNITS.get(material.show_unit, "C62")
    per = material.show_factor if material.show_unit in UNITS else line.pack.content
    return unit, _decimal(line.quantity, per=per), _decimal(line.pack.content, per=per)


def _party(parent: Any, *, name: str) -> Any:
    party = _aggregate(parent, "Party")
    _basic(_aggregate(party, "PartyName"), "Name", name)
    return party


def _amount(parent: Any, name: str, minor: int, *, currency: str) -> None:
    places = get_currency_precision(currency)
    _basic(parent, name, f"{Decimal(minor).scaleb(-places):f}", currencyID=currency)


def _decimal(value: int, *, per: int) -> str:
    exact = Fraction(value, per)
    return f"{(Decimal(exact.numerator) / exact.denominator).normalize() + 0:f}"


def _aggregate(parent: Any, name: str) -> Any:
    return etree.SubElement(parent, f"{{{AGGREGATE}}}{name}")


def _basic(parent: Any, name: str, text: str, **attributes: str) -> None:
    etree.SubElement(parent, f"{{{BASIC}}}{name}", attributes).text = text
