"""Materials, suppliers, offers, slabs with bills and dated needs: for the tests of orders, plan and spend."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from itertools import count

from estimates.models import Bill, BillLine, Design, Material, Pack, Requirement
from inventory.models import Offer, PurchaseOrder, Supplier
from inventory.services import deliveries, opening, orders, usage
from inventory.services.deliveries import ReceiptAct, ReceiptLineAct
from inventory.services.opening import OpeningAct, OpeningLineAct
from inventory.services.orders import LineAct, OrderAct, StepAct
from inventory.services.usage import IssueAct, ReturnAct, SlipLineAct, WasteAct
from projects.access.actor import Actor
from projects.models import Drawing, Pour, Site, Slab
from tests.factories.cast import NOW

BAG_G = 50_000


@dataclass(frozen=True)
class Bought:
    """A material with the pack that it comes in."""

    material: Material
    pack: Pack


def cement(firm_id: int, *, shelf_days: int | None = None) -> Bought:
    """Cement in bags of 50 kg, kept in grams."""
    material = Material.objects.create(
        firm_id=firm_id,
        code="cement",
        name="Cement",
        stock_unit="g",
        show_unit="kg",
        show_factor=1_000,
        shelf_days=shelf_days,
    )
    return Bought(material, pack(material, name="bag", content=BAG_G))


def sand(firm_id: int) -> Bought:
    """Sand in truck loads of 5 m³, kept in cubic centimetres."""
    material = Material.objects.create(
        firm_id=firm_id,
        code="sand",
        name="Sand",
        stock_unit="cm3",
        show_unit="m³",
        show_factor=1_000_000,
        use_method="count",
    )
    return Bought(material, pack(material, name="truck load", content=5_000_000))


def steel(firm_id: int, *, size_mm: int = 12, grams_per_metre: int = 888) -> Bought:
    """Bars of 12 m of one size, kept in millimetres; 0.888 kg/m is the nominal mass of 12 mm in IS 1786."""
    material = Material.objects.create(
        firm_id=firm_id,
        code=f"steel-{size_mm}",
        name=f"Steel {size_mm} mm",
        stock_unit="mm",
        show_unit="m",
        show_factor=1_000,
        size_mm=size_mm,
        grade="Fe500",
        nominal_mg_per_mm=grams_per_metre,
    )
    return Bought(material, pack(material, name="bar", content=12_000))


def pack(material: Material, *, name: str, content: int) -> Pack:
    return Pack.objects.create(material=material, name=name, content=content, source="delivery notes")


def supplier(firm_id: int, *, name: str = "Hillfoot Cement Depot", email: str = "") -> Supplier:
    """A supplier of the firm."""
    return Supplier.objects.create(firm_id=firm_id, name=name, email=email)


def offer(
    by: Supplier,
    *,
    of: Bought,
    pack_price: int = 4_000_000,
    lead_days: int = 2,
    minimum_packs: int = 1,
    from_date: date = date(2026, 1, 1),
) -> Offer:
    """An offer; 4,000,000 of 1/10,000 minor unit is 4.00 of a currency with two decimals, a bag."""
    return Offer.objects.create(
        supplier=by,
        material=of.material,
        pack=of.pack,
        from_date=from_date,
        pack_price=pack_price,
        lead_days=lead_days,
        minimum_packs=minimum_packs,
    )


def pour(site: Site, *, slab: str = "Roof", name: str = "P1", on: date = date(2026, 5, 20)) -> Pour:
    """A planned pour of a slab of the site, one pour for the whole slab."""
    row, _created = Slab.objects.get_or_create(site=site, name=slab, defaults={"created_at": NOW})
    return Pour.objects.create(slab=row, name=name, pour_date=on)


@dataclass(frozen=True)
class Priced:
    """A line of a bill: net, the loss allowed for, and the estimate rate per shown unit."""

    material: Material
    net: int
    allowance: int
    rate: int
    amount_minor: int


def bill(slab: Slab, lines: list[Priced], *, area_mm2: int = 0, volume_cm3: int = 0) -> Bill:
    """An issued bill of a slab; the amounts are given, so that a test states its own budget."""
    drawing, _created = Drawing.objects.get_or_create(
        site=slab.site,
        number=f"D-{slab.pk}",
        revision="A",
        defaults={"dated": date(2026, 3, 1), "engineer": "R. Menon", "received_at": NOW},
    )
    number = slab.designs.count() + 1
    design = Design.objects.create(
        slab=slab, drawing=drawing, number=number, sheet={}, digest=str(number), created_at=NOW
    )
    row = Bill.objects.create(
        design=design,
        number=number,
        profile="is",
        edition="test",
        standards_digest="",
        drawing_number=drawing.number,
        drawing_revision=drawing.revision,
        total_minor=sum(line.amount_minor for line in lines),
        area_mm2=area_mm2,
        volume_cm3=volume_cm3,
        issued_at=NOW,
    )
    BillLine.objects.bulk_create(
        BillLine(
            bill=row,
            position=position,
            key=line.material.code,
            derivation={},
            material=line.material,
            net=line.net,
            allowance=line.allowance,
            rate=line.rate,
            rate_per="unit",
            amount_minor=line.amount_minor,
        )
        for position, line in enumerate(lines, start=1)
    )
    return row


def need(for_pour: Pour, *, of: Bought, quantity: int, on: date) -> Requirement:
    """A dated need of a pour, with the bill line that it comes from."""
    line = Priced(material=of.material, net=quantity, allowance=0, rate=0, amount_minor=0)
    issued = bill(for_pour.slab, [line])
    return requirement(for_pour, line=issued.lines.get(), quantity=quantity, on=on)


def requirement(for_pour: Pour, *, line: BillLine, quantity: int, on: date) -> Requirement:
    """A dated need that comes from a line of the bill."""
    return Requirement.objects.create(
        pour=for_pour, material=line.material, bill_line=line, need_date=on, quantity=quantity
    )


def later(days: int) -> datetime:
    """The moment of the cast, some days on."""
    return NOW.replace(day=NOW.day + days)


def in_store(actor: Actor, *, site: Site, of: Bought, packs: int, value_minor: int, made: date | None = None):
    """Opening stock of a store, by packs."""
    line = OpeningLineAct(
        material_id=of.material.pk,
        amount=Decimal(packs),
        value_minor=value_minor,
        pack_id=of.pack.pk,
        made_date=made,
        supplier_id=Supplier.objects.filter(firm_id=actor.firm_id).first().pk if made else None,
    )
    act = OpeningAct(site_id=site.pk, happened_at=NOW, lines=(line,))
    return opening.record(actor=actor, act=act, key=_key(), now=NOW)


def line_of(of: Bought, *, packs: int, price: int | None = 4_000_000, pour: Pour | None = None) -> LineAct:
    """A line of an order."""
    return LineAct(
        material_id=of.material.pk,
        pack_id=of.pack.pk,
        packs=packs,
        pack_price=price,
        pour_id=pour.pk if pour else None,
    )


def order_act(
    site: Site, *, by: Supplier, lines: tuple[LineAct, ...], on: date = date(2026, 5, 8)
) -> OrderAct:
    """What the office writes down to order."""
    return OrderAct(site_id=site.pk, supplier_id=by.pk, expected_date=on, lines=lines)


def drafted(actor: Actor, *, act: OrderAct) -> PurchaseOrder:
    """An order that is written and not yet approved."""
    return orders.draft(actor=actor, act=act, key=_key(), now=NOW)


def ordered(actor: Actor, *, act: OrderAct) -> PurchaseOrder:
    """An approved order."""
    row = drafted(actor, act=act)
    return orders.approve(actor=actor, act=StepAct(order_id=row.pk), key=_key(), now=NOW)


def received(actor: Actor, *, order: PurchaseOrder, packs: tuple[int, ...], stated: tuple[int, ...] = ()):
    """A delivery against an order: so many good packs of each of its lines."""
    rows = list(order.lines.order_by("position"))
    told = stated or packs
    lines = tuple(
        ReceiptLineAct(
            material_id=row.material_id,
            pack_id=row.pack_id,
            order_line_id=row.pk,
            stated=Decimal(said),
            found=Decimal(count),
        )
        for row, count, said in zip(rows, packs, told, strict=True)
    )
    act = ReceiptAct(
        site_id=order.site_id,
        supplier_id=order.supplier_id,
        order_id=order.pk,
        happened_at=NOW,
        lines=lines,
    )
    return deliveries.record(actor=actor, act=act, key=_key(), now=NOW)


def slip_line(of: Bought, *, packs: int) -> SlipLineAct:
    """A line of a slip, in packs."""
    return SlipLineAct(material_id=of.material.pk, amount=Decimal(packs), pack_id=of.pack.pk)


def issue(actor: Actor, *, to: Pour, of: Bought, packs: int):
    """An issue to a pour."""
    act = IssueAct(pour_id=to.pk, happened_at=NOW, lines=(slip_line(of, packs=packs),))
    return usage.issue(actor=actor, act=act, key=_key(), now=NOW)


def bring_back(actor: Actor, *, to: Pour, of: Bought, packs: int):
    """A return from a pour."""
    act = ReturnAct(pour_id=to.pk, happened_at=NOW, lines=(slip_line(of, packs=packs),))
    return usage.bring_back(actor=actor, act=act, key=_key(), now=NOW)


def waste(actor: Actor, *, site: Site, of: Bought, packs: int, pour: Pour | None = None):
    """A loss, out of a pour's slab or out of the store."""
    act = WasteAct(
        site_id=site.pk,
        reason="set hard in the rain",
        happened_at=NOW,
        lines=(slip_line(of, packs=packs),),
        pour_id=pour.pk if pour else None,
    )
    return usage.waste(actor=actor, act=act, key=_key(), now=NOW)


_keys = count(1)


def _key() -> str:
    return f"made-{next(_keys)}"


def taken_back(actor: Actor, *, receipt):
    """A receipt that was wrong, taken back."""
    act = deliveries.ReverseAct(receipt_id=receipt.pk, reason="booked on the wrong order")
    return deliveries.reverse(actor=actor, act=act, key=_key(), now=NOW)
