"""A firm's own figures in the place of standards values: set with a reason, and past bills as they were."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from estimates.models import FirmFigure
from estimates.models.figure import MILLION
from estimates.standards import load, own
from estimates.standards.own import Sense
from estimates.standards.values import StandardsError, Value
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import NotFound, Refused
from projects.models import Firm
from projects.services.acts import business_act

SHORTEST_REASON = 10
"""Characters: a reason says at least on what the figure rests."""

LARGEST = 1e9


class BadFigure(Refused):
    """A figure that is no figure, or a reason that says nothing."""

    code = "bad_figure"


class LimitLoosened(Refused):
    """A limit may only be tightened."""

    code = "limit_loosened"


@dataclass(frozen=True)
class FigureAct:
    """The firm's figure for a value of a profile, in the profile's unit; none: the profile's own again."""

    profile: str
    key: str
    value: float | None
    reason: str


@business_act(result=FirmFigure)
def set_own(*, actor: Actor, act: FigureAct, key: str, now: datetime) -> FirmFigure:
    """Set the firm's own figure for a value; bills issued before stay as they are.

    Refused for a value that the profile does not have, a limit made looser, a figure out of bounds, and
    without a reason.
    """
    del key
    actor.require(Permission.SET_FIGURES)
    Firm.objects.select_for_update(no_key=True).get(pk=actor.firm_id)
    base = _base(act)
    if len(act.reason.strip()) < SHORTEST_REASON:
        message = _("Write in at least %(least)s characters on what the figure rests, and who says so.")
        raise BadFigure(message % {"least": SHORTEST_REASON}, field="reason")
    if act.value is not None:
        _require_figure(act, value=act.value, base=base)
    return FirmFigure.objects.create(
        firm_id=actor.firm_id,
        profile=act.profile,
        key=act.key,
        value_millionths=None if act.value is None else round(act.value * MILLION),
        unit=base.unit,
        replaces_millionths=round(base.value * MILLION),
        reason=act.reason.strip(),
        set_by_id=actor.person_id,
        set_at=now,
    )


def _base(act: FigureAct) -> Value:
    try:
        return load.profile(act.profile).value(act.key)
    except StandardsError:
        message = _("The standards hold no value of this name. Look for it in the list.")
        raise NotFound(message, field="key") from None


def _require_figure(act: FigureAct, *, value: float, base: Value) -> None:
    if not math.isfinite(value) or not 0 <= value <= LARGEST:
        message = _("%(value)s must be a figure from 0 to %(most)s. Correct it.")
        raise BadFigure(message % {"value": value, "most": f"{LARGEST:g}"}, field="value")
    if round(value * MILLION) / MILLION != value:
        message = _("%(value)s is finer than a figure is kept. Give at most six decimals.")
        raise BadFigure(message % {"value": value}, field="value")
    if own.tightens(act.key, value=value, base=base.value):
        return
    params = {"value": f"{value:g}", "base": f"{base.value:g}", "unit": base.unit}
    messages = {
        Sense.LEAST: _(
            "%(value)s is below %(base)s %(unit)s, the least of the standards; it may only be raised."
        ),
        Sense.MOST: _(
            "%(value)s is above %(base)s %(unit)s, the most of the standards; it may only be lowered."
        ),
        Sense.FIXED: _("%(base)s %(unit)s belongs to the name of a class; it cannot be changed."),
    }
    raise LimitLoosened(messages[own.sense(act.key)] % params, field="value", **params)
