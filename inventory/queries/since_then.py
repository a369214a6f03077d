"""Where the material of a store has gone since a moment."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime

from django.db.models import Sum

from inventory.models import Place
from inventory.models.ledger import Movement

SOURCES = (Place.Kind.SUPPLIER, Place.Kind.OPENING)


def gone(*, store_id: int, material_id: int, since: datetime) -> dict[int, int]:
    """Return the stock units of a material that have left a store and not come back, by place.

    For services only: nobody's rights are asked. What was taken back by a reversal counts as come back.
    """
    moves = Movement.objects.filter(material_id=material_id, recorded_at__gte=since)
    found: defaultdict[int, int] = defaultdict(int)
    for here, there, sign in (("source_id", "target", 1), ("target_id", "source", -1)):
        rows = moves.filter(**{here: store_id}).exclude(**{f"{there}__kind__in": SOURCES})
        sums = rows.values_list(f"{there}_id").annotate(all=Sum("quantity")).order_by(f"{there}_id")
        for place_id, quantity in sums:
            found[place_id] += sign * quantity
    return {place_id: quantity for place_id, quantity in found.items() if quantity > 0}
