"""Lots and their tests."""

from __future__ import annotations

from django.db.models import Prefetch

from inventory.models import Lot, LotTest
from projects.access import scope
from projects.access.actor import Actor


def lot(actor: Actor, *, lot_id: int) -> Lot:
    """Return a lot with its tests, the latest first; NotFound when it is not the firm's."""
    tests = LotTest.objects.select_related("recorded_by").order_by("-tested_date", "-pk")
    rows = Lot.objects.select_related("material", "supplier")
    return scope.get(rows.prefetch_related(Prefetch("tests", queryset=tests)), actor, pk=lot_id)
