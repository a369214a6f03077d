"""The words that all resources are written in: what is asked, typed and shown; quantities and money."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from operator import attrgetter
from typing import Any

from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import extend_schema_field
from rest_framework import serializers

from projects.access.actor import Actor
from projects.access.permissions import Permission

LARGEST_ID = 10**18
LARGEST = 10**15
FIRST_YEAR, LAST_YEAR = 1990, 2199


class Typed(serializers.Serializer[Any]):
    """What a client sends; a field that is not known is a fault, because it would be lost silently.

    So is a number where a text belongs: 007 would be kept as 7.
    """

    def to_internal_value(self, data: Any) -> Any:
        """Refuse unknown fields and numbers for texts together with the other faults."""
        wrong = self._wrong(data) if isinstance(data, Mapping) else {}
        try:
            found = super().to_internal_value(data)
        except serializers.ValidationError as known:
            if isinstance(known.detail, dict):
                raise serializers.ValidationError({**known.detail, **wrong}) from known
            raise
        if wrong:
            raise serializers.ValidationError(wrong)
        return found

    def _wrong(self, data: Mapping[str, Any]) -> dict[str, list[serializers.ErrorDetail]]:
        unknown = [serializers.ErrorDetail(str(_("There is no such field.")), code="unknown_field")]
        no_text = [serializers.ErrorDetail(str(_("Write it as a text, in quotes.")), code="not_text")]
        found = {str(name)[:60]: unknown for name in data if name not in self.fields}
        for name, field in self.fields.items():
            if isinstance(field, serializers.CharField) and isinstance(data.get(name), int | float):
                found[name] = no_text
        return found


class Asked(Typed):
    """What a client asks in the query string."""


def listed(line: type[Typed], *, most: int, **options: Any) -> Any:
    """Return a field for a list of such lines, of no more than `most`."""
    make: Any = line
    return make(many=True, max_length=most, **options)


class Nothing(Typed):
    """An act that needs no words."""


class Reason(Typed):
    """An act that asks why."""

    reason = serializers.CharField(max_length=200, help_text="Why; it stays on record.")


class RowId(serializers.IntegerField):
    """The id of a row; whether it is the firm's own is settled by the service."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(min_value=1, max_value=LARGEST_ID, **kwargs)


class Whole(serializers.IntegerField):
    """A whole number within what an entry may hold."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("min_value", 0)
        kwargs.setdefault("max_value", LARGEST)
        super().__init__(**kwargs)


class Figure(serializers.DecimalField):
    """A quantity as counted or measured: at most three decimals, as a number or a string."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_digits=15, decimal_places=3, min_value=Decimal(0), **kwargs)


class Day(serializers.DateField):
    """A date of this trade: no year out of reason, which no calendar could count from."""

    default_error_messages = {"out_of_reason": _("The year must lie between {first} and {last}.")}

    def to_internal_value(self, value: Any) -> date:
        """Read the date and refuse years out of reason."""
        found = super().to_internal_value(value)
        if not FIRST_YEAR <= found.year <= LAST_YEAR:
            self.fail("out_of_reason", first=FIRST_YEAR, last=LAST_YEAR)
        return found


class Moment(serializers.DateTimeField):
    """A time; without an offset it is in the firm's time zone."""

    default_error_messages = {"out_of_reason": _("The year must lie between {first} and {last}.")}

    def to_internal_value(self, value: Any) -> datetime:
        """Read the time and refuse years out of reason."""
        try:
            found = super().to_internal_value(value)
        except OverflowError:  # the first days of the calendar have no time in zones east of Greenwich
            self.fail("out_of_reason", first=FIRST_YEAR, last=LAST_YEAR)
        if not FIRST_YEAR <= found.year <= LAST_YEAR:
            self.fail("out_of_reason", first=FIRST_YEAR, last=LAST_YEAR)
        return found


class QuantityShown(serializers.Serializer[Any]):
    """A quantity: exact in whole stock units, and readable in the unit in which the material is shown."""

    units = serializers.IntegerField(help_text="Whole stock units.")
    unit = serializers.CharField(help_text="The stock unit: g, mm, cm3, cm2 or piece.")
    shown = serializers.CharField(help_text="The same quantity as a decimal number.")
    shown_unit = serializers.CharField(help_text="The unit of `shown`: kg, m, m³, L, m² or no.")


class MoneyShown(serializers.Serializer[Any]):
    """An amount of money."""

    minor = serializers.IntegerField(help_text="Whole minor units, as paise or cents.")
    currency = serializers.CharField(help_text="ISO 4217 code.")


class PriceShown(serializers.Serializer[Any]):
    """A price of one unit or pack."""

    ten_thousandths = serializers.IntegerField(help_text="Ten-thousandths of a minor unit.")
    currency = serializers.CharField(help_text="ISO 4217 code.")


@extend_schema_field(QuantityShown(allow_null=True))
class Quantity(serializers.Field[Any, Any, Any, Any]):
    """Shows stock units of a row: `units` and `material` are the attributes that hold them."""

    def __init__(self, units: str, *, material: str = "material", **kwargs: Any) -> None:
        super().__init__(source="*", **kwargs)
        self._units, self._material = attrgetter(units), attrgetter(material)

    def to_representation(self, value: Any) -> dict[str, Any] | None:
        """Return the quantity in both units; null where there is none."""
        units = self._units(value)
        return None if units is None else quantity(units, material=self._material(value))


class _OfMoney(serializers.Field[Any, Any, Any, Any]):
    """A field that is left out for an actor who may not see money."""

    part = "minor"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, allow_null=True, **kwargs)

    def to_representation(self, value: Any) -> dict[str, Any]:
        """Return the integer with its currency."""
        return {self.part: value, "currency": self.context["actor"].currency}


@extend_schema_field(MoneyShown(allow_null=True))
class Money(_OfMoney):
    """An amount in minor units."""


@extend_schema_field(PriceShown(allow_null=True))
class Price(_OfMoney):
    """A price in ten-thousandths of a minor unit."""

    part = "ten_thousandths"


class Shown(serializers.Serializer[Any]):
    """What a client is shown; money is left out, key and all, for an actor who may not see it."""

    money_fields: tuple[str, ...] = ()
    """Fields of other types that tell money too."""

    def get_fields(self) -> dict[str, serializers.Field[Any, Any, Any, Any]]:
        """Return the fields that this actor may see; all of them when the document is written."""
        fields = super().get_fields()
        actor: Actor | None = self.context.get("actor")
        if actor is None or actor.can(Permission.SEE_MONEY):
            return fields
        return {
            name: field
            for name, field in fields.items()
            if not isinstance(field, _OfMoney) and name not in self.money_fields
        }


class Named(Shown):
    """Something by its name."""

    id = serializers.IntegerField()
    name = serializers.CharField()


class Numbered(Shown):
    """A document by its number."""

    id = serializers.IntegerField()
    number = serializers.CharField()


class MaterialNamed(Shown):
    """A material by its code and name."""

    id = serializers.IntegerField()
    code = serializers.CharField()
    name = serializers.CharField()


class SlabNamed(Named):
    """A slab by its name, with its site."""

    site = Named()


class PourNamed(Named):
    """A pour by its name, with its slab."""

    slab = Named()


SHOWN = {
    "g": ("g", 1_000, "kg"),
    "mm": ("mm", 1_000, "m"),
    "cm3": ("cm3", 1_000_000, "m³"),
    "cm3:L": ("cm3", 1_000, "L"),
    "cm2": ("cm2", 10_000, "m²"),
    "piece": ("piece", 1, "no."),
    "mday": ("mday", 1_000, "day"),
}
"""Stock unit, how many of it make one shown unit, and the shown unit. Source: derived: metric prefixes."""


def quantity(units: int, *, material: Any) -> dict[str, Any]:
    """Write stock units of a material as JSON data: exact, and as a decimal in the shown unit."""
    return _quantity(units, material.stock_unit, material.show_factor, material.show_unit)


def quantity_as(units: int, *, shown_as: str) -> dict[str, Any]:
    """Write stock units whose shown unit goes by one of the words of SHOWN."""
    return _quantity(units, *SHOWN[shown_as])


def _quantity(units: int, unit: str, factor: int, shown_unit: str) -> dict[str, Any]:
    return {
        "units": units,
        "unit": unit,
        "shown": f"{Decimal(units) / factor:f}",
        "shown_unit": shown_unit,
    }
