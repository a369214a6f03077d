"""On which terms a supplier delivers: its truck, its least order, and the weekdays of its rounds."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from inventory.calc.reorder.workdays import DAYS_IN_WEEK
from inventory.models import Supplier
from inventory.services import replan
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Firm
from projects.services.acts import business_act

MOST_MINOR = 10**13
MOST_TRUCK_KG = 100_000


class BadTerms(Refused):
    """A figure out of reason, or weekdays on which nobody works."""

    code = "bad_supplier_terms"


@dataclass(frozen=True, kw_only=True)
class SupplierTermsAct:
    """Terms as they shall be: money in minor units; weekdays from 0 (Monday) to 6, none: every working day.

    `trip_minor` is what each truck costs beside the prices, `truck_kg` what it takes, None without a limit.
    """

    supplier_id: int
    trip_minor: int = 0
    truck_kg: int | None = None
    least_order_minor: int = 0
    order_days: tuple[int, ...] = ()
    delivery_days: tuple[int, ...] = ()


@business_act(result=Supplier)
def set_terms(*, actor: Actor, act: SupplierTermsAct, key: str, now: datetime) -> Supplier:
    """Set on which terms a supplier delivers, and ask for a new plan.

    Refused when a figure is out of its bounds, or all its weekdays are the firm's days off.
    """
    del key
    actor.require(Permission.EDIT_SUPPLIERS)
    supplier = scope.get(Supplier.objects.select_for_update(), actor, pk=act.supplier_id)
    _require(act.trip_minor, field="trip_minor", least=0, most=MOST_MINOR)
    _require(act.least_order_minor, field="least_order_minor", least=0, most=MOST_MINOR)
    _require(act.truck_kg, field="truck_kg", least=1, most=MOST_TRUCK_KG)
    day_off = Firm.objects.values_list("day_off", flat=True).get(pk=actor.firm_id)
    supplier.trip_minor, supplier.truck_kg = act.trip_minor, act.truck_kg
    supplier.least_order_minor = act.least_order_minor
    supplier.order_days = _weekdays(act.order_days, field="order_days", day_off=day_off)
    supplier.delivery_days = _weekdays(act.delivery_days, field="delivery_days", day_off=day_off)
    supplier.save(
        update_fields=["trip_minor", "truck_kg", "least_order_minor", "order_days", "delivery_days"]
    )
    replan.soon(actor.firm_id, now=now)
    return supplier


def _require(value: int | None, *, field: str, least: int, most: int) -> None:
    if value is not None and not least <= value <= most:
        message = _("%(value)s must lie between %(least)s and %(most)s. Correct it.")
        params = {"value": value, "least": least, "most": most}
        raise BadTerms(message % params, field=field, **params)


def _weekdays(days: tuple[int, ...], *, field: str, day_off: int) -> list[int]:
    for day in days:
        _require(day, field=field, least=0, most=DAYS_IN_WEEK - 1)
    if set(days) == {day_off}:
        message = _("These are only days on which the firm does not work. Add another, or choose none.")
        raise BadTerms(message, field=field)
    return sorted(set(days))
