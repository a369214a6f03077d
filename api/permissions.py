"""Who is let in over REST. What a person may do is settled by the services, not here."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from rest_framework.permissions import BasePermission
from rest_framework.request import Request

from api.refusals import NoFirm
from projects.access.actor import Actor


def actor_of(request: Request) -> Actor | None:
    """Return the actor that the middleware attached; None for a stranger."""
    found: Actor | None = getattr(request, "actor", None)
    return found


class SignedIn(BasePermission):
    """Somebody signed in who belongs to a firm."""

    def has_permission(self, request: Request, view: Any) -> bool:
        """Let members of a firm in; refuse with `no_firm` who is signed in and belongs to none."""
        del view
        if not request.user.is_authenticated:
            return False
        if actor_of(request) is None:
            raise NoFirm(_("You belong to no firm yet. Ask the office of your firm to admit you."))
        return True
