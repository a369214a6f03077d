"""Mixes as pages show them: a design's mix under every method, and a proportioning."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from estimates.calc import allowances, concrete, packs, units
from estimates.calc.concrete import Beside
from estimates.calc.derivation import Input, Quantity
from estimates.calc.geometry import slab
from estimates.calc.mix import constituents, methods, yields
from estimates.calc.proportioning import aci_211, is_10262
from estimates.calc.proportioning.steps import Proportions
from estimates.calc.reading.reader import DesignSheet, NominalVolumeMix
from estimates.calc.sheet.mix import AnyMix, DesignedMix, NominalMassMix
from estimates.calc.works import supply
from estimates.models import Design
from estimates.queries import designs, standards
from estimates.standards.values import Profile
from projects.access.actor import Actor

SMALLEST_CARRIED = 0.005


@dataclass(frozen=True, kw_only=True)
class Gauged:
    """A design with what its mix page needs to know of it."""

    design: Design
    sheet: DesignSheet
    profile: Profile
    concrete_m3: float
    bag_kg: float


@dataclass(frozen=True, kw_only=True)
class Way:
    """One cubic metre under one named method; `implied` is what it makes by absolute volumes [m³]."""

    name: str
    chosen: bool
    lines: Mapping[str, Quantity]
    implied: Quantity | None


@dataclass(frozen=True, kw_only=True)
class ReadyMixed:
    """The concrete of a design as ready-mixed: what is ordered, in how many loads, and what is over."""

    net_m3: float
    loss: Input
    order: packs.Order
    pack: packs.PackSize
    loads: Quantity


def gauged(actor: Actor, *, design_id: int) -> Gauged:
    """Return a visible design with its profile, concrete and bag; else NotFound."""
    design = designs.one(actor, design_id=design_id)
    sheet = designs.sheet_of(design)
    profile = standards.of_firm(actor, profile_id=sheet.profile)
    return Gauged(
        design=design,
        sheet=sheet,
        profile=profile,
        concrete_m3=_net_m3(sheet, profile=profile),
        bag_kg=packs.defaults(profile)["cement"].content,
    )


def ways(found: Gauged) -> tuple[Way, ...]:
    """Return one cubic metre of a design's mix under its own method, then under each other of its profile."""
    sheet, profile = found.sheet, found.profile
    return tuple(_way(name, mix=mix, sheet=sheet, profile=profile) for name, mix in _mixes(sheet, profile))


def ready_mixed(found: Gauged) -> ReadyMixed:
    """Return the design's concrete as ready-mixed, with the profile's loss, step and truck."""
    sheet, profile = found.sheet, found.profile
    net = Input(found.concrete_m3, "m³", "geometry of the drawing")
    loss = allowances.percent("ready-mixed", sheet=sheet, profile=profile)
    pack = packs.defaults(profile)["ready-mixed"]
    return ReadyMixed(
        net_m3=net.value,
        loss=loss,
        order=packs.rounded_up(net.value * (1 + loss.value / 100), pack=pack),
        pack=pack,
        loads=supply.loads(net, supply=sheet.supply, loss=loss, profile=profile),
    )


def by_is_10262(actor: Actor, *, asked: is_10262.Asked) -> Proportions:
    """Return a proportioning by IS 10262; ValueError says in words why there is none."""
    return is_10262.work_out(asked, profile=standards.of_firm(actor, profile_id="is"))


def by_aci_211(actor: Actor, *, asked: aci_211.Asked) -> Proportions:
    """Return a proportioning by ACI 211.1; ValueError says in words why there is none."""
    return aci_211.work_out(asked, profile=standards.of_firm(actor, profile_id="aci"))


def as_mix(actor: Actor, *, found: Proportions, stone_mm: int, admixture_sg: float = 1.0) -> dict[str, Any]:
    """Return a proportioning as the designed mix of a sheet, marked as not yet trialled."""
    profile = standards.of_firm(actor, profile_id=actor.profile)
    size = "10" if stone_mm <= 10 else "20"

    def content(name: str) -> float:
        unit = f"{found.mass_unit}/{found.volume_unit}"
        return round(units.convert(found.masses.get(name, 0.0), unit=unit, to="kg/m³"), 1)

    mix: dict[str, Any] = {
        "kind": "designed",
        "cement_kg_m3": content("cement") + content("ash"),
        "water_kg_m3": content("water"),
        "sand_kg_m3": content("sand"),
        "stone_kg_m3": {size: content("stone")},
        "sand_bulk_kg_m3": profile.number("density.sand"),
        "stone_bulk_kg_m3": {size: profile.number(f"density.stone-{size}")},
        "standing": "proportioned_not_trialled",
        "proportioned_by": found.method,
    }
    if content("admixture") > SMALLEST_CARRIED:
        dose = {"dose_kg_m3": content("admixture"), "density_kg_l": admixture_sg}
        mix["admixtures"] = [{"material": "plasticiser", **dose}]
    return mix


def _net_m3(sheet: DesignSheet, *, profile: Profile) -> float:
    beside = Beside(flights=sheet.flights, sunshades=sheet.sunshades)
    return concrete.quantities(slab.of_sheet(sheet), profile=profile, beside=beside)[-1].net


def _mixes(sheet: DesignSheet, profile: Profile) -> list[tuple[str, AnyMix]]:
    mix = sheet.mix
    if isinstance(mix, NominalVolumeMix):
        own = methods.method_name(mix, profile=profile)
        others = [name for name in methods.methods(profile) if name != own]
        return [(name, replace(mix, method=name)) for name in (own, *others)]
    if isinstance(mix, NominalMassMix):
        return [(mix.row or "parts", mix)]
    return [("designed", mix)]


def _way(name: str, *, mix: AnyMix, sheet: DesignSheet, profile: Profile) -> Way:
    one = Input(1.0, "m³", "one cubic metre")
    lines = constituents.quantities(mix, concrete=one, profile=profile)
    implied = None
    if not isinstance(mix, DesignedMix):
        implied = yields.implied(mix, found=lines, profile=profile)
    chosen = not isinstance(sheet.mix, NominalVolumeMix) or name == methods.method_name(
        sheet.mix, profile=profile
    )
    return Way(name=name, chosen=chosen, lines={line.key: line for line in lines}, implied=implied)
