"""Enquiries: several suppliers are asked the same thing, by mail or on paper."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.models import EnquiredSupplier, Enquiry, EnquiryLine, Supplier
from inventory.services import firm_days, measures, texts
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused, Stale
from projects.models import Site
from projects.services import numbers, outbox
from projects.services.acts import business_act

SEND_JOB = "inventory.send_enquiry"
MOST_LINES = 50
MOST_SUPPLIERS = 20


class NothingAsked(Refused):
    """An enquiry about nothing, to nobody, or to more than one enquiry holds."""

    code = "nothing_asked"


class AskedTwice(Refused):
    """A material or a supplier stands twice in one enquiry."""

    code = "asked_twice"


class DatesCross(Refused):
    """The answer is wanted after the material is, or a day is over."""

    code = "dates_cross"


class EnquiryEnded(Stale):
    """The enquiry is ended; nothing is added to it."""

    code = "enquiry_ended"


class ReasonMissing(Refused):
    """An enquiry is ended without a reason."""

    code = "reason_missing"


@dataclass(frozen=True)
class EnquiryLineAct:
    """A material and how much of it, in packs when a pack is named, else in the unit."""

    material_id: int
    amount: Decimal
    pack_id: int | None = None
    unit: str = ""
    specification: str = ""


@dataclass(frozen=True)
class EnquiryAct:
    """What is asked, of whom, for which site and day."""

    site_id: int
    needed_date: date
    answer_date: date
    supplier_ids: tuple[int, ...]
    lines: tuple[EnquiryLineAct, ...]
    remark: str = ""


@dataclass(frozen=True)
class EnquiryStep:
    """A step of an enquiry, with its reason where one is asked for."""

    enquiry_id: int
    reason: str = ""


@business_act(result=Enquiry)
def write(*, actor: Actor, act: EnquiryAct, key: str, now: datetime) -> Enquiry:
    """Write an enquiry; nothing is sent. Refused without lines or suppliers, or with days that cross."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    _require_dates(act, today=firm_days.of(now, actor=actor))
    _require_counts(act)
    asked = [scope.get(Supplier.objects.all(), actor, pk=pk) for pk in act.supplier_ids]
    lines = []
    for n, line in enumerate(act.lines, start=1):
        with texts.at_line(n):
            lines.append(_line(line, position=n, actor=actor))
    if len({line.material_id for line in lines}) < len(lines):
        message = _("A material stands twice in this enquiry. Put its quantities together in one line.")
        raise AskedTwice(message, field="lines")
    enquiry = Enquiry.objects.create(
        firm_id=actor.firm_id,
        site=site,
        number=numbers.next_number(firm_id=actor.firm_id, kind="EQ", now=now),
        needed_date=act.needed_date,
        answer_date=act.answer_date,
        remark=texts.fitting(act.remark, most=400, field="remark"),
        created_by_id=actor.person_id,
        created_at=now,
    )
    for row in lines:
        row.enquiry = enquiry
    EnquiryLine.objects.bulk_create(lines)
    EnquiredSupplier.objects.bulk_create(EnquiredSupplier(enquiry=enquiry, supplier=one) for one in asked)
    return enquiry


@business_act(result=Enquiry)
def send(*, actor: Actor, act: EnquiryStep, key: str, now: datetime) -> Enquiry:
    """Mail the enquiry to each supplier with an address, once; for the others it is printed."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    enquiry = open_one(actor, act.enquiry_id)
    for asked in enquiry.asked.select_related("supplier"):
        if asked.supplier.email:
            outbox.ask(
                firm_id=actor.firm_id,
                job=SEND_JOB,
                key=f"{SEND_JOB}:{asked.pk}",
                payload={"firm_id": actor.firm_id, "asked_id": asked.pk},
                now=now,
                due_at=now,
            )
    enquiry.sent_at = enquiry.sent_at or now
    enquiry.save(update_fields=["sent_at"])
    return enquiry


@business_act(result=Enquiry)
def end(*, actor: Actor, act: EnquiryStep, key: str, now: datetime) -> Enquiry:
    """End an enquiry: no quotation is added and none is chosen any more; asks for the reason."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    reason = texts.fitting(act.reason, most=200, field="reason")
    if not reason:
        raise ReasonMissing(_("Give the reason; it stays with the enquiry."), field="reason")
    enquiry = open_one(actor, act.enquiry_id)
    enquiry.ended_at, enquiry.end_reason = now, reason
    enquiry.save(update_fields=["ended_at", "end_reason"])
    return enquiry


@business_act(result=EnquiredSupplier)
def note_mailed(*, actor: Actor, act: EnquiryStep, key: str, now: datetime) -> EnquiredSupplier:
    """Keep on record that the mail to a supplier has left; `enquiry_id` is the id of who was asked."""
    del key, now
    actor.require(Permission.PLAN_ORDERS)
    return scope.get(EnquiredSupplier.objects.all(), actor, pk=act.enquiry_id)


def open_one(actor: Actor, enquiry_id: int) -> Enquiry:
    """Load and lock an enquiry that is under way; refused with `enquiry_ended` when it is over."""
    enquiry = scope.get(Enquiry.objects.select_for_update(of=("self",)), actor, pk=enquiry_id)
    if enquiry.ended_at is not None:
        message = _("%(number)s was ended: %(reason)s. Write a new enquiry.")
        raise EnquiryEnded(message % {"number": enquiry.number, "reason": enquiry.end_reason})
    return enquiry


def _require_dates(act: EnquiryAct, *, today: date) -> None:
    if not today <= act.answer_date <= act.needed_date:
        message = _(
            "Quotations by %(answer)s for material by %(needed)s: the first day must lie between today, "
            "%(today)s, and the second."
        )
        params = {"answer": act.answer_date, "needed": act.needed_date, "today": today}
        raise DatesCross(message % params, field="answer_date", **params)


def _require_counts(act: EnquiryAct) -> None:
    if not 0 < len(act.lines) <= MOST_LINES:
        message = _("An enquiry has between 1 and %(most)s lines, not %(lines)s. Add what is needed.")
        raise NothingAsked(message % {"most": MOST_LINES, "lines": len(act.lines)}, field="lines")
    if not 0 < len(act.supplier_ids) <= MOST_SUPPLIERS:
        message = _("An enquiry goes to 1 to %(most)s suppliers, not to %(count)s. Choose whom to ask.")
        params = {"most": MOST_SUPPLIERS, "count": len(act.supplier_ids)}
        raise NothingAsked(message % params, field="supplier_ids")
    if len(set(act.supplier_ids)) < len(act.supplier_ids):
        raise AskedTwice(_("A supplier is asked twice. Name each one once."), field="supplier_ids")


def _line(line: EnquiryLineAct, *, position: int, actor: Actor) -> EnquiryLine:
    material = scope.get(Material.objects.all(), actor, pk=line.material_id)
    pack = None if line.pack_id is None else scope.get(Pack.objects.all(), actor, pk=line.pack_id)
    measure = measures.measure(material, pack=pack, unit=line.unit)
    return EnquiryLine(
        position=position,
        material=material,
        quantity=measures.stock_of(line.amount, measure=measure, field="amount"),
        specification=texts.fitting(line.specification, most=200, field="specification"),
    )
