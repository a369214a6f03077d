"""An actor: a person in a firm, the sites they may see and the acts they may do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext as _

from projects.access.permissions import Permission
from projects.access.roles import ALL_SITES, PERMISSIONS
from projects.errors import NotAllowed
from projects.models import Firm, Membership, Role

if TYPE_CHECKING:
    from projects.models import Person


@dataclass(frozen=True)
class Actor:
    """Who acts: built once per request or job and passed to every query and service.

    `site_ids` is None when the actor sees every site of the firm. `device` is what the request came from, for
    the record of acts alone.
    """

    person_id: int | None
    name: str
    firm_id: int
    firm_name: str
    currency: str
    locale: str
    time_zone: str
    profile: str
    roles: frozenset[Role]
    permissions: frozenset[Permission]
    site_ids: frozenset[int] | None
    device: str = ""

    def can(self, permission: Permission) -> bool:
        """Say whether the actor's roles hold this permission."""
        return permission in self.permissions

    def require(self, permission: Permission) -> None:
        """Refuse with NotAllowed when the actor's roles do not hold this permission."""
        if not self.can(permission):
            message = _("Your role does not allow this. Ask the office or the owner of the firm.")
            raise NotAllowed(message, permission=permission.value)


def for_person(person: Person) -> Actor | None:
    """Build the actor of a signed-in person; None when they belong to no firm."""
    memberships = list(
        Membership.objects.filter(person=person, ended_at=None)
        .select_related("firm")
        .prefetch_related("sites")
        .order_by("firm_id", "id")
    )
    if not memberships:
        return None
    firm = memberships[0].firm
    own = [m for m in memberships if m.firm_id == firm.id]
    roles = frozenset(Role(m.role) for m in own)
    permissions = frozenset[Permission]().union(*(PERMISSIONS[role] for role in roles))
    if firm.site_sees_money:
        permissions |= {Permission.SEE_MONEY}
    sites = None if roles & ALL_SITES else frozenset(s.id for m in own for s in m.sites.all())
    return Actor(
        person_id=person.pk,
        name=person.name,
        firm_id=firm.id,
        firm_name=firm.name,
        currency=firm.currency,
        locale=firm.locale,
        time_zone=firm.time_zone,
        profile=firm.profile,
        roles=roles,
        permissions=permissions,
        site_ids=sites,
    )


def for_jobs(firm_id: int) -> Actor:
    """Build the actor of a firm's background jobs: sees the whole firm, signs as 'Pourtally'."""
    firm = Firm.objects.get(pk=firm_id)
    return Actor(
        person_id=None,
        name="Pourtally",
        firm_id=firm.id,
        firm_name=firm.name,
        currency=firm.currency,
        locale=firm.locale,
        time_zone=firm.time_zone,
        profile=firm.profile,
        roles=frozenset({Role.OFFICE}),
        permissions=PERMISSIONS[Role.OFFICE],
        site_ids=None,
    )
