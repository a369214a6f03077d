"""Enquiries as the office reads them: the list, one with its quotations side by side, a supplier's letter."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.db.models import Count, Prefetch, Q, QuerySet

from estimates.models import Material
from inventory.calc.quoted import Landed
from inventory.models import (
    EnquiredSupplier,
    Enquiry,
    EnquiryLine,
    Quotation,
    QuotationChoice,
    QuotationLine,
)
from inventory.queries import landed
from projects.access import scope
from projects.access.actor import Actor
from projects.models import IdempotencyKey

PAGE = 50
PARTS = 10_000


@dataclass(frozen=True)
class Compared:
    """A quoted line: its cost on site for the need and for one `unit`; a replaced one has no cost."""

    row: QuotationLine
    cost: Landed | None
    unit: str
    unit_minor: Fraction
    expired: bool
    lowest: bool
    chosen: QuotationChoice | None

    @property
    def replaced(self) -> bool:
        """Whether the supplier has quoted anew since."""
        return self.cost is None

    @property
    def stock(self) -> int:
        """Stock units that have to be bought, rounded to the nearest."""
        return 0 if self.cost is None else round(self.row.line.quantity + self.cost.surplus)

    @property
    def total_minor(self) -> int | None:
        """Cost on site of what must be bought, in minor units."""
        return None if self.cost is None else round(self.cost.total / PARTS)

    @property
    def per_unit_minor(self) -> int:
        """Cost on site of one unit, in minor units."""
        return round(self.unit_minor)


@dataclass(frozen=True)
class LineCompared:
    """A line of the enquiry with its quotations, the cheapest on site first, and the choice that holds."""

    row: EnquiryLine
    unit: str
    quoted: tuple[Compared, ...]
    choice: QuotationChoice | None


@dataclass(frozen=True)
class Asked:
    """A supplier who was asked: whether the mail left, and the quotation that holds, when there is one."""

    row: EnquiredSupplier
    mailed: bool
    quotation: Quotation | None


@dataclass(frozen=True)
class Letter:
    """An enquiry as one supplier reads it."""

    enquiry: Enquiry
    supplier: str
    email: str
    lines: tuple[EnquiryLine, ...]


def listing(actor: Actor, *, start: int = 0, count: int = PAGE) -> QuerySet[Enquiry]:
    """Which enquiries are there, newest first, with what was asked and how many answered."""
    rows = scope.visible(Enquiry.objects.all(), actor).select_related("site")
    rows = rows.annotate(
        line_count=Count("lines", distinct=True),
        asked_count=Count("asked", distinct=True),
        answer_count=Count("quotations__supplier", distinct=True),
        chosen_count=Count("lines", filter=Q(lines__quoted__choices__isnull=False), distinct=True),
    )
    return rows.order_by("-created_at", "-id")[start : start + count]


def one(actor: Actor, enquiry_id: int) -> Enquiry:
    """Which enquiry is this; refused with NotFound when it is not the actor's to see."""
    rows = Enquiry.objects.select_related("site", "firm", "created_by")
    return scope.get(rows, actor, pk=enquiry_id)


def lines(actor: Actor, enquiry: Enquiry) -> list[EnquiryLine]:
    """What is asked for, in order."""
    rows = scope.visible(EnquiryLine.objects.filter(enquiry=enquiry), actor)
    return list(rows.select_related("material").prefetch_related("material__packs").order_by("position"))


def asked(actor: Actor, enquiry: Enquiry) -> list[Asked]:
    """Who was asked, and who has answered."""
    rows = scope.visible(EnquiredSupplier.objects.filter(enquiry=enquiry), actor).select_related("supplier")
    held = _held(actor, enquiry)
    keys = IdempotencyKey.objects.filter(firm_id=actor.firm_id, act="enquiries.note_mailed")
    mailed = set(keys.values_list("result_id", flat=True))
    return [
        Asked(row=row, mailed=row.pk in mailed, quotation=held.get(row.supplier_id))
        for row in rows.order_by("supplier__name", "id")
    ]


def compared(actor: Actor, enquiry: Enquiry, *, today: date) -> list[LineCompared]:
    """How do the quotations compare, line by line, as cost on site in one unit."""
    choices = QuotationChoice.objects.select_related("chosen_by").order_by("chosen_at", "id")
    rows = QuotationLine.objects.filter(line__enquiry=enquiry)
    rows = scope.visible(rows, actor).select_related("quotation__supplier", "line__material", "pack")
    rows = rows.prefetch_related(Prefetch("choices", queryset=choices))
    held = {quotation.pk for quotation in _held(actor, enquiry).values()}
    by_line: dict[int, list[QuotationLine]] = {}
    for row in rows.order_by("quotation__supplier__name", "-quotation_id"):
        by_line.setdefault(row.line_id, []).append(row)
    return [
        _line(line, rows=by_line.get(line.pk, []), held=held, today=today) for line in lines(actor, enquiry)
    ]


def materials(actor: Actor) -> list[Material]:
    """What can be asked for: what is kept in a store, with its packs."""
    rows = scope.visible(Material.objects.filter(stocked=True), actor).prefetch_related("packs")
    return list(rows.order_by("name", "id"))


def quoted(actor: Actor, quoted_id: int) -> QuotationLine:
    """Which quoted line is this; refused with NotFound when it is not the actor's to see."""
    rows = QuotationLine.objects.select_related("quotation__supplier", "quotation__enquiry", "line__material")
    return scope.get(rows, actor, pk=quoted_id)


def letter(actor: Actor, *, asked_id: int) -> Letter:
    """What does one of the suppliers get to read."""
    row = scope.get(EnquiredSupplier.objects.select_related("supplier"), actor, pk=asked_id)
    enquiry = one(actor, row.enquiry_id)
    return Letter(enquiry, row.supplier.name, row.supplier.email, tuple(lines(actor, enquiry)))


def mailed_key(asked_id: int) -> str:
    """Name the act that keeps on record that an enquiry was mailed to a supplier."""
    return f"enquiry-mailed:{asked_id}"


def was_mailed(actor: Actor, *, asked_id: int) -> bool:
    """Has the mail to this supplier left."""
    return scope.visible(IdempotencyKey.objects.filter(key=mailed_key(asked_id)), actor).exists()


def _held(actor: Actor, enquiry: Enquiry) -> dict[int, Quotation]:
    """The last quotation of each supplier."""
    rows = scope.visible(Quotation.objects.filter(enquiry=enquiry), actor).order_by("id")
    return {row.supplier_id: row for row in rows}


def _line(line: EnquiryLine, *, rows: Iterable[QuotationLine], held: set[int], today: date) -> LineCompared:
    unit, per = landed.compared_in(line.material)
    costs = {row.pk: landed.cost(row) for row in rows if row.quotation_id in held}
    live = [row for row in rows if row.pk in costs and not _expired(row, today=today)]
    lowest = min((costs[row.pk].rate for row in live), default=None)
    choices = sorted((c for row in rows for c in row.choices.all()), key=lambda c: (c.chosen_at, c.pk))
    choice = choices[-1] if choices else None
    found = [
        Compared(
            row=row,
            cost=costs.get(row.pk),
            unit=unit,
            unit_minor=costs[row.pk].rate * per / PARTS if row.pk in costs else Fraction(0),
            expired=_expired(row, today=today),
            lowest=row in live and costs[row.pk].rate == lowest,
            chosen=choice if choice is not None and choice.quoted_id == row.pk else None,
        )
        for row in rows
    ]
    found.sort(key=lambda one: (one.replaced, one.unit_minor, one.row.pk))
    return LineCompared(row=line, unit=unit, quoted=tuple(found), choice=choice)


def _expired(row: QuotationLine, *, today: date) -> bool:
    until = row.quotation.valid_until
    return until is not None and until < today
