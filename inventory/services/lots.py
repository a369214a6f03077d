"""Lots: which are taken first, which are over age, and how a new one is named."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.translation import gettext as _

from estimates.models import Material
from inventory.calc import shelf
from inventory.models import Lot, Supplier
from inventory.services import texts
from projects.errors import Refused


class LotDiffers(Refused):
    """A lot of this label is known with another date of make or another mass."""

    code = "lot_differs"


class OverAge(Refused):
    """The lot is older than the material may be without a test."""

    code = "over_age"


class MadeLater(Refused):
    """A lot said to be made after the day on which it came: it would never be over age."""

    code = "made_later"


class FailedTest(Refused):
    """The lot failed its latest test."""

    code = "failed_test"


@dataclass(frozen=True)
class Bars:
    """What tells bars of one heat apart: length of one, 0 when not known by bars, and g/m as weighed.

    Without a weighed metre a new lot takes the g/m that its first load implies.
    """

    length_mm: int = 0
    measured_mg_per_mm: int | None = None
    implied_mg_per_mm: int | None = None


@dataclass(frozen=True)
class Heap:
    """What lies of one lot at a place; `lot` is None for what came without one."""

    lot: Lot | None
    quantity: int


def blocked(lot: Lot | None, *, material: Material, on_date: date) -> bool:
    """Say whether a lot is over age, or failed its test, on a day; one of unknown age is not over it."""
    if lot is None:
        return False
    last = shelf.last_day(
        made=lot.made_date,
        shelf_days=material.shelf_days,
        tested_until=lot.tested_until,
        failed_on=lot.failed_date,
    )
    return last is not None and on_date > last


def require_usable(lot: Lot, *, material: Material, on_date: date) -> None:
    """Refuse a lot that is blocked: `failed_test` by its test, else `over_age`; both say what to do."""
    if not blocked(lot, material=material, on_date=on_date):
        return
    if lot.failed_date is not None:
        message = _(
            "Lot %(lot)s failed its test of %(day)s. Take another lot; send this one back or record it as "
            "waste. A later test that passes it, for which the engineer decides, opens it again."
        )
        said = {"lot": lot.label, "day": lot.failed_date.isoformat()}
        raise FailedTest(message % said, field="reason", lot=lot.label)
    message = _("Lot %(lot)s is over age. Record a test that passes it, or take another lot.")
    raise OverAge(message % {"lot": lot.label}, field="reason", lot=lot.label)


def oldest_first(heaps: Iterable[Heap]) -> list[Heap]:
    """Put heaps in the order of use: what has no lot or no date of make first, then by date of make."""
    return sorted(heaps, key=lambda heap: (_made(heap.lot), heap.lot.pk if heap.lot else 0))


def _made(lot: Lot | None) -> date:
    return lot.made_date if lot is not None and lot.made_date is not None else date.min


def take(heaps: Iterable[Heap], *, quantity: int) -> list[Heap]:
    """Take a quantity from heaps in their order; what they lack is simply not in the answer."""
    taken = []
    for heap in heaps:
        if quantity <= 0:
            break
        part = min(heap.quantity, quantity)
        if part > 0:
            taken.append(Heap(heap.lot, part))
            quantity -= part
    return taken


def of_delivery(
    material: Material,
    *,
    supplier: Supplier,
    label: str,
    made_date: date | None,
    on_date: date,
    bars: Bars | None = None,
) -> Lot | None:
    """Return the lot of a delivery, made or found by its label; None when nothing tells it apart.

    Without a label the day of make names it; bars of each length are a lot of their own. Refused with
    `lot_differs` when the label is known with another date of make or another measured mass, and with
    `made_later` when it was made after the day it came on.
    """
    if made_date is not None and made_date > on_date:
        message = _("It cannot be made on %(made)s when it came on %(day)s. Read the date again.")
        params = {"made": made_date.isoformat(), "day": on_date.isoformat()}
        raise MadeLater(message % params, field="made_date")
    label = texts.fitting(label, most=60, field="lot_label") or (made_date.isoformat() if made_date else "")
    if not label:
        return None
    bars = bars or Bars()
    facts = {"made_date": made_date, "measured_mg_per_mm": bars.measured_mg_per_mm}
    mass = bars.measured_mg_per_mm or bars.implied_mg_per_mm
    lot, made = Lot.objects.get_or_create(
        material=material,
        supplier=supplier,
        label=label,
        bar_length_mm=bars.length_mm,
        defaults={"firm_id": material.firm_id, **facts, "measured_mg_per_mm": mass},
    )
    if not made:
        _complete(lot, given=facts)
    return lot


def _complete(lot: Lot, *, given: dict[str, Any]) -> None:
    """Fill in what was not known of a lot; a fact that contradicts the known one is refused."""
    for name, value in given.items():
        known = getattr(lot, name)
        if value is not None and known is not None and known != value:
            message = _(
                "Lot %(lot)s is known with %(known)s, not %(value)s. Give this load a label of its own."
            )
            raise LotDiffers(message % {"lot": lot.label, "known": known, "value": value}, field="lot_label")
    news = {name: value for name, value in given.items() if value is not None and getattr(lot, name) is None}
    if news:
        Lot.objects.filter(pk=lot.pk).update(**news)
