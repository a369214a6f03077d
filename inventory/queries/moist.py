"""What the heaps of a store would be dry: bills ask for sand dry, and the store keeps it moist as it lies."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from inventory.calc.measuring import moisture
from inventory.calc.measuring.moisture import Load
from inventory.models import ReceiptLine
from projects.access import scope
from projects.access.actor import Actor


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
