"""Dated rates: what a material costs on site from a day on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from estimates.models import Material, Rate
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.services.acts import business_act

LARGEST = 10**15
"""1/10,000 minor units in the dearest rate: 1,000 million of the currency for one unit."""


class BadRate(Refused):
    """A rate out of its bounds or in a unit that does not fit the material."""

    code = "bad_rate"


class RateDateTaken(Refused):
    """The material has a rate from this day on already; a rate is a fact and is not overwritten."""

    code = "rate_date_taken"
    status = 409


@dataclass(frozen=True)
class RateAct:
    """A rate in 1/10,000 of the minor unit, per shown unit ("unit") or per kilogram ("kg")."""

    material_id: int
    from_date: date
    basic: int
    per: str = Rate.Per.SHOWN.value
    freight: int = 0
    loading: int = 0
    tax: int = 0
    source: str = ""


@business_act(result=Rate)
def set_rate(*, actor: Actor, act: RateAct, key: str, now: datetime) -> Rate:
    """Set a material's rate from a day on; bills issued earlier keep theirs.

    Refused when a part is negative or beyond reason, when the unit does not fit, or when the day is taken.
    """
    del key
    actor.require(Permission.SET_RATES)
    material = scope.get(Material.objects.select_for_update(), actor, pk=act.material_id)
    _check_parts(act)
    _check_unit(act, material=material)
    if material.rates.filter(from_date=act.from_date).exists():
        message = _(
            "%(material)s has a rate from %(day)s already. Choose the day from which the new one holds."
        )
        params = {"material": material.name, "day": act.from_date.isoformat()}
        raise RateDateTaken(message % params, field="from_date")
    return Rate.objects.create(
        material=material,
        from_date=act.from_date,
        per=act.per,
        basic=act.basic,
        freight=act.freight,
        loading=act.loading,
        tax=act.tax,
        source=act.source,
        set_by_id=actor.person_id,
        set_at=now,
    )


def _check_parts(act: RateAct) -> None:
    for field in ("basic", "freight", "loading", "tax"):
        part: int = getattr(act, field)
        if not 0 <= part <= LARGEST:
            message = _("%(field)s %(part)s must be from 0 to %(most)s. Correct the figure.")
            raise BadRate(message % {"field": field, "part": part, "most": LARGEST}, field=field)


def _check_unit(act: RateAct, *, material: Material) -> None:
    if act.per not in Rate.Per.values:
        message = _("Unit “%(per)s” must be one of %(known)s. Choose one.")
        raise BadRate(message % {"per": act.per, "known": ", ".join(Rate.Per.values)}, field="per")
    if act.per == Rate.Per.KILOGRAM and material.nominal_mg_per_mm is None and material.stock_unit != "g":
        message = _("%(material)s is not sold by mass. Give its price per %(unit)s.")
        raise BadRate(message % {"material": material.name, "unit": material.show_unit}, field="per")
