"""What works of a site beside its pours use in a week, where the firm knows better than the ledger."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from estimates.models import Material
from inventory.models import OtherUse
from inventory.services import measures, replan
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Site
from projects.services.acts import business_act


@dataclass(frozen=True)
class UseAct:
    """What other works of a site use of a material in a week, in the unit shown; 0 turns it off.

    None gives it back to the mean of the latest weeks.
    """

    site_id: int
    material_id: int
    a_week: Decimal | None = None


@business_act(result=Site)
def set_use(*, actor: Actor, act: UseAct, key: str, now: datetime) -> Site:
    """Set what the plan takes for other works of a site, and ask for a new plan."""
    del key
    actor.require(Permission.PLAN_ORDERS)
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    material = scope.get(Material.objects.all(), actor, pk=act.material_id)
    measures.require_stocked(material)
    rows = OtherUse.objects.filter(site=site, material=material)
    if act.a_week is None:
        rows.delete()
    else:
        thousandths = measures.thousandths(act.a_week, field="a_week")
        measure = measures.measure(material, pack=None)
        OtherUse.objects.update_or_create(
            site=site,
            material=material,
            defaults={
                "a_week": measures.bounded(measure.stock(thousandths), field="a_week"),
                "set_at": now,
                "set_by_id": actor.person_id,
            },
        )
    replan.soon(actor.firm_id, now=now)
    return site
