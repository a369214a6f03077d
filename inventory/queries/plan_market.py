"""What all items of a firm's plan share: its terms, and how its suppliers' deliveries have come."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from inventory.calc.reorder import chances, lateness
from inventory.calc.reorder.lateness import NO_RECORD, Delivery, Record
from inventory.calc.reorder.market import Market, Seller, Terms
from inventory.calc.reorder.workdays import Calendar
from inventory.models import PlanTerms, ReceiptLine, Supplier
from inventory.queries import plan_offers, site_roads
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Firm
from projects.queries import holidays

RATE = 10_000
"""1/10,000 minor units in a minor unit."""
MOST_DELIVERIES = 2_000
"""The latest lines of receipts that a record is drawn from."""


@dataclass(frozen=True)
class Shared:
    """The market, the days that are worked, and its figures as text that keeps, for the run's fingerprint."""

    market: Market
    calendar: Calendar
    told: tuple[object, ...]


def shared(actor: Actor, *, today: date) -> Shared:
    """What is at stake, and what is known of each supplier; both as of today."""
    row = terms(actor)
    worked = calendar(actor)
    past = deliveries(actor, today=today, calendar=worked, zone=ZoneInfo(actor.time_zone))
    everybody = [one for rows in past.values() for one in rows]
    suppliers = list(scope.visible(Supplier.objects.all(), actor).order_by("id"))
    sellers = {
        row.pk: seller(row, record=lateness.record(past.get(row.pk, ()), firm=everybody)) for row in suppliers
    }
    # A supplier that never delivered leans on the firm's deliveries alone.
    told = tuple((key, one.late_days, round(one.share * 1_000)) for key, rows in past.items() for one in rows)
    roads = site_roads.of_plan(actor)
    market = Market(
        terms=_terms(row), sellers=sellers, roads=roads, stranger=lateness.record((), firm=everybody)
    )
    figures = (
        row.stop_cost_minor,
        row.keep_permille,
        row.rest_permille,
        row.week_budget_minor,
        row.freight_minor,
        row.van_kg,
    )
    terms_told = [
        (row.pk, row.trip_minor, row.truck_kg, row.least_order_minor, row.order_days, row.delivery_days)
        for row in suppliers
        if row.trip_minor or row.least_order_minor or row.order_days or row.delivery_days
    ]
    return Shared(
        market=market,
        calendar=worked,
        told=(figures, told, terms_told, [(way, roads[way]) for way in sorted(roads)]),
    )


def calendar(actor: Actor) -> Calendar:
    """On which days does the firm work."""
    day_off = Firm.objects.values_list("day_off", flat=True).get(pk=actor.firm_id)
    return Calendar(days_off=frozenset({day_off}), holidays=holidays.days(actor))


def terms(actor: Actor) -> PlanTerms:
    """Which terms has the firm set; all at nothing when it has set none."""
    row = scope.visible(PlanTerms.objects.all(), actor).first()
    return row if row is not None else PlanTerms(firm_id=actor.firm_id)


def deliveries(actor: Actor, *, today: date, calendar: Calendar, zone: ZoneInfo) -> dict[int, list[Delivery]]:
    """How have orders come: the first delivery of each, its working days late, and its share of the lines.

    A load that was taken back does not count.
    """
    rows = (
        scope.visible(ReceiptLine.objects.filter(order_line__isnull=False), actor)
        .filter(receipt__reversed_at=None)
        .order_by("-receipt__happened_at", "-id")
        .values_list(
            "receipt__supplier_id",
            "order_line__order_id",
            "order_line__order__expected_date",
            "receipt__happened_at",
            "accepted",
            "order_line__quantity",
        )[:MOST_DELIVERIES]
    )
    loads: dict[tuple[int, int, date], dict[date, list[int]]] = defaultdict(
        lambda: defaultdict(lambda: [0, 0])
    )
    for supplier, order, expected, at, accepted, ordered in rows:
        sums = loads[supplier, order, expected][at.astimezone(zone).date()]
        sums[0] += min(accepted, ordered)
        sums[1] += ordered
    worked = chances.span(calendar, around=today)
    found: dict[int, list[Delivery]] = defaultdict(list)
    for (supplier, _order, expected), days in sorted(loads.items()):
        came = min(days)
        good, ordered = days[came]
        late = max(0, worked.between(expected.toordinal(), came.toordinal())) if _near(expected, today) else 0
        found[supplier].append(Delivery(late_days=late, share=good / ordered if ordered else 1.0))
    return dict(found)


def seller(row: Supplier, *, record: Record = NO_RECORD) -> Seller:
    """A supplier on its terms; the client, whose goods cost nothing, has no least order."""
    return Seller(
        key=row.pk,
        trip_cost=row.trip_minor * RATE,
        truck_g=plan_offers.truck_g(row),
        least_order=0 if row.is_client else row.least_order_minor * RATE,
        order_days=frozenset(row.order_days),
        delivery_days=frozenset(row.delivery_days),
        record=record,
    )


def _near(day: date, today: date) -> bool:
    return abs((day - today).days) < chances.AROUND_DAYS


def _terms(row: PlanTerms) -> Terms:
    def rate(minor: int | None) -> int | None:
        return None if minor is None else minor * RATE

    return Terms(
        stop_cost=row.stop_cost_minor * RATE,
        keep_ppm=row.keep_permille * 1_000,
        rest_ppm=row.rest_permille * 1_000,
        week_budget=rate(row.week_budget_minor),
        freight=rate(row.freight_minor),
        van_g=None if row.van_kg is None else row.van_kg * 1_000,
    )
