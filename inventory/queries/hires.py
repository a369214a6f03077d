"""Things on hire as people read them: what is out, until when, what it costs; and the hire of each slab."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date

from django.db.models import F, OuterRef, Prefetch, Q, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from estimates.models import Material
from inventory.calc import hire as reckoning
from inventory.calc.hire import Ended, Hired, Standing, Terms
from inventory.models import Hire, HireEnd
from inventory.queries.slab_sources import Key
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Site

PAGE = 50
STATES = ("out", "late", "ended")
KINDS = "hire-"

Kind = HireEnd.Kind

_ENDED = HireEnd.objects.filter(hire=OuterRef("pk"), reversed_at=None).order_by().values("hire")
_GONE = Coalesce(Subquery(_ENDED.annotate(all=Sum("pieces")).values("all")), 0)
"""Pieces of a hire that went back, or are lost."""


@dataclass(frozen=True)
class Wanted:
    """Which hires: of a site, and of a state of `STATES`; empty is all that were not taken back."""

    site_id: int | None = None
    state: str = ""
    start: int = 0
    count: int = PAGE


@dataclass(frozen=True)
class EndRow:
    """Pieces that ended, and what the supplier charges for them, in minor units; None: not known."""

    row: HireEnd
    charge_minor: int | None


@dataclass(frozen=True)
class HireRow:
    """A hire with how it stands today; costs are None while no price is agreed.

    `cost_minor` is the hire so far and what is charged for harm and loss; `charges_unknown` are pieces that
    are lost or damaged without a known charge.
    """

    hire: Hire
    standing: Standing
    ends: tuple[EndRow, ...]

    @property
    def charges_minor(self) -> int:
        """What is charged for harm and loss, as far as it is known."""
        return sum(end.charge_minor or 0 for end in self._live)

    @property
    def charges_unknown(self) -> int:
        """Pieces damaged or lost without a known charge."""
        return sum(
            end.row.pieces for end in self._live if end.row.kind != Kind.BACK and end.charge_minor is None
        )

    @property
    def cost_minor(self) -> int | None:
        """The cost so far."""
        return None if self.hire.rate is None else self.standing.cost + self.charges_minor

    @property
    def cost_at_end_minor(self) -> int | None:
        """The cost at the planned end."""
        return None if self.hire.rate is None else self.standing.cost_at_end + self.charges_minor

    def pieces(self, kind: str) -> int:
        """Pieces that ended in this way."""
        return sum(end.row.pieces for end in self._live if end.row.kind == kind)

    @property
    def back(self) -> int:
        """Pieces brought back, damaged ones among them."""
        return self.pieces(Kind.BACK) + self.pieces(Kind.DAMAGED)

    @property
    def damaged(self) -> int:
        """Pieces brought back damaged."""
        return self.pieces(Kind.DAMAGED)

    @property
    def lost(self) -> int:
        """Pieces lost."""
        return self.pieces(Kind.LOST)

    @property
    def _live(self) -> list[EndRow]:
        return [end for end in self.ends if end.row.reversed_at is None]


@dataclass(frozen=True)
class OfSlab:
    """The hire of one kind for a slab: thousandths of a day and minor units, so far and still planned."""

    used: int = 0
    cost: int = 0
    to_come: int = 0
    cost_to_come: int = 0


@dataclass(frozen=True)
class ForSlabs:
    """Priced hires by slab and kind, and the cost so far of what serves no slab."""

    by_key: dict[Key, OfSlab] = field(default_factory=dict)
    for_no_slab_minor: int = 0


def listing(actor: Actor, *, wanted: Wanted, today: date) -> list[HireRow]:
    """Which things are or were on hire; what is still out by its day of return, else the newest first."""
    rows = _rows(actor).filter(reversed_at=None).alias(gone=_GONE)
    if wanted.site_id is not None:
        rows = rows.filter(site_id=wanted.site_id)
    if wanted.state == "ended":
        rows = rows.filter(gone__gte=F("pieces"))
    elif wanted.state in STATES:
        rows = rows.filter(gone__lt=F("pieces"))
        rows = rows.filter(due_date__lt=today) if wanted.state == "late" else rows
    order = ("due_date", "id") if wanted.state in ("out", "late") else ("-out_date", "-id")
    found = rows.order_by(*order)[wanted.start : wanted.start + wanted.count]
    return [_row(hire, today=today) for hire in found]


def one(actor: Actor, *, hire_id: int, today: date) -> HireRow:
    """Which hire is this; refused with NotFound when it is not the actor's to see."""
    return _row(scope.get(_rows(actor), actor, pk=hire_id), today=today)


def end(actor: Actor, *, end_id: int) -> HireEnd:
    """Which return or loss is this; refused with NotFound when it is not the actor's to see."""
    return scope.get(HireEnd.objects.select_related("hire__site"), actor, pk=end_id)


def site(actor: Actor, *, site_id: int) -> Site:
    """Return a site; NotFound when it is not the actor's."""
    return scope.get(Site.objects.all(), actor, pk=site_id)


def kinds(actor: Actor) -> list[Material]:
    """Return the kinds of things that are hired, by name; empty before the office adopted them."""
    return list(scope.visible(Material.objects.filter(code__startswith=KINDS), actor).order_by("name", "pk"))


def for_slabs(actor: Actor, *, slab_ids: Iterable[int], today: date) -> ForSlabs:
    """What has the hire for each slab cost and will cost; hires without a price are left out."""
    wanted = set(slab_ids)
    found: defaultdict[Key, list[OfSlab]] = defaultdict(list)
    loose = 0
    serving = Q(slab__in=wanted) | Q(slab=None)
    for hire in _rows(actor).filter(serving, reversed_at=None, rate__isnull=False).order_by("id"):
        part = _of_slab(_row(hire, today=today))
        if hire.slab_id is None:
            loose += part.cost
        else:
            found[hire.slab_id, hire.material_id].append(part)
    by_key = {key: _together(parts) for key, parts in found.items()}
    return ForSlabs(by_key=by_key, for_no_slab_minor=loose)


def _of_slab(row: HireRow) -> OfSlab:
    standing = row.standing
    return OfSlab(
        used=standing.piece_days * reckoning.MDAY,
        cost=standing.cost + row.charges_minor,
        to_come=(standing.piece_days_at_end - standing.piece_days) * reckoning.MDAY,
        cost_to_come=standing.cost_at_end - standing.cost,
    )


def _together(parts: list[OfSlab]) -> OfSlab:
    return OfSlab(
        used=sum(part.used for part in parts),
        cost=sum(part.cost for part in parts),
        to_come=sum(part.to_come for part in parts),
        cost_to_come=sum(part.cost_to_come for part in parts),
    )


def _rows(actor: Actor) -> QuerySet[Hire]:
    ends = HireEnd.objects.select_related("recorded_by").order_by("day", "id")
    rows = scope.visible(Hire.objects.all(), actor)
    return rows.select_related(
        "site", "supplier", "material", "slab__site", "pour__slab", "recorded_by"
    ).prefetch_related(Prefetch("ends", queryset=ends))


def _row(hire: Hire, *, today: date) -> HireRow:
    ends = tuple(EndRow(row=row, charge_minor=_charge(row, hire=hire)) for row in hire.ends.all())
    hired = Hired(
        pieces=hire.pieces,
        out_date=hire.out_date,
        due_date=hire.due_date,
        ended=tuple(Ended(end.row.pieces, end.row.day) for end in ends if end.row.reversed_at is None),
    )
    terms = Terms(
        rate=hire.rate or 0,  # without a price the days stand alone; the row shows no cost
        basis=reckoning.Basis(hire.basis),
        day_count=reckoning.DayCount(hire.day_count),
        minimum_days=hire.minimum_days,
    )
    return HireRow(hire=hire, standing=reckoning.standing(hired, terms=terms, today=today), ends=ends)


def _charge(row: HireEnd, *, hire: Hire) -> int | None:
    if row.charge_minor is not None or row.kind != Kind.LOST or hire.lost_price_minor is None:
        return row.charge_minor
    return hire.lost_price_minor * row.pieces
