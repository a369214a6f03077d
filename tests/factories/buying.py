"""Enquiries and quotations, made through the services."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from itertools import count
from typing import Any

from estimates.models import Material
from inventory.models import Enquiry, Hire, Quotation, QuotationLine, RateAgreement, Supplier
from inventory.services import agreements, enquiries, hire, quotations
from inventory.services.agreements import AgreementAct
from inventory.services.enquiries import EnquiryAct, EnquiryLineAct
from inventory.services.hire import HireAct, HireEndAct, HireTermsAct
from inventory.services.quotations import QuotationAct, QuotedLineAct
from projects.access.actor import Actor
from projects.models import Pour, Site
from tests.factories.cast import NOW, TODAY
from tests.factories.inventory_orders import Bought

_keys = count(1)


def key() -> str:
    """A key that no other act has."""
    return f"buying-{next(_keys)}"


def hired_kind(firm_id: int, *, code: str = "hire-prop", name: str = "Props, hire") -> Material:
    """A kind of thing that is hired, in days."""
    day = {"stock_unit": "mday", "show_unit": "day", "show_factor": 1_000, "stocked": False}
    made, _new = Material.objects.get_or_create(firm_id=firm_id, code=code, defaults={"name": name, **day})
    return made


def hire_act(site: Site, *, supplier: Supplier, **facts: Any) -> HireAct:
    """60 props that came two weeks ago and go back today."""
    said = {
        "material_id": hired_kind(site.firm_id).pk,
        "what": "steel prop, 3.5 m",
        "pieces": 60,
        "out_date": TODAY - timedelta(days=14),
        "due_date": TODAY,
    } | facts
    return HireAct(site_id=site.pk, supplier_id=supplier.pk, **said)


def hired(by: Actor, *, site: Site, supplier: Supplier, **facts: Any) -> Hire:
    """A hire that is recorded, without a price."""
    return hire.take_on(actor=by, act=hire_act(site, supplier=supplier, **facts), key=key(), now=NOW)


def hired_at(by: Actor, row: Hire, *, rate: int, **terms: Any) -> Hire:
    """The hire with its price."""
    return hire.agree(actor=by, act=HireTermsAct(hire_id=row.pk, rate=rate, **terms), key=key(), now=NOW)


def hire_ended(by: Actor, row: Hire, *, pieces: int, kind: str = "back", **facts: Any) -> Hire:
    """Pieces of a hire that went back today, or came to harm."""
    said = {"day": TODAY} | ({} if kind == "back" else {"found": "bent", "seen_by": "Bob"}) | facts
    act = HireEndAct(hire_id=row.pk, kind=kind, pieces=pieces, **said)
    return hire.end(actor=by, act=act, key=key(), now=NOW)


def hire_of(by: Actor, *, site: Site, supplier: Supplier, pour: Pour, mark: str) -> Hire:
    """Props for a pour, priced, of which some went back."""
    row = hired(by, site=site, supplier=supplier, pour_id=pour.pk, what=f"{mark} prop, 3.5 m")
    hired_at(by, row, rate=1_250_000)
    return hire_ended(by, row, pieces=20)


def asked(by: Actor, *, site: Site, suppliers: tuple[Supplier, ...], of: Bought, packs: int) -> Enquiry:
    """An enquiry about so many packs of a material."""
    line = EnquiryLineAct(material_id=of.material.pk, amount=Decimal(packs), pack_id=of.pack.pk)
    act = EnquiryAct(
        site_id=site.pk,
        needed_date=TODAY + timedelta(days=9),
        answer_date=TODAY + timedelta(days=2),
        supplier_ids=tuple(one.pk for one in suppliers),
        lines=(line,),
    )
    return enquiries.write(actor=by, act=act, key=key(), now=NOW)


def quotation_act(
    enquiry: Enquiry, *, by: Supplier, until: date | None = None, **quoted: Any
) -> QuotationAct:
    """A quotation of the enquiry's one line."""
    line = QuotedLineAct(line_id=enquiry.lines.get().pk, **({"lead_days": 2} | quoted))
    return QuotationAct(
        enquiry_id=enquiry.pk, supplier_id=by.pk, dated=TODAY, valid_until=until, lines=(line,)
    )


def quoted(actor: Actor, enquiry: Enquiry, *, by: Supplier, **facts: Any) -> QuotationLine:
    """A recorded quotation's one line."""
    act = quotation_act(enquiry, by=by, **facts)
    row: Quotation = quotations.record(actor=actor, act=act, key=key(), now=NOW)
    return row.lines.get()


def enquiry(by: Actor, *, site: Site, suppliers: tuple[Supplier, ...], of: Bought, mark: str) -> Enquiry:
    """An enquiry that one supplier answered by the bag."""
    made = asked(by, site=site, suppliers=suppliers, of=of, packs=90)
    Enquiry.objects.filter(pk=made.pk).update(remark=f"{mark} enquiry")
    quoted(by, made, by=suppliers[0], price=4_000_000_00, pack_id=of.pack.pk)
    return made


def agreement(by: Actor, *, supplier: Supplier, of: Bought, packs: int, **facts: Any) -> RateAgreement:
    """A rate for so many packs, 4.00 of the currency each, over a month."""
    act = AgreementAct(
        **{
            "supplier_id": supplier.pk,
            "pack_id": of.pack.pk,
            "pack_price": 4_000_000,
            "total_packs": packs,
            "from_date": TODAY,
            "valid_until": TODAY + timedelta(days=30),
        }
        | facts
    )
    return agreements.agree(actor=by, act=act, key=key(), now=NOW)
