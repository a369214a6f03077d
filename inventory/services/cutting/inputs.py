"""What a plan is worked out from, as plain data that keeps, and back as tasks of the optimiser."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any

from estimates.calc.cutting.facts import Kind, Pattern, Piece, Plan, Stock, Task
from inventory.models import CuttingPattern, CuttingPlan, CuttingResult
from inventory.queries.cutting.bars import Heap
from inventory.queries.cutting.needs import Need
from inventory.services.cutting.settings import Cutting

Origin = CuttingPattern.Origin

BUYING_WEIGHS = 10
"""How many millimetres of bars in store a millimetre to buy is worth to a plan.

Source: common practice: nothing is bought while bars in store serve. Their rests stay re-usable; a bar bought
is money spent, so that ten times the length is as good as before everything else.
"""


def of_size(needs: Iterable[Need], *, heaps: Iterable[Heap], sold: Iterable[int]) -> dict[str, Any]:
    """Describe what is to be cut of one material: pieces by mark, stock by origin and length."""
    needs = list(needs)
    material = needs[0].material
    assert material is not None  # noqa: S101 - asking refuses pieces of a size that is not kept
    return {
        "material_id": material.pk,
        "pieces": [
            {
                "slab_id": need.slab.pk,
                "bill_id": need.bill.pk,
                "mark": need.mark,
                "member": need.member,
                "shape": need.shape,
                "length_mm": need.length_mm,
                "count": need.left,
                "taken": need.taken,
                "label": f"{need.mark}, {need.slab.name}",
            }
            for need in needs
        ],
        "stocks": [*_at_hand(heaps), *({"origin": Origin.BUY.value, "length_mm": one} for one in sold)],
    }


def _at_hand(heaps: Iterable[Heap]) -> list[dict[str, Any]]:
    there: defaultdict[tuple[str, int], int] = defaultdict(int)
    for heap in heaps:
        if heap.free:
            origin = Origin.OFFCUT if heap.offcut else Origin.BAR
            there[origin.value, heap.lot.bar_length_mm] += heap.free
    ordered = sorted(there.items(), key=lambda item: (item[0][0] != Origin.OFFCUT, -item[0][1]))
    return [{"origin": origin, "length_mm": length, "available": bars} for (origin, length), bars in ordered]


def task(size: Mapping[str, Any], *, settings: Cutting) -> Task:
    """Turn one size back into a task."""
    return Task(
        stocks=tuple(_stock(one) for one in size["stocks"]),
        pieces=tuple(
            Piece(mark=one["label"], length_mm=one["length_mm"], count=one["count"]) for one in size["pieces"]
        ),
        keep_mm=settings.shortest_offcut_mm,
        blade_mm=settings.blade_mm,
        max_patterns=settings.most_patterns or None,
    )


def _stock(one: Mapping[str, Any]) -> Stock:
    kind = Kind.OFFCUT if one["origin"] == Origin.OFFCUT else Kind.BAR
    length = one["length_mm"]
    return Stock(
        label=label(one["origin"], length),
        length_mm=length,
        kind=kind,
        available=one.get("available"),
        cost=length * BUYING_WEIGHS if one["origin"] == Origin.BUY else None,
    )


def label(origin: str, length_mm: int) -> str:
    """Name a stock of a task."""
    return f"{origin} {length_mm}"


def settings_of(plan: CuttingPlan) -> Cutting:
    """Return the figures that a plan was asked for with."""
    return Cutting(**plan.settings["cutting"])


def plan_as_kept(result: CuttingResult, *, size: Mapping[str, Any]) -> Plan:
    """Put a plan together again from its rows, as the checker takes it."""
    rows = CuttingPattern.objects.filter(plan_id=result.plan_id, material_id=result.material_id)
    rows = rows.prefetch_related("pieces__need").order_by("position")
    stocks = [(one["origin"], one["length_mm"]) for one in size["stocks"]]
    at = {(one["slab_id"], one["mark"], one["length_mm"]): n for n, one in enumerate(size["pieces"])}
    figures = result.figures
    return Plan(
        patterns=tuple(_pattern(row, stocks=stocks, at=at) for row in rows),
        new_bars=result.new_bars,
        new_mm=result.new_mm,
        offcuts_used=result.offcuts_used,
        kept_mm=tuple(figures["kept_mm"]),
        scrap_mm=result.scrap_mm,
        blade_mm=result.blade_mm,
        cost=figures["cost"],
        bound=figures["bound"],
        bound_bars=figures["bound_bars"],
        gap=figures["gap"],
        proven=figures["proven"],
        patterns_kept=figures["patterns_kept"],
        method=figures["method"],
        ended=figures["ended"],
        seconds=figures["seconds"],
    )


def _pattern(
    row: CuttingPattern, *, stocks: list[tuple[str, int]], at: Mapping[tuple[int, str, int], int]
) -> Pattern:
    counts = [0] * len(at)
    for piece in row.pieces.all():
        counts[at[piece.need.slab_id, piece.need.mark, piece.need.length_mm]] = piece.per_bar
    return Pattern(
        stock=stocks.index((row.origin, row.bar_length_mm)),
        counts=tuple(counts),
        bars=row.bars,
        remainder_mm=row.rest_mm,
    )
