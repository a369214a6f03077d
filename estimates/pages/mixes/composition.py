"""The mix of a design under every method, its implied yield, and ready-mixed concrete in its place."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from estimates.calc import trade
from estimates.queries import mixes, slabs
from estimates.queries.mixes import Gauged
from projects.access.permissions import Permission
from projects.pages import doors

WHOLE_PPM = 1_000_000


@doors.signed_in
@require_safe
def mix(request: HttpRequest, design_id: int) -> HttpResponse:
    """The mix under every method side by side, its implied yield, and ready-mixed concrete in its place."""
    actor = doors.actor_of(request)
    found = mixes.gauged(actor, design_id=design_id)
    sheet = slabs.one(actor, slab_id=found.design.slab_id)
    ways = [_way(way, bag_kg=found.bag_kg) for way in mixes.ways(found)]
    profile = found.profile.id
    context = {
        "design": found.design,
        "profile": profile,
        "mixed": "" if profile == "aci" else profile,
        "mix": found.sheet.mix,
        "bag_kg": found.bag_kg,
        "ways": ways,
        "yards": [_yard(way) for way in ways] if profile == "aci" else [],
        "ready": mixes.ready_mixed(found),
        "supply": found.sheet.supply,
        "pours": [(pour, f"{found.concrete_m3 * pour.share_ppm / WHOLE_PPM:.1f}") for pour in sheet.pours],
        "may_design": actor.can(Permission.EDIT_DESIGNS),
        "crumbs": _crumbs(found),
        "title_block": _title_block(found),
    }
    return render(request, "estimates/mix.html", context)


def _way(way: mixes.Way, *, bag_kg: float) -> dict[str, Any]:
    net = {key: line.net for key, line in way.lines.items()}
    stones = [value for key, value in net.items() if key.startswith("stone.") and not key.endswith(".mass")]
    return {
        "name": way.name.replace("_", " "),
        "chosen": way.chosen,
        "cement": round(net["cement"], 1),
        "bags": round(net["cement"] / bag_kg, 2),
        "sand": net["sand"],
        "stone": sum(stones),
        "water": round(net["water"], 1),
        "implied": way.implied,
    }


def _yard(way: dict[str, Any]) -> dict[str, Any]:
    """A method's constituents for one cubic yard, in pounds, sacks, cubic feet and gallons."""
    pounds = trade.of_a_yard(way["cement"], unit="kg", to="lb")
    volumes = {name: trade.of_a_yard(way[name], unit="m³", to="ft³") for name in ("sand", "stone")}
    water = trade.of_a_yard(way["water"], unit="L", to="gal")
    return {
        "name": way["name"],
        "cement": round(pounds, 1),
        "sacks": round(pounds / trade.SACK_LB, 2),
        **{name: round(value, 2) for name, value in volumes.items()},
        "water": round(water, 1),
    }


def _crumbs(found: Gauged) -> list[dict[str, Any]]:
    slab = found.design.slab
    return [
        {"url": reverse("estimates:slabs"), "label": _("Slabs")},
        {"url": reverse("estimates:slab", args=[slab.pk]), "label": slab.name},
        {"url": reverse("estimates:design", args=[found.design.pk]), "label": _("Take-off")},
    ]


def _title_block(found: Gauged) -> dict[str, Any]:
    design = found.design
    return {
        "site": design.slab.site.name,
        "slab": design.slab.name,
        "drawing": design.drawing.number,
        "revision": design.drawing.revision,
        "edition": found.profile.edition,
        "document": _("Mix"),
    }
