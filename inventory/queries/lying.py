"""What lies at every place, and what left by it: the balances that each sum of value is made of."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Q

from inventory.models import Place, Stock
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission

PAGE = 50

GROUPS: dict[str, tuple[Place.Kind, ...]] = {
    "slab": (Place.Kind.SLAB,),
    "stores": Place.GUARDED,
    "waste": (Place.Kind.WASTE,),
    "lost": (Place.Kind.WASTE, Place.Kind.COUNT, Place.Kind.SOLD),
    "other": (Place.Kind.OTHER_WORK,),
    "bought": (Place.Kind.SUPPLIER, Place.Kind.OPENING),
}
"""Groups of places as the sums of value name them; slabs stand apart from the stores."""


@dataclass(frozen=True)
class Lying:
    """A material at a place; the value is None for who may not see money. Sources lie below nothing."""

    stock: Stock
    value_minor: int | None


@dataclass(frozen=True)
class Balances:
    """A page of balances by place and material."""

    rows: tuple[Lying, ...]
    more: bool


def balances(actor: Actor, *, group: str = "", start: int = 0, count: int = PAGE) -> Balances:
    """List the balances of a group of places, or of all, that are not nothing."""
    rows = scope.visible(Stock.objects.filter(~Q(quantity=0) | ~Q(value_minor=0)), actor)
    if group in GROUPS:
        kinds = set(GROUPS[group]) - ({Place.Kind.SLAB} if group == "stores" else set())
        rows = rows.filter(place__kind__in=kinds)
    rows = rows.select_related("place__site", "place__slab", "material")
    listed = list(
        rows.order_by("place__site__name", "place__kind", "place_id", "material__code", "pk")[
            start : start + count + 1
        ]
    )
    money = actor.can(Permission.SEE_MONEY)
    return Balances(
        rows=tuple(
            Lying(stock=row, value_minor=row.value_minor if money else None) for row in listed[:count]
        ),
        more=len(listed) > count,
    )
