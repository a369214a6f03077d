"""Purchase orders as people read them: the list, one order with what has come, and the supplier's letter."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Count, QuerySet
from django.utils import timezone

from estimates.models import Requirement
from inventory.models import OrderAmendment, OrderDate, OrderLine, PurchaseOrder
from inventory.queries import order_rest
from projects.access import scope
from projects.access.actor import Actor
from projects.models import IdempotencyKey, Pour

PAGE = 50
MOST_ROWS = 200

State = PurchaseOrder.State


@dataclass(frozen=True)
class Letter:
    """An order as its supplier reads it."""

    number: str
    firm: str
    site: str
    place: str
    supplier: str
    email: str
    issued_date: date
    expected_date: date
    freight_minor: int
    total_minor: int
    lines: tuple[OrderLine, ...]
    version: int
    amended: OrderAmendment | None
    ended: str
    """Why the order has ended; empty for one that stands."""


@dataclass(frozen=True)
class Line:
    """A line with what has come of it and what is still to come, in stock units."""

    row: OrderLine
    good: int
    left: int
    late_days: int


@dataclass(frozen=True)
class Wanted:
    """Which orders to list: of these states and this site, or all; `start` and `count` bound the page.

    With `late_on` only open orders that should have come before this day.
    """

    states: tuple[str, ...] = ()
    site_id: int | None = None
    late_on: date | None = None
    start: int = 0
    count: int = PAGE


def listing(actor: Actor, *, wanted: Wanted) -> QuerySet[PurchaseOrder]:
    """Which orders are there, newest first, with their lines counted."""
    rows = scope.visible(PurchaseOrder.objects.all(), actor)
    if wanted.states:
        rows = rows.filter(state__in=wanted.states)
    if wanted.site_id is not None:
        rows = rows.filter(site_id=wanted.site_id)
    if wanted.late_on is not None:
        rows = rows.filter(state__in=PurchaseOrder.OPEN, expected_date__lt=wanted.late_on)
    rows = rows.select_related("site", "supplier").annotate(line_count=Count("lines"))
    end = wanted.start + min(wanted.count, MOST_ROWS)
    return rows.order_by("-created_at", "-id")[wanted.start : end]


def how_many(actor: Actor) -> dict[str, int]:
    """How many orders are in each state."""
    rows = scope.visible(PurchaseOrder.objects.all(), actor).values_list("state")
    return dict(rows.annotate(number=Count("pk")).order_by("state"))


def how_many_late(actor: Actor, *, today: date) -> int:
    """How many open orders should have come before this day."""
    rows = scope.visible(PurchaseOrder.objects.filter(state__in=PurchaseOrder.OPEN), actor)
    return rows.filter(expected_date__lt=today).count()


def late_days(order: PurchaseOrder, *, today: date) -> int:
    """By how many days is an open order late; 0 when it is not, or is no longer open."""
    return max((today - order.expected_date).days, 0) if order.state in PurchaseOrder.OPEN else 0


def amendments(actor: Actor, order: PurchaseOrder) -> list[OrderAmendment]:
    """What was changed in the order, the newest version first."""
    rows = scope.visible(OrderAmendment.objects.filter(order=order), actor).select_related("made_by")
    return list(rows.order_by("-version"))


def dates(actor: Actor, order: PurchaseOrder) -> list[OrderDate]:
    """When was the day of delivery moved, the last move first."""
    rows = scope.visible(OrderDate.objects.filter(order=order), actor).select_related("changed_by")
    return list(rows.order_by("-changed_at", "-id"))


def one(actor: Actor, order_id: int) -> PurchaseOrder:
    """Which order is this; refused with NotFound when it is not the actor's to see."""
    rows = PurchaseOrder.objects.select_related("site", "supplier", "created_by", "approved_by", "firm")
    return scope.get(rows, actor, pk=order_id)


def lines(actor: Actor, order: PurchaseOrder) -> list[Line]:
    """What does the order ask for, and what has come of it; late when it comes after its pour needs it."""
    rows = scope.visible(OrderLine.objects.filter(order=order), actor)
    rows = rows.select_related("material", "pack", "pour__slab", "agreement").annotate(
        good=order_rest.GOOD, good_g=order_rest.GOOD_G
    )
    needed = {
        (pour_id, material_id): need_date
        for pour_id, material_id, need_date in Requirement.objects.filter(
            pour__order_lines__order=order
        ).values_list("pour_id", "material_id", "need_date")
    }
    found = []
    for row in rows.order_by("position"):
        need_date = needed.get((row.pour_id or 0, row.material_id))
        late = (order.expected_date - need_date).days if need_date else 0
        found.append(Line(row=row, good=row.good or 0, left=order_rest.left(row), late_days=max(late, 0)))
    return found


def letter(actor: Actor, order_id: int, *, ended: bool = False) -> Letter | None:
    """What is mailed to the supplier; None when it was mailed, is no longer wanted, or has no address.

    With `ended` it is the news that the order, of which a mail had left before, is not to be delivered.
    """
    order = scope.get(PurchaseOrder.objects.select_related("site", "supplier", "firm"), actor, pk=order_id)
    gone = (State.DRAFT, State.APPROVED, State.CANCELLED)
    if not order.supplier.email or (order.state in gone and not ended) or (ended and not order.end_reason):
        return None
    if _mailed(actor, mailed_key(order_id, version=order.version, ended=ended)):
        return None
    if ended and not was_mailed(actor, order):
        return None
    return letter_of(order, ended=ended)


def letter_of(order: PurchaseOrder, *, ended: bool = False) -> Letter:
    """What the order says to its supplier; needs site, supplier and firm beside it."""
    lines = order.lines.filter(packs__gt=0).select_related("material", "pack").order_by("position")
    amended = order.amendments.order_by("-version").first()
    written_at = order.created_at if amended is None else amended.made_at
    return Letter(
        number=order.number,
        firm=order.firm.name,
        site=order.site.name,
        place=order.site.place,
        supplier=order.supplier.name,
        email=order.supplier.email,
        issued_date=timezone.localdate(written_at),
        expected_date=order.expected_date,
        freight_minor=order.freight_minor,
        total_minor=order.total_minor,
        lines=tuple(lines),
        version=order.version,
        amended=amended,
        ended=order.end_reason if ended else "",
    )


def paper(actor: Actor, order_id: int) -> Letter:
    """What the order says on paper, sent or not; refused with NotFound when it is not the actor's to see."""
    return letter_of(
        scope.get(PurchaseOrder.objects.select_related("site", "supplier", "firm"), actor, pk=order_id)
    )


def mailed_key(order_id: int, *, version: int = 1, ended: bool = False) -> str:
    """Name the act that keeps on record that an order, its version or its end was mailed."""
    suffix = ":ended" if ended else "" if version == 1 else f":{version}"
    return f"order-mailed:{order_id}{suffix}"


def was_mailed(actor: Actor, order: PurchaseOrder) -> bool:
    """Has an e-mail with the order, in any version, left."""
    keys = [mailed_key(order.pk, version=version) for version in range(1, order.version + 1)]
    return scope.visible(IdempotencyKey.objects.filter(key__in=keys), actor).exists()


def _mailed(actor: Actor, key: str) -> bool:
    return scope.visible(IdempotencyKey.objects.filter(key=key), actor).exists()


def open_pours(actor: Actor) -> list[Pour]:
    """For which pours can still be bought, the next first."""
    rows = scope.visible(Pour.objects.exclude(state=Pour.State.CLOSED), actor)
    return list(rows.select_related("slab__site").order_by("pour_date", "id")[:MOST_ROWS])
