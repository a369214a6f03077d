"""The firm's holidays: days that are not worked, so that what is needed after them is ordered before them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Firm, Holiday
from projects.services import outbox
from projects.services.acts import business_act

MOST_NAME = 80
MOST_IN_YEAR = 120
"""Holidays of one year; beyond them a weekly day off was meant."""


class BadHoliday(Refused):
    """A holiday without a name, or one too many in its year."""

    code = "bad_holiday"


@dataclass(frozen=True)
class HolidayAct:
    """A day that is not worked, and what it is called."""

    day: date
    name: str


@dataclass(frozen=True)
class WorkAct:
    """A holiday that is worked after all."""

    holiday_id: int


@business_act(result=Holiday)
def put(*, actor: Actor, act: HolidayAct, key: str, now: datetime) -> Holiday:
    """Add a holiday, or name one anew; needs and plan are worked out again. Refused without a name."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    name = act.name.strip()
    if not 0 < len(name) <= MOST_NAME:
        message = _("Give the day a name of up to %(most)s characters.")
        raise BadHoliday(message % {"most": MOST_NAME}, field="name")
    Firm.objects.select_for_update(no_key=True).get(pk=actor.firm_id)
    rows = Holiday.objects.filter(day__year=act.day.year, worked=False)
    others = scope.visible(rows, actor).exclude(day=act.day)
    if others.count() >= MOST_IN_YEAR:
        message = _("%(year)s has %(most)s holidays already. Take one out first.")
        raise BadHoliday(message % {"year": act.day.year, "most": MOST_IN_YEAR}, field="day")
    row, _made = Holiday.objects.update_or_create(
        firm_id=actor.firm_id, day=act.day, defaults={"name": name, "worked": False}
    )
    _plan_again(actor, now=now)
    return row


@business_act(result=Holiday)
def work(*, actor: Actor, act: WorkAct, key: str, now: datetime) -> Holiday:
    """Take a holiday out: the day is worked; needs and plan are worked out again."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    row = scope.get(Holiday.objects.select_for_update(), actor, pk=act.holiday_id)
    row.worked = True
    row.save(update_fields=["worked"])
    _plan_again(actor, now=now)
    return row


def _plan_again(actor: Actor, *, now: datetime) -> None:
    outbox.ask_soon(firm_id=actor.firm_id, job="estimates.requirements", now=now)
    outbox.ask_soon(firm_id=actor.firm_id, job="inventory.plan", now=now)
