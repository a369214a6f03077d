"""Slabs: the pieces of work that have a budget."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _

from projects.access import scope
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.models import Pour, Site, Slab
from projects.services.acts import business_act
from projects.services.pours import WrongState
from projects.services.sites import NameTaken


@dataclass(frozen=True)
class SlabAct:
    """A new slab of a site."""

    site_id: int
    name: str


@dataclass(frozen=True)
class SlabClosingAct:
    """The end of a slab's work and account."""

    slab_id: int


@business_act(result=Slab)
def add(*, actor: Actor, act: SlabAct, key: str, now: datetime) -> Slab:
    """Add a slab to a site; refused when the site has one of this name."""
    del key
    actor.require(Permission.EDIT_DESIGNS)
    site = scope.get(Site.objects.all(), actor, pk=act.site_id)
    if Slab.objects.filter(site=site, name=act.name).exists():
        raise NameTaken(
            _("This site has a slab called “%s” already. Choose another name.") % act.name, field="name"
        )
    return Slab.objects.create(site=site, name=act.name, created_at=now)


@business_act(result=Slab)
def finish(*, actor: Actor, act: SlabClosingAct, key: str, now: datetime) -> Slab:
    """Close a slab's account; refused while a pour is planned or not yet closed."""
    del key
    actor.require(Permission.EDIT_DESIGNS)
    slab = scope.get(Slab.objects.select_for_update(), actor, pk=act.slab_id)
    if slab.closed_at is not None:
        raise WrongState(_("This slab is finished already."))
    if slab.pours.exclude(state=Pour.State.CLOSED).exists() or not slab.pours.exists():
        raise WrongState(_("A pour of this slab is still open. Close every pour first."))
    slab.closed_at = now
    slab.save(update_fields=["closed_at"])
    return slab
