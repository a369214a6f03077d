"""What every page's frame needs: the list of the firm's things, the firm, and the hour of the figures."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from projects.access.actor import Actor
from projects.access.permissions import Permission

OFFICE_AND_OWNER = (Permission.PLAN_ORDERS, Permission.APPROVE_ORDERS)

# Label, url name, and the permissions of which one suffices to see the entry (none: everybody in the firm).
ENTRIES = (
    (_("Today"), "inventory:today", ()),
    (_("Slabs"), "estimates:slabs", ()),
    (_("Plan"), "inventory:plan", OFFICE_AND_OWNER),
    (_("Orders"), "inventory:orders", (*OFFICE_AND_OWNER, Permission.RECORD_RECEIPTS)),
    (_("Stores"), "inventory:stores", ()),
    (_("Suppliers"), "inventory:suppliers", OFFICE_AND_OWNER),
    (_("Supplier bills"), "inventory:supplier_bills", (Permission.SEE_MONEY,)),
    (_("Spend"), "inventory:spend", (Permission.SEE_MONEY,)),
    (_("Acts"), "projects:audit", (Permission.SEE_AUDIT,)),
)


def frame(request: HttpRequest) -> dict[str, Any]:
    """Give base.html its `nav` and `frame`; both are bare for somebody who has not signed in."""
    actor: Actor | None = getattr(request, "actor", None)
    common = {"as_of": timezone.now()}
    if actor is None:
        return {"nav": [], "frame": common}
    return {
        "nav": _entries(request, actor=actor),
        "frame": common
        | {
            "firm": actor.firm_name,
            "person": actor.name,
            "person_id": actor.person_id,
            "keeps_forms": _keeps_forms(actor),
            "phone": _phone(),
            "locale": actor.locale,
            "currency": actor.currency,
            "money": actor.can(Permission.SEE_MONEY),
        },
    }


def _phone() -> dict[str, str]:
    """Where a phone finds what it keeps and who is signed in, and the worker that keeps it."""
    return {
        "home": reverse("inventory:phone"),
        "state": reverse("inventory:phone_state"),
        "worker": reverse("projects:worker"),
    }


def _entries(request: HttpRequest, *, actor: Actor) -> list[dict[str, Any]]:
    entries = []
    for label, name, needed in ENTRIES:
        if needed and not any(actor.can(permission) for permission in needed):
            continue
        url = reverse(name)
        entries.append({"url": url, "label": label, "current": _is_current(request.path, url=url)})
    if _keeps_forms(actor):
        url = reverse("inventory:phone")
        entries.append({"url": url, "label": _("On this phone"), "current": request.path == url})
    return entries


def _keeps_forms(actor: Actor) -> bool:
    """Whether somebody works on sites, where there may be no network: their browser keeps the forms."""
    return actor.site_ids is not None and actor.can(Permission.MOVE_STOCK)


def _is_current(path: str, *, url: str) -> bool:
    if url == "/":
        return path == url
    return path.startswith(url)
