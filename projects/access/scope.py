"""The tenancy door: every read of every app passes here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from django.db.models import Model, Q, QuerySet
from django.utils.translation import gettext as _

from projects.errors import NotFound

if TYPE_CHECKING:
    from projects.access.actor import Actor

M = TypeVar("M", bound=Model)


def visible(queryset: QuerySet[M], actor: Actor) -> QuerySet[M]:
    """Keep the rows of the actor's firm and, for a site manager, of the actor's sites.

    A model declares its road to the firm as `FIRM_ROAD` and, where rows belong to a site, its road
    to the site as `SITE_ROAD`; a row between two sites names the second one `OTHER_SITE_ROAD`, and either
    will do. A row whose site is empty belongs to the firm as a whole.
    """
    model: Any = queryset.model
    rows = queryset.filter(**{model.FIRM_ROAD: actor.firm_id})
    site_road = getattr(model, "SITE_ROAD", None)
    if site_road is None or actor.site_ids is None:
        return rows
    allowed = Q(**{f"{site_road}__in": actor.site_ids})
    other_road = getattr(model, "OTHER_SITE_ROAD", None)
    if other_road is not None:
        allowed |= Q(**{f"{other_road}__in": actor.site_ids})
    if getattr(model, "SITE_MAY_BE_EMPTY", False):
        allowed |= Q(**{f"{site_road}__isnull": True})
    return rows.filter(allowed)


def get(queryset: QuerySet[M], actor: Actor, **lookup: Any) -> M:
    """Return the one visible row of the lookup; refuse with NotFound, whoever owns it."""
    row = visible(queryset, actor).filter(**lookup).first()
    if row is None:
        raise NotFound(_("Not found. It may have been removed, or it is not one of yours."))
    return row
