"""Opening stock: what a firm had when it began, counted and valued."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.utils.translation import gettext as _

from estimates.models import Material, Pack
from inventory.models import Lot, Place, StockSlip, StockSlipLine, Supplier
from inventory.services import firm_days, loads, lots, measures, moments, places, posting, replan, texts
from inventory.services.posting import Posting, Stamp
from inventory.services.usage import MOST_LINES, NoLines
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Pour, Site
from projects.services import numbers
from projects.services.acts import business_act

MOST_VALUE = 10**15


class BadValue(Refused):
    """A value below nothing or beyond any store."""

    code = "bad_value"


class LotOfNobody(Refused):
    """A lot whose supplier is not named."""

    code = "lot_of_nobody"


class PourElsewhere(Refused):
    """A pour of another site."""

    code = "pour_elsewhere"


@dataclass(frozen=True)
class OpeningLineAct:
    """A material that was there, in packs when a pack is named, else in the unit, and what it is worth.

    A lot is known by its supplier and its label or date of make. With `bar_length_mm` the amount is a number
    of bars of that length; `offcut` says that they are rests of longer ones.
    """

    material_id: int
    amount: Decimal
    value_minor: int
    pack_id: int | None = None
    unit: str = ""
    supplier_id: int | None = None
    lot_label: str = ""
    made_date: date | None = None
    bar_length_mm: int | None = None
    offcut: bool = False


@dataclass(frozen=True)
class OpeningAct:
    """What a site's store held at the start, or what a pour had used by then; without a time it is now."""

    site_id: int
    happened_at: datetime | None
    lines: tuple[OpeningLineAct, ...]
    pour_id: int | None = None


@business_act(result=StockSlip)
def record(*, actor: Actor, act: OpeningAct, key: str, now: datetime) -> StockSlip:
    """Take opening stock into a store at the value given, or what a pour had used into its slab.

    Refused without lines, with a bad value, for a pour of another site, and for a lot of what is used.
    """
    return put(actor=actor, act=act, key=key, now=now)


def put(*, actor: Actor, act: OpeningAct, key: str, now: datetime) -> StockSlip:
    """Take it in inside the caller's act; refuses as `record` does."""
    actor.require(Permission.MOVE_STOCK)
    actor.require(Permission.SEE_MONEY)
    happened_at = moments.settled(act.happened_at, now=now)
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    if not 0 < len(act.lines) <= MOST_LINES:
        message = _("Opening stock has between 1 and %(most)s lines; this has %(count)s.")
        raise NoLines(message % {"most": MOST_LINES, "count": len(act.lines)}, field="lines")
    slip = StockSlip(
        firm_id=actor.firm_id,
        site=site,
        kind=StockSlip.Kind.OPENING,
        pour=_pour(act, site=site, actor=actor),
        happened_at=happened_at,
        recorded_at=now,
        recorded_by_id=actor.person_id,
    )
    source = places.of_site(site, kind=Place.Kind.OPENING)
    target = places.store(site) if slip.pour is None else places.slab(slip.pour.slab)
    on_date = firm_days.of(happened_at, actor=actor)
    rows = []
    for n, line in enumerate(act.lines, start=1):
        with texts.at_line(n):
            row = _line(line, position=n, actor=actor, on_date=on_date)
            row.source, row.target = source, target
            _require_plain(row, slip=slip)
            rows.append(row)
    slip.number = numbers.next_number(firm_id=actor.firm_id, kind="SL", now=now)
    slip.save()
    for row in rows:
        row.slip = slip
    StockSlipLine.objects.bulk_create(rows)
    stamp = Stamp(actor=actor, happened_at=happened_at, now=now, key=key)
    posting.post([_posting(row, pour=slip.pour) for row in rows], stamp=stamp)
    replan.soon(actor.firm_id, now=now)
    return slip


def _line(line: OpeningLineAct, *, position: int, actor: Actor, on_date: date) -> StockSlipLine:
    material = scope.get(Material.objects.all(), actor, pk=line.material_id)
    measures.require_stocked(material)
    pack = None if line.pack_id is None else scope.get(Pack.objects.all(), actor, pk=line.pack_id)
    length = loads.bar_length(line.bar_length_mm, material=material, pack=pack)
    if line.bar_length_mm is None:
        measure = measures.measure(material, pack=pack, unit=line.unit)
    else:
        measure = measures.bars(length)
    if line.offcut and not length:
        message = _("An offcut has a length. Give it, and the number of offcuts as the amount.")
        raise loads.BadBars(message, field="bar_length_mm")
    if not 0 <= line.value_minor <= MOST_VALUE:
        raise BadValue(_("The value cannot be below 0 or this large. Check it."), field="value_minor")
    return StockSlipLine(
        position=position,
        material=material,
        lot=_lot(line, bar_length_mm=length, material=material, actor=actor, on_date=on_date),
        quantity=measures.stock_of(line.amount, measure=measure, field="amount"),
        value_minor=line.value_minor,
    )


def _lot(
    line: OpeningLineAct, *, bar_length_mm: int, material: Material, actor: Actor, on_date: date
) -> Lot | None:
    if line.supplier_id is None:
        if line.lot_label.strip() or line.made_date is not None or line.bar_length_mm is not None:
            message = _(
                "A lot is known by its supplier. Choose the supplier, or leave lot, date of make and length "
                "of the bars empty."
            )
            raise LotOfNobody(message, field="supplier_id")
        return None
    supplier = scope.get(Supplier.objects.all(), actor, pk=line.supplier_id)
    label = line.lot_label or (_("opening %(day)s") % {"day": on_date.isoformat()} if bar_length_mm else "")
    lot = lots.of_delivery(
        material,
        supplier=supplier,
        label=label,
        made_date=line.made_date,
        on_date=on_date,
        bars=lots.Bars(bar_length_mm),
    )
    if lot is not None and line.offcut and lot.offcut_since is None:
        lot.offcut_since = on_date
        lot.save(update_fields=["offcut_since"])
    return lot


def _pour(act: OpeningAct, *, site: Site, actor: Actor) -> Pour | None:
    if act.pour_id is None:
        return None
    pour = scope.get(Pour.objects.select_related("slab__site"), actor, pk=act.pour_id)
    if pour.slab.site_id != site.pk:
        message = _("%(pour)s is not poured at %(site)s. Choose a pour of the site.")
        raise PourElsewhere(message % {"pour": pour, "site": site.name}, field="pour_id")
    return pour


def _require_plain(row: StockSlipLine, *, slip: StockSlip) -> None:
    """What is in a slab is in no lot: nobody can take it from there."""
    if slip.pour is not None and row.lot is not None:
        message = _("What is in a slab has no lot any more. Leave supplier, lot and date of make empty.")
        raise LotOfNobody(message, field="lot_label")


def _posting(row: StockSlipLine, *, pour: Pour | None) -> Posting:
    return Posting(
        material=row.material,
        lot=row.lot,
        source=row.source,
        target=row.target,
        quantity=row.quantity,
        value_minor=row.value_minor,
        reason=posting.Reason.OPENING,
        slip_line=row,
        pour=pour,
    )
