"""What a firm has at stake when it plans: set once, changed when it changes."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from inventory.models import PlanTerms
from inventory.services import replan
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.services.acts import business_act

MOST_MINOR = 10**13
MOST_PERMILLE = 1_000
MOST_VAN_KG = 100_000


class BadTerms(Refused):
    """A figure out of reason."""

    code = "bad_terms"


@dataclass(frozen=True, kw_only=True)
class TermsAct:
    """The firm's terms: money in minor units, shares in thousandths of a price; None: none, or no limit."""

    stop_cost_minor: int = 0
    keep_permille: int = 0
    rest_permille: int = 0
    week_budget_minor: int | None = None
    freight_minor: int | None = None
    van_kg: int | None = None


@business_act(result=PlanTerms)
def set_terms(*, actor: Actor, act: TermsAct, key: str, now: datetime) -> PlanTerms:
    """Set what the plan weighs, and ask for a new plan. Refused when a figure is out of its bounds."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    for name in ("stop_cost_minor", "week_budget_minor", "freight_minor"):
        _require(getattr(act, name), field=name, least=0, most=MOST_MINOR)
    for name in ("keep_permille", "rest_permille"):
        _require(getattr(act, name), field=name, least=0, most=MOST_PERMILLE)
    _require(act.van_kg, field="van_kg", least=1, most=MOST_VAN_KG)
    row, _made = PlanTerms.objects.update_or_create(firm_id=actor.firm_id, defaults=asdict(act))
    replan.soon(actor.firm_id, now=now)
    return row


def _require(value: int | None, *, field: str, least: int, most: int) -> None:
    if value is not None and not least <= value <= most:
        message = _("%(value)s must lie between %(least)s and %(most)s. Correct it.")
        params = {"value": value, "least": least, "most": most}
        raise BadTerms(message % params, field=field, **params)
