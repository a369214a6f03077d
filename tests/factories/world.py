"""A firm in full work, made through the services: one of everything that an address can name."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from estimates.models import Bill, Design, Intake, Material, Pack
from estimates.services import rates, requirements
from estimates.services.rates import RateAct
from inventory.models import (
    Cut,
    CuttingPlan,
    Enquiry,
    Hire,
    Lot,
    Offer,
    OfflineEntry,
    Payment,
    Place,
    PlanRun,
    PurchaseOrder,
    RateAgreement,
    Receipt,
    ReceiptPaper,
    Stock,
    StockCount,
    StockSlip,
    Suggestion,
    Supplier,
    SupplierBill,
    Transfer,
)
from inventory.services import (
    counts,
    offline,
    orders,
    papers,
    payments,
    planning,
    site_roads,
    supplier_bills,
    suppliers,
    transfers,
    usage,
)
from inventory.services.bill_lines import BilledLineAct
from inventory.services.counts import CountAct, CountLineAct
from inventory.services.offline import OfflineAct
from inventory.services.orders import StepAct
from inventory.services.papers import PapersAct, SentFile
from inventory.services.payments import PaymentAct
from inventory.services.planning import PlanAct
from inventory.services.site_roads import RoadAct
from inventory.services.supplier_bills import SettleAct, SupplierBillAct
from inventory.services.suppliers import OfferAct, SupplierAct
from inventory.services.transfers import DispatchAct
from inventory.services.usage import IssueAct, SlipLineAct
from projects.access.actor import Actor
from projects.models import Drawing, Holiday, Outbox, Pour, Site, Slab
from projects.services import holidays, sites
from projects.services.holidays import HolidayAct
from projects.services.sites import SiteAct
from tests.factories import buying, cutting, estimates, intakes, inventory_orders, pictures
from tests.factories.cast import NOW, TODAY
from tests.factories.inventory_orders import Bought

POUR_DATE = TODAY + timedelta(days=10)
BAG_PRICE = 4_100_000_00  # 410.00 of the currency for a bag, in ten-thousandths of its minor unit


@dataclass(frozen=True)
class World:
    """What a firm has on record; names carry the firm's mark, so that a leak shows."""

    mark: str
    site: Site
    materials: dict[str, Material]
    cement: Bought
    slab: Slab
    design: Design
    intake: Intake
    drawing: Drawing
    bill: Bill
    pour: Pour
    supplier: Supplier
    offer: Offer
    draft: PurchaseOrder
    order: PurchaseOrder
    receipt: Receipt
    paper: ReceiptPaper
    issue: StockSlip
    count: StockCount
    run: PlanRun
    suggestion: Suggestion
    supplier_bill: SupplierBill
    payment: Payment
    transfer: Transfer
    held: OfflineEntry
    store: Place
    job: Outbox
    cutting: CuttingPlan
    cut: Cut
    offcut: Lot
    enquiry: Enquiry
    agreement: RateAgreement
    hire: Hire
    holiday: Holiday


def furnish(by: Actor, *, site: Site, mark: str) -> World:
    """Carry a slab of the site from its drawing to its first issue."""
    materials = estimates.with_rates(by)
    cement = Bought(materials["cement"], _bag(materials["cement"]))
    slab = estimates.slab(by, site=site, name=f"{mark} porch")
    drawing = {"number": f"{mark}-01", "revision": "A", "dated": "2026-04-02", "engineer": f"{mark} engineer"}
    design = estimates.design(by, on=slab, drawing=drawing, slab=f"{mark} porch")
    bill = estimates.bill(by, of=design)
    pour = estimates.pour(by, on=slab, day=POUR_DATE, name=f"{mark} pour")
    requirements.derive(actor=by, now=NOW)
    supplier = _supplier(by, mark=mark)
    offer = _offer(by, supplier=supplier, of=cement)
    run = planning.make_plan(actor=by, act=PlanAct(), key=f"{mark}-plan", now=NOW)
    line = inventory_orders.line_of(cement, packs=20, price=BAG_PRICE, pour=pour)
    act = inventory_orders.order_act(site, by=supplier, lines=(line,))
    draft = orders.draft(actor=by, act=act, key=f"{mark}-draft", now=NOW)
    order = orders.draft(actor=by, act=act, key=f"{mark}-order", now=NOW)
    orders.approve(actor=by, act=StepAct(order_id=order.pk), key=f"{mark}-approve", now=NOW)
    receipt = inventory_orders.received(by, order=order, packs=(12,))
    paper = PapersAct(receipt_id=receipt.pk, files=(SentFile("note.pdf", pictures.pdf()),))
    papers.attach(actor=by, act=paper, key=f"{mark}-paper", now=NOW)
    issue = inventory_orders.issue(by, to=pour, of=cement, packs=5)
    plan, cut = cutting.under_way(by, site=site, slab=slab, supplier=supplier, mark=mark)
    day_off = HolidayAct(day=TODAY + timedelta(days=90), name=f"{mark} holiday")
    return World(
        holiday=holidays.put(actor=by, act=day_off, key=f"{mark}-holiday", now=NOW),
        mark=mark,
        site=site,
        materials=materials,
        cement=cement,
        slab=slab,
        design=design,
        intake=intakes.read_table(by, on=slab, mark=mark),
        drawing=design.drawing,
        bill=bill,
        pour=pour,
        supplier=supplier,
        offer=offer,
        draft=draft,
        order=order,
        receipt=receipt,
        paper=receipt.papers.get(),
        issue=issue,
        count=_count(by, site=site, of=[cement], mark=mark),
        run=run,
        suggestion=Suggestion.objects.filter(run=run).order_by("id").first(),
        supplier_bill=_supplier_bill(by, supplier=supplier, of=cement, mark=mark),
        payment=_payment(by, supplier=supplier, mark=mark),
        transfer=_transfer(by, site=site, of=cement, mark=mark),
        held=_held(by, pour=pour, of=cement, mark=mark),
        store=Place.objects.get(site=site, kind=Place.Kind.STORE),
        job=_given_up(by),
        cutting=plan,
        cut=cut,
        offcut=cut.offcuts.get(),
        agreement=buying.agreement(
            by, supplier=supplier, of=cement, packs=50, valid_until=date(2100, 1, 1), remark=f"{mark} rate"
        ),
        hire=buying.hire_of(by, site=site, supplier=supplier, pour=pour, mark=mark),
        enquiry=buying.enquiry(by, site=site, suppliers=(supplier,), of=cement, mark=mark),
    )


def three_of_each(by: Actor, *, within: World) -> World:
    """Grow a world: three slabs of a site, and three rows in whatever had one; the slab stays the first."""
    for mark in (f"{within.mark} II", f"{within.mark} III"):
        furnish(by, site=within.site, mark=mark)
    kept = [
        Bought(within.materials[code], _bag(within.materials[code]))
        for code in ("sand", "stone-20", "cement")
    ]
    for months, mm in ((1, 130), (2, 140)):
        day = date(2026, 6 + months, 1)
        _offer(by, supplier=within.supplier, of=within.cement, day=day)
        act = RateAct(material_id=within.cement.material.pk, from_date=day, basic=8_000_000)
        rates.set_rate(actor=by, act=act, key=f"{within.mark}-rate-{mm}", now=NOW)
        drawn = {
            "number": f"{within.mark}-01",
            "revision": f"{mm}",
            "dated": "2026-04-09",
            "engineer": "M. Ode",
        }
        estimates.bill(by, of=estimates.design(by, on=within.slab, drawing=drawn, thickness_mm=mm))
    lines = tuple(inventory_orders.line_of(one, packs=9, pour=within.pour) for one in kept)
    act = inventory_orders.order_act(within.site, by=within.supplier, lines=lines)
    order = inventory_orders.ordered(by, act=act)
    receipt = inventory_orders.received(by, order=order, packs=(8, 8, 8))
    amounts = tuple(inventory_orders.slip_line(one, packs=2) for one in kept)
    act = IssueAct(pour_id=within.pour.pk, happened_at=NOW, lines=amounts)
    issue = usage.issue(actor=by, act=act, key=f"{within.mark}-issue-3", now=NOW)
    count = _count(by, site=within.site, of=kept, mark=f"{within.mark}-3")
    return replace(within, order=order, receipt=receipt, issue=issue, count=count)


def _supplier_bill(by: Actor, *, supplier: Supplier, of: Bought, mark: str) -> SupplierBill:
    """A bill for which nothing was received: held, and then accepted with a word on why."""
    line = BilledLineAct(
        material_id=of.material.pk, pack_id=of.pack.pk, quantity=Decimal(3), amount_minor=120_000
    )
    act = SupplierBillAct(
        supplier_id=supplier.pk,
        number=f"{mark}-77",
        dated=date(2026, 5, 4),
        lines=(line,),
        total_minor=120_000,
    )
    bill = supplier_bills.record(actor=by, act=act, key=f"{mark}-bill", now=NOW)
    agreed = SettleAct(bill_id=bill.pk, accept=True, reason="Agreed by telephone.")
    return supplier_bills.settle(actor=by, act=agreed, key=f"{mark}-settle", now=NOW)


def _transfer(by: Actor, *, site: Site, of: Bought, mark: str) -> Transfer:
    """Two bags on their way to another site of the firm, which is opened when there is none; by its road."""
    other = Site.objects.filter(firm_id=by.firm_id).exclude(pk=site.pk).order_by("pk").first()
    if other is None:
        act = SiteAct(name=f"{mark} depot", place="", opened_date=TODAY)
        other = sites.open_site(actor=by, act=act, key=f"{mark}-depot", now=NOW)
    way = RoadAct(from_site_id=site.pk, to_site_id=other.pk, trip_minor=120_000)
    site_roads.set_road(actor=by, act=way, key=f"{mark}-road", now=NOW)
    line = SlipLineAct(material_id=of.material.pk, pack_id=of.pack.pk, amount=Decimal(2))
    act = DispatchAct(from_site_id=site.pk, to_site_id=other.pk, happened_at=NOW, lines=(line,))
    return transfers.dispatch(actor=by, act=act, key=f"{mark}-transfer", now=NOW)


def _held(by: Actor, *, pour: Pour, of: Bought, mark: str) -> OfflineEntry:
    """An issue that a phone wrote offline and that no store could give."""
    line = SlipLineAct(material_id=of.material.pk, pack_id=of.pack.pk, amount=Decimal(5_000))
    act = OfflineAct(written=IssueAct(pour_id=pour.pk, happened_at=NOW, lines=(line,)))
    return offline.record(actor=by, act=act, key=f"{mark}-held{offline.SUFFIX}", now=NOW)


def _payment(by: Actor, *, supplier: Supplier, mark: str) -> Payment:
    act = PaymentAct(supplier_id=supplier.pk, paid_date=date(2026, 5, 4), amount_minor=5_000)
    return payments.pay(actor=by, act=act, key=f"{mark}-payment", now=NOW)


def _bag(cement: Material) -> Pack:
    return cement.packs.order_by("id").first()


def _supplier(by: Actor, *, mark: str) -> Supplier:
    act = SupplierAct(name=f"{mark} depot")
    return suppliers.add(actor=by, act=act, key=f"{mark}-supplier", now=NOW)


def _offer(by: Actor, *, supplier: Supplier, of: Bought, day: date = date(2026, 1, 1)) -> Offer:
    act = OfferAct(
        supplier_id=supplier.pk,
        material_id=of.material.pk,
        pack_id=of.pack.pk,
        from_date=day,
        pack_price=BAG_PRICE,
        lead_days=2,
    )
    return suppliers.set_offer(actor=by, act=act, key=f"offer-{supplier.pk}-{day}", now=NOW)


def _count(by: Actor, *, site: Site, of: list[Bought], mark: str) -> StockCount:
    """A count that finds what the book says."""
    store = Stock.objects.filter(place__site=site, place__kind=Place.Kind.STORE)
    held = {row.material_id: row.quantity for row in store}
    lines = tuple(
        CountLineAct(
            material_id=one.material.pk,
            found=Decimal(held[one.material.pk] // one.pack.content),
            pack_id=one.pack.pk,
        )
        for one in of
    )
    act = CountAct(site_id=site.pk, happened_at=NOW, lines=lines)
    return counts.record(actor=by, act=act, key=f"{mark}-count", now=NOW)


def _given_up(by: Actor) -> Outbox:
    """A job of the firm as it stands after its last attempt failed."""
    row = Outbox.objects.filter(firm_id=by.firm_id).order_by("id").first()
    Outbox.objects.filter(pk=row.pk).update(failed_at=NOW, attempts=8, last_error="the disk was full")
    return row
