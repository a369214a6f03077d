"""How much may be ordered without the owner, and bought for cash on a site."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Firm
from projects.services.acts import business_act

MOST = 10**15


class BadLimit(Refused):
    """A limit below nothing or beyond any order."""

    code = "bad_limit"


@dataclass(frozen=True)
class LimitsAct:
    """Minor units: orders above the first wait for the owner (0: none does); a site's cash of a day."""

    approval_limit_minor: int
    cash_limit_minor: int


@business_act(result=Firm)
def set_limits(*, actor: Actor, act: LimitsAct, key: str, now: datetime) -> Firm:
    """Set the firm's limits; the owner alone does, and what was approved before stays approved."""
    del key, now
    actor.require(Permission.APPROVE_LARGE_ORDERS)
    firm = Firm.objects.select_for_update(no_key=True).get(pk=actor.firm_id)
    for field in ("approval_limit_minor", "cash_limit_minor"):
        if not 0 <= getattr(act, field) <= MOST:
            raise BadLimit(_("A limit lies between 0 and %(most)s.") % {"most": MOST}, field=field)
        setattr(firm, field, getattr(act, field))
    firm.save(update_fields=["approval_limit_minor", "cash_limit_minor"])
    return firm
