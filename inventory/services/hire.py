"""Things on hire: taken on, priced, brought back or lost, put off, and taken back when written wrongly."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import QuerySet, Sum
from django.utils.translation import gettext as _

from estimates.models import Material
from inventory.models import Hire, HireEnd, Supplier
from inventory.services import firm_days, texts
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Pour, Site, Slab
from projects.services import numbers
from projects.services.acts import business_act

KINDS = "hire-"
"""How the codes of materials begin that are hired."""

MOST_PIECES = 100_000
MOST_MINOR = 10**15
LONGEST = timedelta(days=1_000)
LONGEST_MINIMUM = 365

Kind = HireEnd.Kind


class BadHire(Refused):
    """A hire of nothing, of a thing that is not hired, or with days or prices that cannot be."""

    code = "bad_hire"


class NotOut(Refused):
    """More pieces than are still out, or a hire that was taken back."""

    code = "not_out"
    status = 409


@dataclass(frozen=True, kw_only=True)
class HireAct:
    """Things of one kind that came to a site on hire, and the pour or the slab that they serve."""

    site_id: int
    supplier_id: int
    material_id: int
    what: str
    pieces: int
    out_date: date
    due_date: date
    pour_id: int | None = None
    slab_id: int | None = None
    note_number: str = ""


@dataclass(frozen=True, kw_only=True)
class HireTermsAct:
    """What is agreed: rate in 1/10,000 minor unit for its basis, how days count, price of a lost piece."""

    hire_id: int
    rate: int
    basis: str = Hire.Basis.PIECE_DAY
    day_count: str = Hire.DayCount.BOTH
    minimum_days: int = 1
    lost_price_minor: int | None = None


@dataclass(frozen=True, kw_only=True)
class HireEndAct:
    """Pieces that went back, or are damaged or lost: of those, what was found, and who saw it."""

    hire_id: int
    kind: str
    pieces: int
    day: date
    found: str = ""
    seen_by: str = ""
    charge_minor: int | None = None


@dataclass(frozen=True)
class HireDueAct:
    """Another day on which the rest is planned to go back."""

    hire_id: int
    due_date: date


@dataclass(frozen=True)
class HireBackAct:
    """A hire that was written wrongly, and why."""

    hire_id: int
    reason: str


@dataclass(frozen=True)
class HireEndBackAct:
    """A return or loss that was written wrongly, and why."""

    end_id: int
    reason: str


@business_act(result=Hire)
def take_on(*, actor: Actor, act: HireAct, key: str, now: datetime) -> Hire:
    """Record things that came on hire; their price is agreed apart.

    Refused with `bad_hire` for no pieces, a kind that is not hired, a slab of another site, and days that
    cannot be: it came after today, or goes back before it came.
    """
    del key
    actor.require(Permission.RECORD_RECEIPTS)
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    _require_pieces(act.pieces, most=MOST_PIECES)
    _require_days(act, today=firm_days.of(now, actor=actor))
    what = texts.fitting(act.what, most=120, field="what")
    if not what:
        raise BadHire(_("Say what it is, as “steel prop 3.5 m” or the number on the machine."), field="what")
    pour, slab = _served(act, site=site, actor=actor)
    return Hire.objects.create(
        firm_id=actor.firm_id,
        number=numbers.next_number(firm_id=actor.firm_id, kind="HI", now=now),
        site=site,
        supplier=scope.get(Supplier.objects.all(), actor, pk=act.supplier_id),
        material=_kind(act.material_id, actor=actor),
        what=what,
        pieces=act.pieces,
        out_date=act.out_date,
        due_date=act.due_date,
        pour=pour,
        slab=slab,
        note_number=texts.fitting(act.note_number, most=60, field="note_number"),
        recorded_at=now,
        recorded_by_id=actor.person_id,
    )


@business_act(result=Hire)
def agree(*, actor: Actor, act: HireTermsAct, key: str, now: datetime) -> Hire:
    """Set the price of a hire, how its days count and what a lost piece costs; all its days are priced anew.

    Refused with `bad_hire` for a price or a least number of days out of its bounds.
    """
    del key, now
    actor.require(Permission.SET_RATES)
    hire = _going(actor, hire_id=act.hire_id)
    for name in ("rate", "lost_price_minor"):
        value = getattr(act, name)
        if value is not None and not 0 <= value <= MOST_MINOR:
            raise BadHire(_("A price lies between 0 and %s. Correct it.") % MOST_MINOR, field=name)
    if act.basis not in Hire.Basis.values or act.day_count not in Hire.DayCount.values:
        field = "basis" if act.basis not in Hire.Basis.values else "day_count"
        raise BadHire(_("Choose one of the ways that are offered."), field=field)
    if not 1 <= act.minimum_days <= LONGEST_MINIMUM:
        message = _("%(days)s days are no least hire; give 1 to %(most)s.")
        params = {"days": act.minimum_days, "most": LONGEST_MINIMUM}
        raise BadHire(message % params, field="minimum_days")
    hire.rate, hire.basis, hire.day_count = act.rate, act.basis, act.day_count
    hire.minimum_days, hire.lost_price_minor = act.minimum_days, act.lost_price_minor
    hire.save(update_fields=["rate", "basis", "day_count", "minimum_days", "lost_price_minor"])
    return hire


@business_act(result=Hire)
def end(*, actor: Actor, act: HireEndAct, key: str, now: datetime) -> Hire:
    """Record pieces that went back, came to harm or are lost: their days of hire end.

    Refused with `not_out` above what is still out, and with `bad_hire` for a day that cannot be, harm without
    what was found and who saw it, and a charge on pieces that went back whole.
    """
    del key
    actor.require(Permission.RECORD_RECEIPTS)
    hire = _going(actor, hire_id=act.hire_id)
    _require_end(act, hire=hire, today=firm_days.of(now, actor=actor))
    if act.charge_minor is not None:
        actor.require(Permission.SEE_MONEY)
    left = hire.pieces - (_ends(hire).aggregate(all=Sum("pieces"))["all"] or 0)
    if act.pieces > left:
        message = _("%(pieces)s pieces; %(left)s of %(number)s are still out. Count again.")
        params = {"pieces": act.pieces, "left": left, "number": hire.number}
        raise NotOut(message % params, field="pieces", left=left)
    HireEnd.objects.create(
        hire=hire,
        kind=act.kind,
        pieces=act.pieces,
        day=act.day,
        charge_minor=act.charge_minor,
        found=texts.fitting(act.found, most=200, field="found"),
        seen_by=texts.fitting(act.seen_by, most=120, field="seen_by"),
        recorded_at=now,
        recorded_by_id=actor.person_id,
    )
    return hire


@business_act(result=Hire)
def put_off(*, actor: Actor, act: HireDueAct, key: str, now: datetime) -> Hire:
    """Plan another day for the return of the rest; refused when it lies before the hire or far beyond it."""
    del key, now
    actor.require(Permission.RECORD_RECEIPTS)
    hire = _going(actor, hire_id=act.hire_id)
    _require_due(act.due_date, out=hire.out_date)
    hire.due_date = act.due_date
    hire.save(update_fields=["due_date"])
    return hire


@business_act(result=Hire)
def take_back(*, actor: Actor, act: HireBackAct, key: str, now: datetime) -> Hire:
    """Take a wrongly written hire back: it stays on record and costs nothing; refused without a reason."""
    del key
    actor.require(Permission.RECORD_RECEIPTS)
    hire = _going(actor, hire_id=act.hire_id)
    hire.reverse_reason, hire.reversed_at = _why(act.reason), now
    hire.save(update_fields=["reversed_at", "reverse_reason"])
    return hire


@business_act(result=Hire)
def take_back_end(*, actor: Actor, act: HireEndBackAct, key: str, now: datetime) -> Hire:
    """Take a wrong return or loss back: its pieces are out again; refused without a reason."""
    del key
    actor.require(Permission.RECORD_RECEIPTS)
    found = scope.get(HireEnd.objects.all(), actor, pk=act.end_id)
    hire = _going(actor, hire_id=found.hire_id)
    row = HireEnd.objects.get(pk=found.pk)
    if row.reversed_at is not None:
        raise NotOut(_("This entry was taken back before."))
    row.reverse_reason, row.reversed_at = _why(act.reason), now
    row.save(update_fields=["reversed_at", "reverse_reason"])
    return hire


def _why(reason: str) -> str:
    said = texts.fitting(reason, most=200, field="reason")
    if not said:
        raise BadHire(_("Say why it is taken back; it stays on record."), field="reason")
    return said


def _going(actor: Actor, *, hire_id: int) -> Hire:
    """Return a hire, locked: what is done to it one after the other counts its pieces rightly."""
    hire = scope.get(Hire.objects.select_for_update(of=("self",)), actor, pk=hire_id)
    if hire.reversed_at is not None:
        raise NotOut(_("%(number)s was taken back.") % {"number": hire.number})
    return hire


def _ends(hire: Hire) -> QuerySet[HireEnd]:
    return hire.ends.filter(reversed_at=None)


def _kind(material_id: int, *, actor: Actor) -> Material:
    material = scope.get(Material.objects.all(), actor, pk=material_id)
    if not material.code.startswith(KINDS):
        message = _(
            "%(material)s is not hired. Choose a mixer, a vibrator, props, plates or other plant; the office "
            "adds them on the page of materials."
        )
        raise BadHire(message % {"material": material.name}, field="material_id")
    return material


def _served(act: HireAct, *, site: Site, actor: Actor) -> tuple[Pour | None, Slab | None]:
    """Return the pour and the slab that are served; a pour names its slab."""
    pour = None
    if act.pour_id is not None:
        pour = scope.get(Pour.objects.select_related("slab"), actor, pk=act.pour_id)
    slab = pour.slab if pour else None
    if slab is None and act.slab_id is not None:
        slab = scope.get(Slab.objects.all(), actor, pk=act.slab_id)
    field = "pour_id" if pour else "slab_id"
    if slab is not None and slab.site_id != site.pk:
        message = _("%(slab)s is not at %(site)s. Choose a slab of the site to which it came.")
        raise BadHire(message % {"slab": slab.name, "site": site.name}, field=field)
    if pour is not None and act.slab_id not in (None, pour.slab_id):
        raise BadHire(_("This pour belongs to another slab. Choose one of the two."), field=field)
    return pour, slab


def _require_pieces(pieces: int, *, most: int) -> None:
    if not 1 <= pieces <= most:
        message = _("%(pieces)s pieces; it must lie between 1 and %(most)s.")
        raise BadHire(message % {"pieces": pieces, "most": most}, field="pieces")


def _require_days(act: HireAct, *, today: date) -> None:
    if not today - LONGEST <= act.out_date <= today:
        message = _("It came on %(day)s: a day to come, or years back. Record it when it is there.")
        raise BadHire(message % {"day": act.out_date.isoformat()}, field="out_date")
    _require_due(act.due_date, out=act.out_date)


def _require_due(day: date, *, out: date) -> None:
    if not out <= day <= out + LONGEST:
        message = _("It cannot go back on %(day)s: that is before it came on %(out)s, or years after.")
        raise BadHire(message % {"day": day.isoformat(), "out": out.isoformat()}, field="due_date")


def _require_end(act: HireEndAct, *, hire: Hire, today: date) -> None:
    if act.kind not in Kind.values:
        raise BadHire(_("It is brought back, damaged or lost. Choose one."), field="kind")
    _require_pieces(act.pieces, most=hire.pieces)
    if not hire.out_date <= act.day <= today:
        message = _("%(day)s lies before it came on %(out)s, or is still to come. Correct the day.")
        params = {"day": act.day.isoformat(), "out": hire.out_date.isoformat()}
        raise BadHire(message % params, field="day")
    for name in ("found", "seen_by"):
        if act.kind != Kind.BACK and not getattr(act, name).strip():
            message = _("Say what was found and who saw it: facts, for the supplier and for the office.")
            raise BadHire(message, field=name)
    if act.charge_minor is None:
        return
    if act.kind == Kind.BACK:
        raise BadHire(_("What went back whole is not charged. Leave the charge out."), field="charge_minor")
    if not 0 <= act.charge_minor <= MOST_MINOR:
        raise BadHire(_("A charge lies between 0 and %s. Correct it.") % MOST_MINOR, field="charge_minor")
