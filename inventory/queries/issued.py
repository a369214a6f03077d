"""What pours have been issued and have lost: read from the ledger."""

from __future__ import annotations

from django.db.models import Case, F, Q, Sum, Value, When

from inventory.models import Place, ledger
from projects.access import scope
from projects.access.actor import Actor


def net(actor: Actor, *, pour_ids: set[int]) -> dict[tuple[int, int], int]:
    """Return what each pour has been issued less what came back, by pour and material, in stock units.

    Waste out of the slab is not taken off: it had been issued. Reversals count the other way by their ends.
    """
    slab = Place.Kind.SLAB
    signed = Case(When(target__kind=slab, then=F("quantity")), default=Value(0) - F("quantity"))
    rows = (
        scope.visible(ledger.Movement.objects.filter(pour_id__in=pour_ids), actor)
        .filter(Q(source__kind=slab) | Q(target__kind=slab))
        .exclude(Q(source__kind=Place.Kind.WASTE) | Q(target__kind=Place.Kind.WASTE))
        .values_list("pour_id", "material_id")
        .annotate(total=Sum(signed))
        .order_by("pour_id", "material_id")
    )
    return {(pour_id, material_id): total for pour_id, material_id, total in rows if pour_id is not None}


def lost(actor: Actor, *, pour_ids: set[int]) -> dict[tuple[int, int], int]:
    """Return what was lost out of each pour, by pour and material, in stock units."""
    waste = Place.Kind.WASTE
    signed = Case(When(target__kind=waste, then=F("quantity")), default=Value(0) - F("quantity"))
    slab = Place.Kind.SLAB
    ends = Q(source__kind=slab, target__kind=waste) | Q(source__kind=waste, target__kind=slab)
    rows = (
        scope.visible(ledger.Movement.objects.filter(ends, pour_id__in=pour_ids), actor)
        .values_list("pour_id", "material_id")
        .annotate(total=Sum(signed))
        .order_by("pour_id", "material_id")
    )
    return {(pour_id, material_id): total for pour_id, material_id, total in rows if pour_id is not None}
