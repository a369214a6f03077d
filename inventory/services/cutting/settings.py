"""How the firm cuts its bars: its own figures, else those of the standards profile."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from estimates.queries import standards
from inventory.models import CuttingSettings
from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.services.acts import business_act

MOST_BLADE_MM = 20
MOST_OFFCUT_MM = 12_000
MOST_PATTERNS = 200
MOST_SECONDS = 120
MOST_DAYS = 3_650


class BadSetting(Refused):
    """A setting out of its bounds."""

    code = "bad_setting"


@dataclass(frozen=True)
class Cutting:
    """The figures of a plan: mm, number of patterns (0: as many as it takes), seconds, days."""

    blade_mm: int
    shortest_offcut_mm: int
    most_patterns: int
    seconds: int
    offered_after_days: int


@dataclass(frozen=True)
class SettingsAct:
    """The firm's own figures; one that is left out is the profile's."""

    blade_mm: int | None = None
    shortest_offcut_mm: int | None = None
    most_patterns: int | None = None
    seconds: int | None = None
    offered_after_days: int | None = None


KEYS = {
    "blade_mm": "cutting.blade",
    "shortest_offcut_mm": "cutting.shortest_offcut",
    "most_patterns": "cutting.most_patterns",
    "seconds": "cutting.seconds",
    "offered_after_days": "cutting.offered_after",
}
"""Where the standards data keep each figure."""

BOUNDS = {
    "blade_mm": (0, MOST_BLADE_MM),
    "shortest_offcut_mm": (1, MOST_OFFCUT_MM),
    "most_patterns": (0, MOST_PATTERNS),
    "seconds": (1, MOST_SECONDS),
    "offered_after_days": (0, MOST_DAYS),
}


@business_act(result=CuttingSettings)
def change(*, actor: Actor, act: SettingsAct, key: str, now: datetime) -> CuttingSettings:
    """Set the firm's figures; refused with `bad_setting` when one is out of its bounds."""
    del key, now
    actor.require(Permission.PLAN_ORDERS)
    require_bounds(act)
    row, _made = CuttingSettings.objects.update_or_create(firm_id=actor.firm_id, defaults=asdict(act))
    return row


def of_firm(actor: Actor, *, change: SettingsAct | None = None) -> Cutting:
    """Return what holds for a plan of the firm, with what the plan itself wants otherwise."""
    profile = standards.of_firm(actor, profile_id=actor.profile)
    row = scope.visible(CuttingSettings.objects.all(), actor).first()
    found = {}
    for name, key in KEYS.items():
        wishes = (getattr(change, name, None), getattr(row, name, None))
        wish = next((value for value in wishes if value is not None), None)
        found[name] = round(profile.number(key)) if wish is None else wish
    return Cutting(**found)


def habit(actor: Actor) -> dict[str, float]:
    """Return how bars are bought without a plan, by the profile: usual length [mm], allowance [%]."""
    profile = standards.of_firm(actor, profile_id=actor.profile)
    names = {"length_mm": "steel.stock_length", "percent": "allowance.steel"}
    return {name: profile.number(key) for name, key in names.items() if key in profile.values}


def require_bounds(act: SettingsAct) -> None:
    """Refuse with `bad_setting` a figure out of its bounds."""
    for name, value in asdict(act).items():
        least, most = BOUNDS[name]
        if value is not None and not least <= value <= most:
            message = _("%(value)s must lie between %(least)s and %(most)s.")
            params = {"value": value, "least": least, "most": most}
            raise BadSetting(message % params, field=name, **params)
