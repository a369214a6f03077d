"""A line of a take-off or bill as it is shown."""

from __future__ import annotations

from typing import Any

from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from api.fields import Money, Price, QuantityShown, Shown, quantity_as


@extend_schema_field(QuantityShown(allow_null=True))
class LineQuantity(serializers.Field[Any, Any, Any, Any]):
    """Stock units of a line, in the unit that the line's material is shown in; null on lines not bought."""

    def __init__(self, part: str, **kwargs: Any) -> None:
        super().__init__(source="*", **kwargs)
        self._part = part

    def to_representation(self, value: Any) -> dict[str, Any] | None:
        """Return the quantity in both units."""
        units = getattr(value, self._part)
        return None if units is None else quantity_as(units, shown_as=value.shown_as)


class LineShown(Shown):
    key = serializers.CharField(help_text="As concrete.net or steel.size.12.")
    group = serializers.CharField(help_text="concrete, formwork, steel or curing.")
    member = serializers.CharField()
    title = serializers.CharField()
    value = serializers.FloatField(help_text="The net quantity in the line's own unit.")
    unit = serializers.CharField()
    material = serializers.CharField(help_text="Its name; empty on lines that are not bought.")
    net = LineQuantity("net", help_text="By the drawing, nothing added.")
    allowance = LineQuantity("allowance", help_text="Expected loss.")
    order = LineQuantity("order", help_text="Net and allowance, rounded up to whole packs.")
    surplus = LineQuantity("surplus", help_text="What the packs hold beyond the need.")
    pack = serializers.CharField()
    packs = serializers.IntegerField(allow_null=True)
    rate = Price(help_text="Per `rate_unit`.")
    rate_unit = serializers.CharField()
    amount = Money(source="amount_minor")
    working = serializers.DictField(help_text="Formula, its inputs with units and sources, method.")
