"""Materials, rates, designs and bills, made through the services."""

from __future__ import annotations

import copy
from datetime import date
from typing import Any

from estimates.models import Bill, Design, Material
from estimates.services import bills, designs, materials, rates
from estimates.services.bills import BillAct
from estimates.services.designs import DesignAct
from estimates.services.materials import AdoptionAct
from estimates.services.rates import RateAct
from projects.access.actor import Actor
from projects.models import Pour, Site, Slab
from projects.services import pours, slabs
from projects.services.pours import PourAct
from projects.services.slabs import SlabAct
from tests.factories.cast import NOW, TODAY

RATES_FROM = date(2026, 4, 1)

# Rupees per shown unit (steel per kilogram), times 100 paise, times 10,000: invented, round figures.
RUPEES = {
    "hire-prop": ("unit", 2),
    "cement": ("unit", 8),
    "sand": ("unit", 1_800),
    "stone-20": ("unit", 1_500),
    "stone-10": ("unit", 1_400),
    "water": ("unit", 0),
    "waterproofer": ("unit", 160),
    "plasticiser": ("unit", 120),
    "binding-wire": ("unit", 75),
    "curing-water": ("unit", 0),
    "curing-cover": ("unit", 30),
    "formwork": ("unit", 350),
}
STEEL_RUPEES_PER_KG = 62

# A slab of 4 × 3 m, 125 mm thick, on one beam of 230 × 425 over all along its south edge.
SHEET: dict[str, Any] = {
    "schema": "pourtally-design/1",
    "drawing": {"number": "MY-S-01", "revision": "A", "dated": "2026-04-02", "engineer": "R. Almqvist"},
    "slab": "Porch roof",
    "profile": "is",
    "outline": [[0, 0], [4000, 0], [4000, 3000], [0, 3000]],
    "thickness_mm": 125,
    "cover_mm": 20,
    "beam_cover_mm": 25,
    "grade": "M20",
    "steel_grade": "Fe500",
    "exposure": "mild",
    "mix": {
        "kind": "nominal_volume",
        "parts": [1, 1.5, 3],
        "water_cement": 0.5,
        "stone_split": {"20": 60, "10": 40},
    },
    "beams": [{"name": "B1", "width_mm": 230, "depth_mm": 425, "start": [0, 115], "end": [4000, 115]}],
    "bars": [
        {
            "mark": "S1",
            "member": "slab",
            "size_mm": 10,
            "shape": "straight",
            "dimensions": {"A": 2960},
            "per_member": 27,
        },
        {
            "mark": "B1-1",
            "member": "beam B1",
            "size_mm": 16,
            "shape": "u",
            "dimensions": {"A": 300, "B": 3950, "C": 300},
            "per_member": 3,
        },
    ],
    "curing": {"cement": "opc", "method": "wet_cover"},
}


def sheet(**changes: Any) -> dict[str, Any]:
    """Return the porch roof's sheet with some fields changed."""
    return copy.deepcopy(SHEET) | changes


def with_materials(by: Actor) -> dict[str, Material]:
    """Give the firm the standard materials; by code."""
    materials.adopt(actor=by, act=AdoptionAct(), key=f"materials-{by.firm_id}", now=NOW)
    return {row.code: row for row in Material.objects.filter(firm=by.firm_id)}


def with_rates(by: Actor) -> dict[str, Material]:
    """Give the firm materials and a rate for each; by code."""
    kept = with_materials(by)
    for code, material in kept.items():
        per, rupees = RUPEES.get(code, ("kg", STEEL_RUPEES_PER_KG))
        act = RateAct(material_id=material.pk, from_date=RATES_FROM, basic=rupees * 1_000_000, per=per)
        rates.set_rate(actor=by, act=act, key=f"rate-{by.firm_id}-{code}", now=NOW)
    return kept


def slab(by: Actor, *, site: Site, name: str = "Porch roof") -> Slab:
    """Add a slab."""
    return slabs.add(actor=by, act=SlabAct(site_id=site.pk, name=name), key=f"slab-{site.pk}-{name}", now=NOW)


def design(by: Actor, *, on: Slab, **changes: Any) -> Design:
    """Save a design of a slab: the porch roof, changed where named."""
    act = DesignAct(slab_id=on.pk, sheet=sheet(**changes))
    count = Design.objects.filter(slab=on).count()
    return designs.save(actor=by, act=act, key=f"design-{on.pk}-{count}", now=NOW)


def bill(by: Actor, *, of: Design, as_of: date = TODAY, reason: str = "") -> Bill:
    """Issue the bill of a design."""
    act = BillAct(design_id=of.pk, as_of=as_of, reason=reason)
    return bills.issue(actor=by, act=act, key=f"bill-{of.pk}", now=NOW)


def billed_slab(by: Actor, *, site: Site, name: str = "Porch roof") -> Bill:
    """Add a slab with its design and issue the bill; the firm needs its rates first."""
    return bill(by, of=design(by, on=slab(by, site=site, name=name)))


def pour(by: Actor, *, on: Slab, day: date, name: str = "whole slab", share_ppm: int = 1_000_000) -> Pour:
    """Plan a pour."""
    act = PourAct(slab_id=on.pk, name=name, pour_date=day, share_ppm=share_ppm)
    return pours.plan(actor=by, act=act, key=f"pour-{on.pk}-{name}", now=NOW)
