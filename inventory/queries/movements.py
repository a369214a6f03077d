"""Reads the ledger: the movements of a place and material with balances, a site's latest, and sums."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import BigIntegerField, Case, F, OuterRef, Prefetch, Q, QuerySet, Subquery, Sum, When
from django.db.models.functions import Coalesce

from estimates.models import Material
from inventory.models import Lot, Place
from inventory.models.ledger import Movement, ValueAdjustment
from inventory.queries import paging
from inventory.queries.paging import Page
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Site

_FACTS = ("material", "lot", "becomes", "pour__slab", "recorded_by")
_PAPERS = (
    "receipt_line__receipt",
    "slip_line__slip",
    "count_line__count",
    "cut__pattern__plan",
    "transfer_line__transfer",
)


@dataclass(frozen=True)
class Balance:
    """Quantity in stock units and value in minor units; the value is None for who may not see money."""

    quantity: int
    value_minor: int | None


@dataclass(frozen=True)
class Entry:
    """A line of a ledger page: a movement or a change of value, and the balance after it."""

    movement: Movement | None
    adjustment: ValueAdjustment | None
    incoming: int
    outgoing: int
    value_minor: int | None
    balance: Balance

    @property
    def recorded_at(self) -> datetime:
        """When it was recorded."""
        row = self.movement or self.adjustment
        assert row is not None  # noqa: S101 - an entry has one of the two
        return row.recorded_at


@dataclass(frozen=True)
class Ledger:
    """A page of the ledger of one material at one place, oldest first, by recorded time."""

    place: Place
    material: Material
    lot: Lot | None
    opening: Balance
    entries: tuple[Entry, ...]
    closing: Balance
    after: str


@dataclass(frozen=True)
class Question:
    """Which ledger page: a place and a material, or one lot of it, from `since` on and before `until`.

    Both are moments of recording. A lot has a quantity and no value: stock is valued as one pool.
    """

    place_id: int
    material_id: int
    lot_id: int | None = None
    since: datetime | None = None
    until: datetime | None = None
    after: str = ""
    limit: int = paging.LIMIT


def ledger(actor: Actor, *, question: Question) -> Ledger:
    """Show the movements of a material at a place in a period and the balances around them; paged by key.

    NotFound for a place, material or lot that is not the actor's.
    """
    place = scope.get(Place.objects.select_related("site", "slab"), actor, pk=question.place_id)
    material = scope.get(Material.objects.all(), actor, pk=question.material_id)
    lot = None if question.lot_id is None else _lot(actor, material=material, pk=question.lot_id)
    ends = [Movement.objects.filter(material=material, **{end: place}) for end in ("target", "source")]
    changes = ValueAdjustment.objects.filter(place=place, material=material)
    if lot is not None:
        arrived = Q(becomes=lot) | Q(becomes=None, lot=lot)
        ends, changes = [ends[0].filter(arrived), ends[1].filter(lot=lot)], changes.none()
    limit = paging.bounded(question.limit)
    rows = _merged(ends, changes, question=question, limit=limit)
    money = lot is None and actor.can(Permission.SEE_MONEY)
    opening, closing = _balances(ends, changes, question=question)
    entries = _entries(rows[:limit], place=place, opening=opening, money=money)
    more = len(rows) > limit
    return Ledger(
        place=place,
        material=material,
        lot=lot,
        opening=_shown(opening, money=money),
        entries=tuple(entries),
        closing=_shown(closing, money=money),
        after=_cursor(rows[limit - 1]) if more else "",
    )


def _lot(actor: Actor, *, material: Material, pk: int) -> Lot:
    return scope.get(Lot.objects.select_related("supplier"), actor, pk=pk, material=material)


def latest(actor: Actor, *, site_id: int, after: str = "", limit: int = paging.LIMIT) -> Page[Movement]:
    """Show a site's latest movements, newest first, paged by key."""
    site = scope.get(Site.objects.all(), actor, pk=site_id)
    limit = paging.bounded(limit)
    listed = Movement.objects.filter(paging.older(after, field="recorded_at"))
    here, since = _ends(site, listed=listed, rows=limit + 1)
    found = listed.filter(Q(source__in=here) | Q(target__in=here))
    if since is not None:
        found = found.filter(recorded_at__gte=since)
    found = found.order_by("-recorded_at", "-pk")
    return paging.cut(
        _in_full(_among(found.values_list("pk", flat=True)[: limit + 1])).order_by("-recorded_at", "-pk"),
        limit=limit,
        cursor=lambda row: paging.write(row.recorded_at, pk=row.pk),
    )


def _ends(site: Site, *, listed: QuerySet[Movement], rows: int) -> tuple[list[int], datetime | None]:
    """Return the places of a site, and a moment since which at least so many rows have moved there, if any.

    A place that had so many at one of its ends proves the moment by itself, and its index finds it at once;
    without it a database would collect and sort every movement that the site ever had.
    """
    marks = {
        f"{end}_mark": Subquery(
            listed.filter(**{end: OuterRef("pk")})
            .order_by("-recorded_at")
            .values("recorded_at")[rows - 1 : rows]
        )
        for end in ("source", "target")
    }
    places = Place.objects.filter(site=site).annotate(**marks).values_list("pk", *marks)
    ends = list(places.order_by("pk"))
    proved = [moment for _pk, *moments in ends for moment in moments if moment is not None]
    return [pk for pk, *_moments in ends], max(proved, default=None)


def of_document(*, receipt_id: int | None = None, slip_id: int | None = None) -> list[Movement]:
    """Return the movements of a receipt or slip that the caller has already been shown."""
    road = {"receipt_line__receipt": receipt_id} if receipt_id else {"slip_line__slip": slip_id}
    return list(_in_full(Movement.objects.filter(**road), papers=()).order_by("recorded_at", "pk"))


def net_after(place: Place, *, material_ids: Iterable[int], happened_at: datetime) -> dict[int, int]:
    """Return, by material, what came to a place less what left it since a moment, by the time it happened."""
    rows = (
        Movement.objects.filter(
            Q(source=place) | Q(target=place), material_id__in=list(material_ids), happened_at__gt=happened_at
        )
        .values_list("material_id")
        .annotate(net=Sum(_signed("quantity", place=place)))
        .order_by("material_id")
    )
    return dict(rows)


def sums(firm_id: int) -> dict[tuple[int, int], tuple[int, int]]:
    """Add up the whole ledger of a firm: quantity and value by place and material."""
    found: dict[tuple[int, int], list[int]] = {}
    moves = Movement.objects.filter(firm_id=firm_id)
    for end, sign in (("source_id", -1), ("target_id", 1)):
        totals = moves.values_list(end, "material_id").order_by(end, "material_id")
        for place_id, material_id, quantity, value in totals.annotate(
            q=Sum("quantity"), v=Sum("value_minor")
        ):
            at = found.setdefault((place_id, material_id), [0, 0])
            at[0] += sign * quantity
            at[1] += sign * value
    changes = ValueAdjustment.objects.filter(firm_id=firm_id).values_list("place_id", "material_id")
    for place_id, material_id, value in changes.annotate(v=Sum("value_minor")).order_by("place_id"):
        found.setdefault((place_id, material_id), [0, 0])[1] += value
    return {pair: (quantity, value) for pair, (quantity, value) in found.items()}


def lot_sums(firm_id: int) -> dict[tuple[int, int], int]:
    """Add up the whole ledger of a firm: quantity by place and lot."""
    found: dict[tuple[int, int], int] = {}
    moves = Movement.objects.filter(firm_id=firm_id, lot__isnull=False)
    ends = (("source_id", F("lot_id"), -1), ("target_id", Coalesce("becomes_id", "lot_id"), 1))
    for end, lot, sign in ends:
        totals = moves.annotate(which=lot).values_list(end, "which").annotate(q=Sum("quantity"))
        for place_id, lot_id, quantity in totals.order_by(end, "which"):
            found[place_id, lot_id] = found.get((place_id, lot_id), 0) + sign * quantity
    return found


def _signed(field: str, *, place: Place) -> Case:
    return Case(When(target=place, then=F(field)), default=-F(field), output_field=BigIntegerField())


def _in_full(rows: QuerySet[Movement], *, papers: tuple[str, ...] = _PAPERS) -> QuerySet[Movement]:
    """Fetch movements with all that is shown of them; for the few that are wanted, once they are chosen.

    The places are fetched apart: many rows share a few, and a statement of fifteen joins takes PostgreSQL
    longer to plan than to run.
    """
    ends = Place.objects.select_related("site", "slab")
    apart = (Prefetch("source", queryset=ends), Prefetch("target", queryset=ends))
    return rows.select_related(*_FACTS, *papers).prefetch_related(*apart)


def _among(chosen: Iterable[int]) -> QuerySet[Movement]:
    return Movement.objects.filter(pk__in=list(chosen))


Row = Movement | ValueAdjustment


def _merged(
    ends: list[QuerySet[Movement]], changes: QuerySet[ValueAdjustment], *, question: Question, limit: int
) -> list[Row]:
    """Read one row more than a page from each end and the changes, and put them in recorded order.

    Each end by itself, because its index holds its rows in this order; both at once would be sorted anew.
    """
    period = _period(question)
    chosen: list[int] = []
    for end in ends:
        shown = end.filter(period, _later(question.after, kind=0)).order_by("recorded_at", "pk")
        chosen += shown.values_list("pk", flat=True)[: limit + 1]
    first = _in_full(_among(chosen)).order_by("recorded_at", "pk")[: limit + 1]
    valued = changes.filter(period, _later(question.after, kind=1)).select_related("recorded_by")
    rows: list[Row] = [*first, *valued.order_by("recorded_at", "pk")[: limit + 1]]
    return sorted(rows, key=lambda row: (row.recorded_at, _kind(row), row.pk))[: limit + 1]


def _kind(row: Row) -> int:
    return 0 if isinstance(row, Movement) else 1


def _cursor(row: Row) -> str:
    return f"{_kind(row)}_{paging.write(row.recorded_at, pk=row.pk)}"


def _period(question: Question) -> Q:
    within = Q()
    if question.since is not None:
        within &= Q(recorded_at__gte=question.since)
    if question.until is not None:
        within &= Q(recorded_at__lt=question.until)
    return within


def _later(cursor: str, *, kind: int) -> Q:
    """Build the condition for rows of a kind that come after the cursor; movements precede adjustments."""
    if not cursor:
        return Q()
    sign, _line, rest = cursor.partition("_")
    when, pk = paging.read(rest)
    same = Q(recorded_at=when)
    if sign == str(kind):
        same &= Q(pk__gt=pk)
    elif sign != "0":
        same = Q(pk__in=())
    # The bound by itself, so that the index by time begins the page where it is.
    return Q(recorded_at__gte=when) & (Q(recorded_at__gt=when) | same)


def _balances(
    ends: list[QuerySet[Movement]], changes: QuerySet[ValueAdjustment], *, question: Question
) -> tuple[tuple[int, int], tuple[int, int]]:
    """Add up what was there before the page's first row, and at the end of the period."""
    since = _since(question)
    before = Q(pk__in=()) if since is None else Q(recorded_at__lt=since)
    ended = Q() if question.until is None else Q(recorded_at__lt=question.until)
    first, last = [0, 0], [0, 0]
    for end, sign in zip(ends, (1, -1), strict=True):
        added = [(first, end.filter(before)), (last, end.filter(ended))]
        if question.after and since is not None:
            # By themselves: the index that holds everything else of these sums does not hold the key.
            added.append((first, end.filter(~_later(question.after, kind=0), recorded_at=since)))
        for total, rows in added:
            found = rows.aggregate(quantity=Sum("quantity", default=0), value=Sum("value_minor", default=0))
            total[0] += sign * found["quantity"]
            total[1] += sign * found["value"]
    earlier = ~_later(question.after, kind=1) if question.after else before
    for total, changed in ((first, changes.filter(earlier)), (last, changes.filter(ended))):
        total[1] += changed.aggregate(value=Sum("value_minor", default=0))["value"]
    return (first[0], first[1]), (last[0], last[1])


def _since(question: Question) -> datetime | None:
    """Return the moment at which the page begins; None for the beginning of the ledger."""
    return paging.read(question.after.partition("_")[2])[0] if question.after else question.since


def _shown(balance: tuple[int, int], *, money: bool) -> Balance:
    return Balance(balance[0], balance[1] if money else None)


def _entries(rows: list[Row], *, place: Place, opening: tuple[int, int], money: bool) -> list[Entry]:
    quantity, worth = opening
    entries = []
    for row in rows:
        move = row if isinstance(row, Movement) else None
        comes = move is None or move.target_id == place.pk
        change = row.value_minor if comes else -row.value_minor
        moved = 0 if move is None else move.quantity
        quantity += moved if comes else -moved
        worth += change
        entries.append(
            Entry(
                movement=move,
                adjustment=None if isinstance(row, Movement) else row,
                incoming=moved if comes else 0,
                outgoing=0 if comes else moved,
                value_minor=change if money else None,
                balance=_shown((quantity, worth), money=money),
            )
        )
    return entries
