"""Sand dry and moist: bills ask for it dry, and stores keep it, and suppliers sell it, moist as it lies."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from datetime import date, timedelta

from django.db.models import Sum

from inventory.calc.measuring import moisture
from inventory.calc.measuring.moisture import Load
from inventory.models import ReceiptLine
from projects.access import scope
from projects.access.actor import Actor

RECENT_DAYS = 90
"""Days back to which loads tell how moist the next will be. Source: by judgement, about one season."""


def recent(actor: Actor, *, today: date) -> dict[tuple[int | None, int], Load]:
    """Add up the loads of each site and material that were measured for bulking in the last 90 days.

    Under no site stand those of the whole firm, for sites that have none of their own.
    """
    lines = ReceiptLine.objects.filter(
        dry_equivalent__gt=0,
        receipt__reversed_at=None,
        receipt__happened_at__date__gte=today - timedelta(days=RECENT_DAYS),
    )
    rows = scope.visible(lines, actor).values_list("receipt__site_id", "material_id")
    sums = rows.annotate(Sum("accepted"), Sum("dry_equivalent")).order_by("receipt__site_id", "material_id")
    found: dict[tuple[int | None, int], Load] = {}
    for site_id, material_id, moist, equivalent in sums:
        whole = found.get((None, material_id), Load(0, 0))
        found[site_id, material_id] = Load(moist, equivalent)
        found[None, material_id] = Load(whole.moist + moist, whole.dry + equivalent)
    return found


def dry(actor: Actor, *, site_id: int, on_hand: Mapping[int, int]) -> dict[int, int]:
    """How much of each material of a store is it dry, by the last loads that make it up.

    `on_hand` are stock units by material. A material none of whose loads was bulked is left out.
    """
    bulked = ReceiptLine.objects.filter(dry_equivalent__isnull=False, receipt__site_id=site_id)
    lines = ReceiptLine.objects.filter(
        material_id__in=bulked.filter(material_id__in=list(on_hand)).values("material_id"),
        receipt__site_id=site_id,
        receipt__reversed_at=None,
        accepted__gt=0,
    )
    rows = scope.visible(lines, actor).order_by("-receipt__happened_at", "-pk")
    loads: defaultdict[int, list[Load]] = defaultdict(list)
    for material_id, accepted, equivalent in rows.values_list("material_id", "accepted", "dry_equivalent"):
        loads[material_id].append(Load(accepted, accepted if equivalent is None else equivalent))
    return {pk: moisture.dry_of_heap(on_hand[pk], loads=found) for pk, found in loads.items()}
