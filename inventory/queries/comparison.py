"""A slab against its drawing: designed, ordered, received, issued, wasted, left; over and short."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.db.models import Case, F, Q, Sum, Value, When
from django.db.models.functions import Coalesce

from estimates.models import Pack, Requirement
from estimates.queries import standards
from inventory.calc import money, permitted, reconcile
from inventory.calc.variances import PermittedVariation
from inventory.models import Place, ReceiptLine, Stock, ledger
from inventory.queries import slab_facts
from inventory.queries.slab_rows import Figures, SlabRow
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Pour, Slab

Reason = ledger.Movement.Reason
ISSUES = (Reason.ISSUE, Reason.USE_BY_COUNT, Reason.OPENING)
"""What comes into a slab: what it had used when the firm began here is among it."""


@dataclass(frozen=True)
class Delivered:
    """What delivery notes state and what was refused, in stock units."""

    stated: int = 0
    rejected: int = 0


NOTHING_DELIVERED = Delivered()


@dataclass(frozen=True)
class Row:
    """One material: the figures, the judgement, and what the difference is worth at the estimate rate.

    `short_of` is what notes state and the store did not accept; `in_store` is all that the site's store
    holds, also what is meant for other slabs. Money is None for a material without a rate.
    """

    figures: Figures
    judged: reconcile.Row
    variation: PermittedVariation
    pack: Pack | None
    stated: int
    rejected: int
    short_of: int
    in_store: int
    need_date: date | None
    over_minor: int | None
    short_minor: int | None


@dataclass(frozen=True)
class Comparison:
    """All materials of one slab, and what the differences are worth together."""

    slab: SlabRow
    rows: tuple[Row, ...]
    over_minor: int
    short_minor: int


def of_slab(actor: Actor, slab_id: int) -> Comparison:
    """How does the slab compare with its drawing; refused with NotFound when it is not the actor's to see."""
    slab = scope.get(Slab.objects.select_related("site__firm"), actor, pk=slab_id)
    facts = slab_facts.gather(actor, site_id=slab.site_id)
    mine = next(row for row in facts.slabs if row.slab.pk == slab.pk)
    profile_id = mine.bill.profile if mine.bill else slab.site.firm.profile
    profile = standards.of_firm(actor, profile_id=profile_id)
    moved = _moved(actor, slab=slab)
    delivered = _delivered(actor, slab=slab)
    in_store = _in_store(actor, slab=slab)
    needed = _need_dates(actor, slab=slab)
    packs = _packs(actor)
    rows = []
    for figures in facts.by_slab.get(slab.pk, ()):
        pk = figures.material.pk
        notes = delivered.get(pk, NOTHING_DELIVERED)
        variation = permitted.variation(figures.material.code, profile=profile)
        said = _facts(figures, moved=moved[pk], notes=notes, finished=mine.finished)
        judged = reconcile.compare(said, variation=variation)
        rows.append(
            Row(
                figures=figures,
                judged=judged,
                variation=variation,
                pack=packs.get(pk),
                stated=notes.stated,
                rejected=notes.rejected,
                short_of=max(notes.stated - figures.received, 0),
                in_store=in_store.get(pk, 0),
                need_date=needed.get(pk),
                over_minor=_worth(judged.overuse, figures=figures),
                short_minor=_worth(judged.shortage, figures=figures),
            )
        )
    return Comparison(
        slab=mine,
        rows=tuple(rows),
        over_minor=sum(row.over_minor or 0 for row in rows if row.judged.status == reconcile.Status.OVER),
        short_minor=sum(row.short_minor or 0 for row in rows),
    )


def _facts(figures: Figures, *, moved: dict[str, int], notes: Delivered, finished: bool) -> reconcile.Facts:
    return reconcile.Facts(
        material=figures.material.code,
        net=figures.net,
        allowance=figures.allowance,
        ordered=figures.ordered,
        received=figures.received,
        rejected=notes.rejected,
        open_order=figures.open_order.quantity,
        spare_order=figures.spare_order.quantity,
        issued=moved["issued"],
        returned=moved["returned"],
        wasted_from_slab=figures.wasted,
        needed=figures.needed,
        on_hand=figures.on_hand.quantity,
        finished=finished,
    )


def _worth(quantity: int, *, figures: Figures) -> int | None:
    if figures.rate is None:
        return None
    return money.amount(quantity, rate=figures.rate, per=figures.per)


def _moved(actor: Actor, *, slab: Slab) -> defaultdict[int, dict[str, int]]:
    """Add up what was issued to the slab and brought back; a reversal counts against its original.

    The slab's place is looked up first, so that the ledger is read by its indexes and not as a whole.
    """
    here = list(Place.objects.filter(slab=slab, kind=Place.Kind.SLAB).values_list("pk", flat=True))
    came_in, went_out = Q(target__in=here), Q(source__in=here)
    sign = Case(When(reverses__isnull=True, then=Value(1)), default=Value(-1))
    rows = (
        scope.visible(ledger.Movement.objects.filter(came_in | went_out), actor)
        .annotate(cause=Coalesce("reverses__reason", "reason"))
        .values_list("material_id", "cause")
        .annotate(total=Sum(F("quantity") * sign))
        .order_by("material_id", "cause")
    )
    found: defaultdict[int, dict[str, int]] = defaultdict(lambda: {"issued": 0, "returned": 0})
    for material_id, cause, quantity in rows:
        if cause in ISSUES:
            found[material_id]["issued"] += quantity
        elif cause == Reason.RETURN:
            found[material_id]["returned"] += quantity
    return found


def _delivered(actor: Actor, *, slab: Slab) -> dict[int, Delivered]:
    lines = ReceiptLine.objects.filter(order_line__pour__slab=slab, receipt__reversed_at__isnull=True)
    found: dict[int, Delivered] = {}
    for row in scope.visible(lines, actor).order_by("id"):
        before = found.get(row.material_id, NOTHING_DELIVERED)
        found[row.material_id] = Delivered(
            stated=before.stated + _stock(row.stated_thousandths, row=row),
            rejected=before.rejected + _stock(row.rejected_thousandths, row=row),
        )
    return found


def _stock(thousandths: int, *, row: ReceiptLine) -> int:
    return money.half_even(thousandths * row.stock_per_unit, denominator=1_000_000)


def _in_store(actor: Actor, *, slab: Slab) -> dict[int, int]:
    rows = Stock.objects.filter(place__site=slab.site, place__kind=Place.Kind.STORE)
    return dict(scope.visible(rows, actor).values_list("material_id", "quantity"))


def _need_dates(actor: Actor, *, slab: Slab) -> dict[int, date]:
    rows = Requirement.objects.filter(pour__slab=slab, pour__state=Pour.State.PLANNED)
    dated = scope.visible(rows, actor).order_by("-need_date", "id").values_list("material_id", "need_date")
    return dict(dated)


def _packs(actor: Actor) -> dict[int, Pack]:
    """Return the smallest pack of each material."""
    rows = scope.visible(Pack.objects.filter(mass_g=None), actor).order_by("-content", "-id")
    return {row.material_id: row for row in rows}
