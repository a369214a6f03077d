"""Dated needs of the pours to come, derived as a whole from the issued bills and the pour dates."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction
from django.db.models import Prefetch

from estimates.calc import requirements as needed
from estimates.models import Bill, BillLine, Requirement
from estimates.services import needs
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Firm, Pour
from projects.queries import holidays

DaysOff = tuple[int, frozenset[date]]
"""The weekly day off, and the holidays."""

Need = tuple[int, int]
"""A pour and a material."""


@dataclass(frozen=True)
class Change:
    """How many dated needs came, moved or went."""

    added: int
    changed: int
    removed: int

    @property
    def any(self) -> bool:
        """Whether anything changed at all."""
        return bool(self.added or self.changed or self.removed)


def derive(*, actor: Actor, now: datetime) -> Change:
    """Bring the firm's dated needs in line with its issued bills and pour dates, touching only what differs.

    The same input leaves every row as it is, so that doing it twice is doing it once. A change asks for
    the reorder plan.
    """
    actor.require(Permission.PLAN_ORDERS)
    with transaction.atomic():
        firm = Firm.objects.select_for_update(no_key=True).get(pk=actor.firm_id)
        wanted = _wanted(actor, firm=firm)
        rows = {
            (row.pour_id, row.material_id): row for row in scope.visible(Requirement.objects.all(), actor)
        }
        gone = [row.pk for need, row in rows.items() if need not in wanted]
        fresh = [row for need, row in wanted.items() if need not in rows]
        moved = [_moved(row, wanted=wanted) for need, row in rows.items() if need in wanted]
        changed = [row for row in moved if row is not None]
        Requirement.objects.filter(pk__in=gone).delete()
        Requirement.objects.bulk_create(fresh)
        Requirement.objects.bulk_update(changed, ["bill_line", "need_date", "quantity"])
        change = Change(added=len(fresh), changed=len(changed), removed=len(gone))
        if change.any:
            needs.ask_for_plan(actor, now=now)
    return change


def _wanted(actor: Actor, *, firm: Firm) -> dict[Need, Requirement]:
    """Every need that should be there; water and whatever else is not kept in a store is not planned."""
    bought = BillLine.objects.filter(material__stocked=True).select_related("material").order_by("position")
    bills = scope.visible(
        Bill.objects.filter(state=Bill.State.ISSUED, design__slab__closed_at=None)
        .select_related("design")
        .prefetch_related(Prefetch("lines", queryset=bought)),
        actor,
    )
    pours: dict[int, list[Pour]] = defaultdict(list)
    for pour in scope.visible(Pour.objects.all(), actor).order_by("pour_date", "id"):
        pours[pour.slab_id].append(pour)
    off = firm.day_off, holidays.days(actor)
    wanted: dict[Need, Requirement] = {}
    for bill in bills:
        wanted |= _of_slab(bill.lines.all(), pours=pours[bill.design.slab_id], off=off)
    return wanted


def _of_slab(lines: Iterable[BillLine], *, pours: list[Pour], off: DaysOff) -> dict[Need, Requirement]:
    """The needs of one slab's pours to come; those done keep their share of the bill."""
    firsts: dict[int, BillLine] = {}
    allowed: dict[int, int] = defaultdict(int)
    for line in lines:
        firsts.setdefault(_material_id(line), line)
        allowed[_material_id(line)] += line.allowed
    found = {}
    for material_id, line in firsts.items():
        parts = needed.split(allowed[material_id], shares_ppm=[pour.share_ppm for pour in pours])
        for pour, quantity in zip(pours, parts, strict=True):
            if quantity and pour.state == Pour.State.PLANNED:
                found[pour.pk, material_id] = Requirement(
                    pour=pour,
                    material_id=material_id,
                    bill_line=line,
                    need_date=_need_date(pour.pour_date, line=line, off=off),
                    quantity=quantity,
                )
    return found


def _need_date(pour_date: date, *, line: BillLine, off: DaysOff) -> date:
    assert line.material is not None  # noqa: S101 - only lines with a material are read
    day_off, closed = off
    lead = line.material.lead_days
    return needed.need_date(pour_date, lead_days=lead, day_off=day_off, holidays=closed)


def _material_id(line: BillLine) -> int:
    assert line.material_id is not None  # noqa: S101 - only lines with a material are read
    return line.material_id


def _moved(row: Requirement, *, wanted: Mapping[Need, Requirement]) -> Requirement | None:
    """The kept row with its new facts, or None when they are the same."""
    new = wanted[row.pour_id, row.material_id]
    if (row.bill_line_id, row.need_date, row.quantity) == (new.bill_line_id, new.need_date, new.quantity):
        return None
    row.bill_line_id, row.need_date, row.quantity = new.bill_line_id, new.need_date, new.quantity
    return row
