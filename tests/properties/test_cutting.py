"""Whatever is ticked, taken back and issued: mass stays to the gram, value to the minor unit."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from inventory.models import Cut, LotStock, Stock
from inventory.queries.cutting import pieces
from inventory.services.cutting import bench, issuing
from inventory.services.cutting.bench import UndoAct
from inventory.services.cutting.issuing import IssuePiecesAct, PieceAct
from projects.errors import Refused
from tests.api.calls import undone
from tests.factories import cutting as made
from tests.factories import inventory_stock
from tests.factories.cast import NOW

pytestmark = pytest.mark.django_db

STEPS = st.lists(st.tuples(st.sampled_from(["cut", "cut", "undo", "issue"]), st.integers(0, 7)), max_size=10)
LOTS = st.lists(st.tuples(st.integers(1, 4), st.integers(560, 690)), min_size=2, max_size=3)
"""Lots of bars: how many, and the mass of a metre [g/m] round the 617 of the table."""


@settings(max_examples=5, deadline=None, suppress_health_check=list(HealthCheck))
@given(lots=LOTS, steps=STEPS, rest=st.integers(3_000, 9_000))
def test_mass_and_value_are_conserved(lots, steps, rest):
    with undone():
        at = made.shop()
        for number, (bars, mass) in enumerate(lots):
            lot = made.receive(at, "steel-10", bars=bars, label=f"H {number}")
            type(lot).objects.filter(pk=lot.pk).update(measured_mg_per_mm=mass)
        made.offcuts(at, "steel-10", length=rest, number=2)
        plan = made.reserved(at, marks=("S1",))
        before = _mass_mg(), _value()
        for step, number in steps:
            with contextlib.suppress(Refused):  # that nothing has moved then shows below
                _do(at, plan, step=step, number=number)
            assert _lot_mass_by_origin() == before[0]
            assert (_mass_mg(), _value()) == before
            inventory_stock.assert_sound()


def _do(at, plan, *, step, number):
    if step == "cut":
        patterns = list(plan.patterns.order_by("position"))
        made.cut(at, patterns[number % len(patterns)], bars=number % 3 + 1)
    elif step == "undo":
        cuts = list(Cut.objects.order_by("pk"))
        if cuts:
            act = UndoAct(cut_id=cuts[number % len(cuts)].pk, reason="wrong tap")
            bench.undo(actor=at.cast.bob, act=act, key=made.key(), now=NOW)
    else:
        need = pieces.of_plan(plan.pk)[0].need
        act = IssuePiecesAct(pour_id=at.pour.pk, pieces=(PieceAct(need.pk, number + 1),))
        issuing.issue(actor=at.cast.bob, act=act, key=made.key(), now=NOW)


def _held():
    """Every place that steel can be at, but for where it came from."""
    return LotStock.objects.exclude(place__kind__in=("supplier", "opening")).select_related("lot")


def _mass_mg() -> int:
    """Mass of all steel, each lot by its own mass of a metre [mg]."""
    return sum(row.quantity * (row.lot.measured_mg_per_mm or 617) for row in _held())


def _lot_mass_by_origin() -> int:
    """The same by heat: an offcut has the mass of the lot that it was cut from."""
    return sum(row.quantity * ((row.lot.offcut_of or row.lot).measured_mg_per_mm or 617) for row in _held())


def _value() -> int:
    rows = Stock.objects.exclude(place__kind__in=("supplier", "opening"))
    return sum(rows.values_list("value_minor", flat=True))
