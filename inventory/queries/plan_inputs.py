"""What the reorder plan is made from, read in a fixed number of queries: one item per site and material."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from estimates.models import Material, Pack
from inventory.calc import still_needed
from inventory.calc.measuring import moisture
from inventory.calc.measuring.moisture import Load
from inventory.calc.reorder import background, fingerprint, suggestions
from inventory.calc.reorder import lots as pack_lots
from inventory.calc.reorder.facts import Lot, Need, Receipt
from inventory.calc.reorder.lateness import NO_RECORD
from inventory.calc.reorder.market import Item as PlannedItem
from inventory.calc.reorder.market import Market
from inventory.calc.reorder.netting import Supply
from inventory.calc.reorder.quotes import Break, Quote
from inventory.calc.reorder.shortage import Due
from inventory.calc.reorder.suggestions import PlanItem
from inventory.calc.reorder.workdays import Calendar
from inventory.models import Offer, OrderLine, Place, PurchaseOrder, StorageLimit
from inventory.queries import issued as issues
from inventory.queries import moist, order_rest, other_use, plan_needs, plan_offers, plan_stock
from inventory.queries.other_use import Use
from inventory.queries.plan_needs import DatedNeed, Slot
from inventory.queries.plan_offers import NOBODY, Book, Sold
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Firm

PLANNED_ORDERS = (PurchaseOrder.State.DRAFT, *PurchaseOrder.OPEN)
"""A draft counts as on the way: it waits for a person, and to suggest it again would buy it twice."""


CONSTITUENTS = ("cement", "sand", "stone")
"""Beginnings of the codes of what concrete is made of: its use is uncertain."""

SPREAD = 0.04
"""Standard deviation of the logarithm of what a pour takes of a constituent: thickness and batching leave
about 4 %, by judgement. Bars and what is counted take what the bill says."""


@dataclass(frozen=True)
class Coming:
    """An order line that still brings something."""

    line_id: int
    supplier_id: int
    supplier: str
    number: str
    quantity: int
    expected: date
    draft: bool
    pour_id: int | None


@dataclass(frozen=True)
class Item:
    """The inputs of one site and material, with what a reader of the reason needs beside the figures.

    `replaced` is what a pour has lost beyond its allowance; `in_slabs` is what the book of the store still
    holds and placed pours have taken; `on_road` is what other sites have sent. `wet` are the loads by which
    what bills ask for dry was turned into what lies moist; `required` is moist then.
    """

    material: Material
    plan: PlanItem
    sold: Sold
    pack: Pack
    required: dict[int, int]
    issued: dict[int, int]
    replaced: dict[int, int]
    in_slabs: int
    coming: tuple[Coming, ...]
    room: int | None = None
    on_road: int = 0
    use: Use | None = None
    wet: Load | None = None

    @cached_property
    def digest(self) -> str:
        """Name these inputs, whatever the day: a rejection holds until it changes."""
        rows = [*self.sold.quotes, *(offer.valid_until for offer in self.sold.offers)]
        return fingerprint.of((suggestions.item_fingerprint(self.plan), rows, self.pack.pk, self.room))

    @property
    def offers(self) -> tuple[Offer, ...]:
        """What suppliers offer."""
        return self.sold.offers

    @property
    def planned(self) -> PlannedItem:
        """The item as the plan of a firm takes it; what nobody offers is counted in its pack, for nothing."""
        nobody = Quote(
            key=NOBODY,
            seller=NOBODY,
            content=self.pack.content,
            breaks=(Break(packs=1, pack_price=0),),
        )
        return PlannedItem(
            plan=self.plan,
            quotes=self.sold.quotes or (nobody,),
            default=self.default,
            unit_mg=plan_offers.unit_mg(self.material),
            spread=SPREAD if self.material.code.startswith(CONSTITUENTS) else 0.0,
            room=self.room,
        )

    def dues(self, records: Market) -> tuple[Due, ...]:
        """What other sites have sent, and the open orders, each with how its supplier comes.

        A draft counts as sent; what is on the road is there.
        """
        orders = tuple(
            Due(
                quantity=line.quantity,
                promised=line.expected.toordinal(),
                seller=line.supplier_id,
                record=records.seller(line.supplier_id).record,
            )
            for line in self.coming
        )
        road = Due(quantity=self.on_road, promised=0, seller=None, record=NO_RECORD)
        return (road, *orders) if self.on_road else orders

    @property
    def default(self) -> pack_lots.Pack:
        """The pack to count in when nobody offers the material."""
        return pack_lots.Pack(content=self.pack.content)


@dataclass(frozen=True)
class _Facts:
    """All rows of the firm that the items are cut from."""

    safety_days: int
    calendar: Calendar
    issued: dict[tuple[int, int], int]
    lost: dict[tuple[int, int], int]
    claims: dict[Slot, int]
    today: date
    stock: dict[Slot, list[Lot]]
    on_road: dict[Slot, list[Lot]]
    coming: dict[Slot, list[Coming]]
    book: Book
    packs: dict[int, Pack]
    rooms: dict[Slot, int]
    uses: dict[Slot, Use]
    wet: dict[tuple[int | None, int], Load]


def gather(actor: Actor, *, today: date, calendar: Calendar, donors: bool = False) -> list[Item]:
    """Read every item that has a need to come and a pack to buy it in, in a fixed order.

    With `donors` also what lies at a site that has no need of it, so that it may be moved.
    """
    wanted = plan_needs.of_firm(actor, today=today)
    pour_ids = {row.pour_id for rows in wanted.values() for row in rows}
    facts = _Facts(
        safety_days=Firm.objects.values_list("safety_days", flat=True).get(pk=actor.firm_id),
        calendar=calendar,
        issued=issues.net(actor, pour_ids=pour_ids),
        lost=issues.lost(actor, pour_ids=pour_ids),
        claims=plan_stock.claims(actor),
        today=today,
        stock=plan_stock.lots(actor, kinds=Place.YARD),
        on_road=plan_stock.lots(actor, kinds=(Place.Kind.IN_TRANSIT,)),
        coming=_coming(actor),
        book=plan_offers.book(actor, day=today),
        packs=_packs(actor),
        rooms=_rooms(actor),
        uses=other_use.of_firm(actor, today=today),
        wet=moist.recent(actor, today=today),
    )
    idle = set(facts.stock) - set(wanted) if donors else set()
    needed = {material_id for _site_id, material_id in wanted}
    materials = scope.visible(Material.objects.all(), actor).in_bulk(needed)
    every = wanted | {(site, material): [] for site, material in idle if site and material in needed}
    return [
        _item(slot, rows=rows, material=materials[slot[1]], facts=facts)
        for slot, rows in sorted(every.items())
        if slot[1] in facts.packs
    ]


def _coming(actor: Actor) -> dict[Slot, list[Coming]]:
    rows = (
        scope.visible(OrderLine.objects.filter(order__state__in=PLANNED_ORDERS), actor)
        .select_related("order__supplier")
        .annotate(good=order_rest.GOOD, good_g=order_rest.GOOD_G)
        .order_by("id")
    )
    found: dict[Slot, list[Coming]] = defaultdict(list)
    for row in rows:
        left = order_rest.left(row)
        if left > 0:
            coming = Coming(
                line_id=row.pk,
                supplier_id=row.order.supplier_id,
                supplier=row.order.supplier.name,
                number=row.order.number,
                quantity=left,
                expected=row.order.expected_date,
                draft=row.order.state == PurchaseOrder.State.DRAFT,
                pour_id=row.pour_id,
            )
            found[row.order.site_id, row.material_id].append(coming)
    return found


def _packs(actor: Actor) -> dict[int, Pack]:
    """Return the pack to count in when nobody offers a material: its smallest."""
    rows = scope.visible(Pack.objects.filter(mass_g=None), actor).order_by("-content", "-id")
    return {row.material_id: row for row in rows}


def _rooms(actor: Actor) -> dict[Slot, int]:
    """Return how much of a material each store takes, where a limit is set."""
    rows = scope.visible(StorageLimit.objects.all(), actor).order_by("id")
    return {(row.site_id, row.material_id): row.capacity for row in rows}


def _item(slot: Slot, *, rows: list[DatedNeed], material: Material, facts: _Facts) -> Item:
    wet = facts.wet.get(slot) or facts.wet.get((None, material.pk))
    if wet is not None:
        rows = [_as_it_lies(row, wet=wet) for row in rows]
    used = {row.pour_id: facts.issued.get((row.pour_id, material.pk), 0) for row in rows}
    still = {row.pour_id: _still(row, facts=facts) for row in rows}
    due = {row.pour_id: row.need_date for row in rows if still[row.pour_id]}
    coming = facts.coming.get(slot, [])
    road = facts.on_road.get(slot, [])
    stock, in_slabs = plan_stock.without(
        facts.stock.get(slot, []), claimed=_claimed(slot, wet=wet, facts=facts)
    )
    use = facts.uses.get(slot)
    plan = PlanItem(
        site_id=slot[0],
        material=material.code,
        needs=_planned_needs(rows, still=still, use=use, today=facts.today),
        supply=Supply(
            stock=stock,
            receipts=(
                *plan_stock.sent(road, today=facts.today),
                *(_receipt(line, due=due) for line in coming),
            ),
            life_days=material.shelf_days,
        ),
        safety_days=facts.safety_days,
        calendar=facts.calendar,
    )
    return Item(
        material=material,
        plan=plan,
        sold=facts.book.sold(site_id=slot[0], material_id=slot[1]),
        pack=facts.packs[slot[1]],
        required={row.pour_id: row.quantity for row in rows},
        issued=used,
        replaced={row.pour_id: _beyond(row, facts=facts) for row in rows},
        in_slabs=in_slabs,
        coming=tuple(coming),
        room=facts.rooms.get(slot),
        on_road=sum(lot.quantity for lot in road),
        use=use,
        wet=wet,
    )


def _as_it_lies(row: DatedNeed, *, wet: Load) -> DatedNeed:
    """Turn a need that its bill asks for dry into what lies in the store, is on order and is sold: moist."""
    net, allowance = (
        None if one is None else moisture.moist_of_dry(one, like=wet) for one in (row.net, row.allowance)
    )
    quantity = moisture.moist_of_dry(row.quantity, like=wet)
    return row._replace(quantity=quantity, net=net, allowance=allowance)


def _claimed(slot: Slot, *, wet: Load | None, facts: _Facts) -> int:
    claimed = facts.claims.get(slot, 0)
    return claimed if wet is None else moisture.moist_of_dry(claimed, like=wet)


def _planned_needs(
    rows: list[DatedNeed], *, still: dict[int, int], use: Use | None, today: date
) -> tuple[Need, ...]:
    """Return what each pour still needs, with what other works take until then."""
    needs = [
        Need(
            key=f"pour-{row.pour_id}",
            quantity=still[row.pour_id],
            day=row.need_date,
            pour_id=row.pour_id,
            slab_id=row.slab_id,
        )
        for row in rows
        if still[row.pour_id]
    ]
    return background.with_use(needs, a_week=use.a_week if use else 0, today=today)


def _still(row: DatedNeed, *, facts: _Facts) -> int:
    key = (row.pour_id, row.material_id)
    return still_needed.left(
        row.quantity,
        allowance=_allowance(row),
        used=facts.issued.get(key, 0),
        wasted=facts.lost.get(key, 0),
    )


def _beyond(row: DatedNeed, *, facts: _Facts) -> int:
    """Return what a pour has lost beyond its allowance."""
    lost, allowance = facts.lost.get((row.pour_id, row.material_id), 0), _allowance(row)
    return lost - allowance if lost > allowance else 0


def _allowance(row: DatedNeed) -> int:
    """Return the part of a need that is expected loss, as its bill line has it."""
    allowance = row.allowance or 0
    allowed = (row.net or 0) + allowance
    return row.quantity * allowance // allowed if allowed else 0


def _receipt(line: Coming, *, due: dict[int, date]) -> Receipt:
    """Return what an order line brings; one that was bought for a pour serves it even when it comes late.

    Otherwise an order that cannot come in time would be suggested again every night. That it is late is
    shown beside the plan.
    """
    need_date = due.get(line.pour_id) if line.pour_id is not None else None
    expected = line.expected if need_date is None else min(line.expected, need_date)
    return Receipt(key=f"line-{line.line_id}", quantity=line.quantity, expected=expected)
