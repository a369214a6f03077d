"""How loads can be measured, and what measurements say that a person should know."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.utils.translation import gettext as _

from estimates.models import Material
from estimates.standards.values import Profile
from inventory.calc import receiving
from inventory.calc.measuring import bar_mass, methods, ticket, weighing
from inventory.calc.measuring.methods import Method
from inventory.calc.receiving import Check
from inventory.models import OrderLine, PurchaseOrder, ReceiptLine
from inventory.queries import order_rest
from projects.access import scope
from projects.access.actor import Actor

Limits = Callable[[], Profile]
"""The firm's figures, read when something first asks for them."""


@dataclass(frozen=True)
class MaterialMethods:
    """A material that is kept, with the ways in which its loads are measured, and its checks."""

    material: Material
    methods: tuple[Method, ...]
    checks: tuple[Check, ...]


@dataclass(frozen=True)
class ForOrder:
    """An open order line that a measured load may be for, with its stock units still to come."""

    line: OrderLine
    left: int


def methods_of(actor: Actor) -> list[MaterialMethods]:
    """List the kept materials of the firm with their ways of measuring, in the order of their codes."""
    rows = scope.visible(Material.objects.filter(stocked=True), actor).order_by("code", "pk")
    return [
        MaterialMethods(
            row,
            methods.of_material(row.code, stock_unit=row.stock_unit),
            receiving.of_material(row.code),
        )
        for row in rows
    ]


def material(actor: Actor, *, material_id: int) -> Material:
    """Return a kept material with its packs; NotFound when it is not the actor's."""
    rows = Material.objects.filter(stocked=True).prefetch_related("packs")
    return scope.get(rows, actor, pk=material_id)


def open_lines(actor: Actor, *, material_id: int) -> list[ForOrder]:
    """List the open order lines of a material of which something is still to come, soonest first."""
    rows = scope.visible(OrderLine.objects.filter(order__state__in=PurchaseOrder.OPEN), actor)
    rows = rows.filter(material_id=material_id).select_related("order__site", "order__supplier", "pack")
    rows = rows.annotate(good=order_rest.GOOD, good_g=order_rest.GOOD_G)
    found = [ForOrder(row, order_rest.left(row)) for row in rows.order_by("order__expected_date", "pk")]
    return [one for one in found if one.left]


def remarks(line: ReceiptLine, *, limits: Limits, came: date) -> list[str]:
    """Say what of a line lies beyond a limit, each with the limit and its source; `came` is its day."""
    found = [*_ticket(line, limits=limits), *_bags(line, limits=limits), *_bars(line, limits=limits)]
    found += _age(line, limits=limits, came=came)
    if line.dry_equivalent is not None and line.bulking_thousandths:
        words = _("bulked by %(bulking)s %%: dry it is %(dry)s %(unit)s")
        dry = line.dry_equivalent / line.material.show_factor
        params = {"dry": f"{dry:.3g}", "unit": line.material.show_unit}
        found.append(words % {"bulking": f"{line.bulking_thousandths / 1_000:.3g}", **params})
    return found


def _ticket(line: ReceiptLine, *, limits: Limits) -> list[str]:
    if line.batched_at is None:
        return []
    times = ticket.Times(batched=line.batched_at, arrived=line.arrived_at, discharged=line.discharged_at)
    ages = ticket.ages(times)
    found = []
    for span, key, words in (
        (ages.age, "age", _("%(minutes)s min old when last timed; the limit is %(limit)s min, %(source)s")),
        (
            ages.on_site,
            "on_site",
            _("stood %(minutes)s min at the site; the limit is %(limit)s min, %(source)s"),
        ),
    ):
        limit = limits().value(f"receiving.ready_mixed.{key}")
        if span is not None and span > limit.value:
            params = {"minutes": span, "limit": f"{limit.value:g}", "source": limit.citation}
            found.append(words % params)
    return found


def _age(line: ReceiptLine, *, limits: Limits, came: date) -> list[str]:
    """Point out cement that was old when it came: it may be used, with less time left than was bought."""
    if not line.material.code.startswith("cement") or line.lot is None or line.lot.made_date is None:
        return []
    limit, days = limits().value("receiving.cement.age"), (came - line.lot.made_date).days
    if days <= limit.value:
        return []
    words = _(
        "made %(days)s days before it came; bought at no more than %(limit)s days, %(source)s. Ask for fresh "
        "bags, or use it first"
    )
    return [words % {"days": days, "limit": f"{limit.value:g}", "source": limit.citation}]


def _bags(line: ReceiptLine, *, limits: Limits) -> list[str]:
    if line.method != methods.BAGS.code or line.pack is None:
        return []
    readings = {row["name"]: Fraction(row["value"]) for row in line.readings}
    mean = weighing.mean(readings["weighed_mass"], of=int(readings["weighed"]))
    short = -weighing.deviation_percent(mean * 1_000, nominal=Fraction(line.pack.content))
    limit, few = limits().value("receiving.bag.short"), limits().value("receiving.bag.least_weighed")
    found = []
    if readings["weighed"] < few.value:
        words = _("%(count)s bags weighed are few: %(least)s are usual, %(source)s")
        params = {"count": int(readings["weighed"]), "least": f"{few.value:g}", "source": few.citation}
        found.append(words % params)
    if short > 0:
        words = _("bags short by %(short)s %% in the mean, within %(limit)s %% (%(source)s)")
        if short > limit.value:
            words = _("bags short by %(short)s %% in the mean, beyond %(limit)s %% (%(source)s): by mass")
        params = {"short": f"{float(short):.2g}", "limit": f"{limit.value:g}", "source": limit.citation}
        found.append(words % params)
    return found


def _bars(line: ReceiptLine, *, limits: Limits) -> list[str]:
    """Hold the mass of a metre, where it was weighed, against the tolerance of its size."""
    if line.method != methods.BARS.code or line.material.size_mm is None:
        return []
    limit = bar_mass.tolerance(line.material.size_mm, profile=limits())
    readings = {row["name"]: Fraction(row["value"]) for row in line.readings}
    found = weighing.per_metre(readings["pieces_mass"], length=readings["pieces_length"])
    off = weighing.deviation_percent(found * 1_000, nominal=Fraction(line.material.nominal_mg_per_mm or 0))
    if limit is None or abs(off) <= limit.value:
        return []
    words = (
        _("bars light by %(off)s %% of the table's mass, beyond %(limit)s %% (%(source)s): a defect")
        if off < 0
        else _(
            "bars heavy by %(off)s %% of the table's mass, beyond %(limit)s %% (%(source)s): metres are lost"
        )
    )
    params = {"off": f"{abs(float(off)):.3g}", "limit": f"{limit.value:g}", "source": limit.citation}
    return [words % params]
