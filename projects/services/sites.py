"""Firms and their sites."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.utils.translation import gettext as _

from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.models import Site
from projects.services.acts import business_act


class NameTaken(Refused):
    """Something of this name exists already."""

    code = "name_taken"
    status = 409


@dataclass(frozen=True)
class SiteAct:
    """A new building site."""

    name: str
    place: str
    opened_date: date


@business_act(result=Site)
def open_site(*, actor: Actor, act: SiteAct, key: str, now: datetime) -> Site:
    """Open a building site with its store; refused when the firm has one of this name."""
    del key, now
    actor.require(Permission.EDIT_SITES)
    if Site.objects.filter(firm_id=actor.firm_id, name=act.name).exists():
        raise NameTaken(
            _("The firm has a site called “%s” already. Choose another name.") % act.name, field="name"
        )
    return Site.objects.create(
        firm_id=actor.firm_id, name=act.name, place=act.place, opened_date=act.opened_date
    )
