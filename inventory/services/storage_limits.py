"""How much a store takes: set by floor and height of the stacks, or as a figure."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

from django.utils.translation import gettext as _

from estimates.models import Material
from estimates.queries import standards
from inventory.calc import storage
from inventory.models import StorageLimit
from inventory.services import measures, texts
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Site
from projects.services.acts import business_act

CM2_PER_M2 = 10_000


class BadLimit(Refused):
    """A limit that is no figure, two figures at once, or stacks higher than they may be."""

    code = "bad_limit"


@dataclass(frozen=True)
class LimitAct:
    """What the store of a site takes of a material.

    Either a `capacity` in the unit shown, with the `source` of the figure; or, of what comes in bags, the dry
    floor and how high the bags are stacked on it.
    """

    site_id: int
    material_id: int
    capacity: Decimal | None = None
    floor_m2: Decimal | None = None
    bags_high: int | None = None
    source: str = ""


@business_act(result=StorageLimit)
def set_limit(*, actor: Actor, act: LimitAct, key: str, now: datetime) -> StorageLimit:
    """Set what a store takes of a material; it warns of orders beyond it, and refuses nothing.

    Refused with `bad_limit` when it is no figure, or stacks are higher than the firm's figure allows.
    """
    del key
    actor.require(Permission.PLAN_ORDERS)
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    material = scope.get(Material.objects.all(), actor, pk=act.material_id)
    measures.require_stocked(material)
    capacity, source = _by_floor(act, material=material, actor=actor) or _by_figure(act, material=material)
    row, _made = StorageLimit.objects.update_or_create(
        site=site,
        material=material,
        defaults={
            "capacity": capacity,
            "floor_cm2": None if act.floor_m2 is None else round(act.floor_m2 * CM2_PER_M2),
            "bags_high": act.bags_high,
            "source": source,
            "set_at": now,
            "set_by_id": actor.person_id,
        },
    )
    return row


def _by_floor(act: LimitAct, *, material: Material, actor: Actor) -> tuple[int, str] | None:
    if act.floor_m2 is None and act.bags_high is None:
        return None
    if act.floor_m2 is None or act.bags_high is None or act.capacity is not None:
        message = _("Give the floor and the height of the stacks, or the capacity alone.")
        raise BadLimit(message, field="floor_m2")
    if material.stock_unit != "g":
        message = _("%(material)s does not come in bags. Give its capacity as a figure.")
        raise BadLimit(message % {"material": material.name}, field="capacity")
    profile = standards.of_firm(actor, profile_id=actor.profile)
    floor = measures.thousandths(act.floor_m2, field="floor_m2")
    try:
        kilograms = storage.bagged_kg(Fraction(floor, 1_000), high=act.bags_high, profile=profile)
    except ValueError as fault:
        message = _("This cannot be stacked: %(fault)s. Correct it.")
        field = "floor_m2" if floor == 0 else "bags_high"
        raise BadLimit(message % {"fault": fault}, field=field) from fault
    if kilograms <= 0:
        raise BadLimit(_("This floor takes nothing. Correct it."), field="floor_m2")
    source = _("%(floor)s m², %(high)s bags high, %(source)s") % {
        "floor": f"{act.floor_m2.normalize():f}",
        "high": act.bags_high,
        "source": profile.value("storage.bags.layer").citation[:120],
    }
    return kilograms * 1_000, source


def _by_figure(act: LimitAct, *, material: Material) -> tuple[int, str]:
    if act.capacity is None:
        message = _("Say how much the store takes: a capacity, or floor and height of the stacks.")
        raise BadLimit(message, field="capacity")
    source = texts.fitting(act.source, most=200, field="source")
    if not source:
        raise BadLimit(_("Say where the figure comes from, as “measured, 12 × 4 m”."), field="source")
    measure = measures.measure(material, pack=None)
    return measures.stock_of(act.capacity, measure=measure, field="capacity"), source
