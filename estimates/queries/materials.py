"""The firm's materials with their packs and the rates that hold on a day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.db.models import Prefetch

from estimates.models import Material, Pack, Rate
from estimates.queries import takeoffs
from projects.access import scope
from projects.access.actor import Actor

PAGE = 100


@dataclass(frozen=True)
class MaterialRow:
    """A material with its packs, the usual one first, and its rate of the day if there is one."""

    material: Material
    packs: tuple[Pack, ...]
    rate: Rate | None


def listing(actor: Actor, *, on: date, start: int = 0, count: int = PAGE) -> list[MaterialRow]:
    """Return the firm's materials by code with packs and the rate that holds on a day."""
    packs = Prefetch("packs", queryset=Pack.objects.order_by("id"))
    rows = scope.visible(Material.objects.prefetch_related(packs), actor).order_by("size_mm", "code", "id")
    rates = takeoffs.rates_on(actor, day=on)
    return [
        MaterialRow(material=row, packs=tuple(row.packs.all()), rate=rates.get(row.pk))
        for row in rows[start : start + count]
    ]


def one(actor: Actor, *, material_id: int) -> Material:
    """Return one material; refused with NotFound when it is not the firm's."""
    return scope.get(Material.objects.prefetch_related("packs"), actor, pk=material_id)
