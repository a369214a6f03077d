"""Steel that a pour was issued and has no place for: beyond its bill, and neither back nor waste."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Sum

from estimates.calc import requirements as needed
from estimates.models import Bill, BillLine, Material
from inventory.calc import still_needed
from inventory.queries import issued
from projects.access import scope
from projects.access.actor import Actor
from projects.models import Pour

METRE = 1_000
"""Less than a metre of a size is the rest of a cut, not a bar that lies about. Source: common practice."""


@dataclass(frozen=True)
class LeftOver:
    """A bar size and what of it lies unused, in millimetres."""

    material: Material
    quantity: int


def bars(actor: Actor, pour: Pour) -> list[LeftOver]:
    """What bars does a pour still hold beyond its share of the bill; nothing is known without a bill."""
    bill = Bill.objects.filter(design__slab_id=pour.slab_id, state=Bill.State.ISSUED)
    latest = scope.visible(bill, actor).order_by("-issued_at", "-pk").first()
    if latest is None:
        return []
    taken = issued.net(actor, pour_ids={pour.pk})
    lost = issued.lost(actor, pour_ids={pour.pk})
    asked = _asked(latest, pour=pour)
    materials = Material.objects.filter(stock_unit="mm", pk__in=[pk for _pour, pk in taken]).order_by("code")
    found = []
    for material in materials:
        net, allowance = asked.get(material.pk, (0, 0))
        key = (pour.pk, material.pk)
        place = still_needed.left(net + allowance, allowance=allowance, used=0, wasted=lost.get(key, 0))
        rest = taken[key] - place
        if rest >= METRE:
            found.append(LeftOver(material=material, quantity=rest))
    return found


def _asked(bill: Bill, *, pour: Pour) -> dict[int, tuple[int, int]]:
    """Return the pour's share of the net and the allowance of each bar size of the bill."""
    pours = list(pour.slab.pours.order_by("pour_date", "pk"))
    shares = [one.share_ppm for one in pours]
    mine = [one.pk for one in pours].index(pour.pk)
    rows = BillLine.objects.filter(bill=bill, material__stock_unit="mm")
    sums = rows.values_list("material_id").annotate(Sum("net"), Sum("allowance")).order_by("material_id")
    return {
        pk: (
            needed.split(net, shares_ppm=shares)[mine],
            needed.split(allowance, shares_ppm=shares)[mine],
        )
        for pk, net, allowance in sums
    }
