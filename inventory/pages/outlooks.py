"""How planned pours look, in words: on the plan's page, and each on a page of its own."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import showing, stores
from inventory.queries import outlooks as rows
from projects.access.permissions import Permission
from projects.pages import doors

FEW_PPM = 10_000
MANY_PPM = 50_000
"""Chances from which a pour is marked as worth a look, and as a warning: one in a hundred, one in twenty."""


@doors.signed_in
@require_safe
def one(request: HttpRequest, pour_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = rows.one(actor, pour_id)
    pour = found.pour
    context = {
        "pour": pour,
        "look": look(found, locale=actor.locale) if found.outlook else None,
        "money": actor.can(Permission.SEE_MONEY),
        "may_decide": actor.can(Permission.PLAN_ORDERS),
        "crumbs": stores.crumbs(pour.slab.site),
        "title_block": {
            "site": pour.slab.site.name,
            "slab": pour.slab.name,
            "as_of": found.outlook.run.finished_at if found.outlook else None,
        },
    }
    return render(request, "inventory/outlook.html", context)


def look(found: Any, *, locale: str) -> dict[str, Any]:
    """Put what is known of a pour into the words that its row and its page show."""
    row = found.outlook
    parts = [_part(part, locale=locale) for part in row.parts]
    return {
        "pour": found.pour,
        "known": row.short_ppm is not None,
        "kind": _kind(row.short_ppm),
        "short": _words(row.short_ppm, locale=locale),
        "least": showing.chance(row.least_ppm, locale=locale),
        "most": showing.chance(row.most_ppm, locale=locale),
        "between": row.least_ppm < row.most_ppm,
        "idle": _words(row.idle_short_ppm, locale=locale),
        "worst": parts[0] if row.worst is not None else None,
        "parts": parts,
        "remedy": next(iter(parts[0]["remedies"]), None) if row.worst is not None else None,
    }


def behind_words(rows_behind: list[dict[str, Any]]) -> list[str]:
    """Say which deliveries a chance rests on; under five of a supplier, the firm's that stand in."""
    return [
        _("%(seen)s deliveries of %(supplier)s") % one
        if one["known"]
        else _("%(supplier)s: not known, %(seen)s seen; the firm's %(pooled)s deliveries stand in") % one
        for one in rows_behind
    ]


def _part(part: dict[str, Any], *, locale: str) -> dict[str, Any]:
    return {
        "material": part["material"],
        "kind": _kind(part["short_ppm"]),
        "short": _words(part["short_ppm"], locale=locale),
        "idle": _words(part["idle_short_ppm"], locale=locale),
        "behind": behind_words(part["behind"]),
        "remedies": [one | {"date": date.fromisoformat(one["last_day"])} for one in part["remedies"]],
    }


def _words(ppm: int | None, *, locale: str) -> str:
    return _("not known") if ppm is None else showing.chance(ppm, locale=locale)


def _kind(ppm: int | None) -> str:
    if ppm is None:
        return "none"
    if ppm < FEW_PPM:
        return "enough"
    return "warning" if ppm >= MANY_PPM else "none"
