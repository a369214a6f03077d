"""Issued bills: the frozen budget of a slab, line by line, and the difference between two of them."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Prefetch, QuerySet

from estimates.calc import money
from estimates.models import Bill, BillLine
from estimates.queries import lines
from estimates.queries.lines import LineRow
from projects.access import scope
from projects.access.actor import Actor


@dataclass(frozen=True)
class BillSheet:
    """A bill with its lines in groups."""

    bill: Bill
    rows: tuple[LineRow, ...]

    @property
    def groups(self) -> list[tuple[str, list[LineRow]]]:
        """The lines by concrete, formwork, steel and curing."""
        return lines.grouped(self.rows)

    @property
    def area_m2(self) -> float:
        """Area of the slab in plan."""
        return self.bill.area_mm2 / 1_000_000

    @property
    def per_m2_minor(self) -> int:
        """Budget of one square metre of slab, in minor units."""
        return money.half_even(self.bill.total_minor * 1_000_000, denominator=self.bill.area_mm2)

    @property
    def per_m3_minor(self) -> int:
        """Budget of one cubic metre of concrete, in minor units."""
        return money.half_even(self.bill.total_minor * 1_000_000, denominator=self.bill.volume_cm3)


@dataclass(frozen=True, kw_only=True)
class LineDifference:
    """A line that two bills state differently; a side without the line is None."""

    key: str
    title: str
    member: str
    unit: str
    before: float | None
    after: float | None
    amount_before: int | None
    amount_after: int | None

    @property
    def change(self) -> float:
        """What came in (positive) or fell away (negative), net; a side without the line counts as none."""
        return (0.0 if self.after is None else self.after) - (0.0 if self.before is None else self.before)

    @property
    def amount_change(self) -> int:
        """What the budget of the line gained (positive) or lost (negative), in minor units."""
        before = 0 if self.amount_before is None else self.amount_before
        return (0 if self.amount_after is None else self.amount_after) - before


def one(actor: Actor, *, bill_id: int) -> BillSheet:
    """Return a visible bill with its lines; refused with NotFound when it is not the actor's."""
    bill = scope.get(_with_lines(), actor, pk=bill_id)
    return BillSheet(bill=bill, rows=tuple(lines.from_frozen(line) for line in bill.lines.all()))


def of_slab(actor: Actor, *, slab_id: int) -> QuerySet[Bill]:
    """Return a slab's bills, the latest first."""
    rows = scope.visible(Bill.objects.filter(design__slab=slab_id), actor)
    return rows.select_related("design", "issued_by").order_by("-number", "-id")


def earlier(actor: Actor, *, bill: Bill) -> Bill | None:
    """Return the slab's bill before this one, or None."""
    return of_slab(actor, slab_id=bill.design.slab_id).filter(number__lt=bill.number).first()


def difference(actor: Actor, *, before_id: int, after_id: int) -> tuple[LineDifference, ...]:
    """Return the lines in which two visible bills differ in quantity or amount, in the later one's order."""
    before, after = one(actor, bill_id=before_id), one(actor, bill_id=after_id)
    old = {row.key: row for row in before.rows}
    new = {row.key: row for row in after.rows}
    keys = [*new, *(key for key in old if key not in new)]
    return tuple(
        _difference(new[key] if key in new else old[key], before=old.get(key), after=new.get(key))
        for key in keys
        if not _same(old.get(key), new.get(key))
    )


def _with_lines() -> QuerySet[Bill]:
    rows = BillLine.objects.select_related("material").order_by("position")
    return Bill.objects.select_related("design__slab__site", "design__drawing", "issued_by").prefetch_related(
        Prefetch("lines", queryset=rows)
    )


def _same(before: LineRow | None, after: LineRow | None) -> bool:
    if before is None or after is None:
        return False
    return (before.value, before.unit, before.amount_minor) == (after.value, after.unit, after.amount_minor)


def _difference(named: LineRow, *, before: LineRow | None, after: LineRow | None) -> LineDifference:
    return LineDifference(
        key=named.key,
        title=named.title,
        member=named.member,
        unit=named.unit,
        before=None if before is None else before.value,
        after=None if after is None else after.value,
        amount_before=None if before is None else before.amount_minor,
        amount_after=None if after is None else after.amount_minor,
    )
