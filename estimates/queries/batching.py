"""The batch card of a design: what goes into the mixer, for the drum and the heaps of the day."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _

from estimates.calc import bill, packs
from estimates.calc.batch import card as cards
from estimates.calc.batch.card import Asked, Card
from estimates.calc.batch.moisture import State
from estimates.models import Design, Material
from estimates.queries import designs, standards, takeoffs
from estimates.queries.unworkable import UNWORKABLE, Unworkable
from estimates.standards.values import Profile
from projects.access import scope
from projects.access.actor import Actor
from projects.errors import Refused


class NoCard(Refused):
    """No batch card can be made of what was asked."""

    code = "no_batch_card"


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What a card is for; what is left out is the design's, the firm's, the profile's, or not known."""

    by_mass: bool = False
    concrete_m3: float | None = None
    bag_kg: float | None = None
    mixer_l: float | None = None
    sand_moisture_percent: float | None = None
    sand_bulking_percent: float | None = None
    stone_moisture_percent: float | None = None


@dataclass(frozen=True, kw_only=True)
class BatchSheet:
    """A card with its design, profile and edition, the bag, and what it was asked for."""

    design: Design
    profile: str
    edition: str
    concrete_m3: float
    bag_kg: float
    wish: Wish
    card: Card


def of_design(actor: Actor, *, design_id: int, wish: Wish) -> BatchSheet:
    """Make the batch card of a visible design; without a volume, for the whole slab.

    Refused with NotFound when it is not the actor's, with NoCard when the drum is too small or a figure does
    not fit, with Unworkable when today's standards data cannot work the design out.
    """
    design = designs.one(actor, design_id=design_id)
    sheet = designs.sheet_of(design)
    profile = standards.of_firm(actor, profile_id=sheet.profile)
    try:
        whole = bill.compute(sheet, profile=profile).concrete_m3
    except ValueError as fault:
        raise Unworkable(UNWORKABLE % {"why": str(fault)}) from None
    volume = whole if wish.concrete_m3 is None else wish.concrete_m3
    bag_kg = wish.bag_kg or _usual_bag_kg(actor, profile=profile)
    asked = Asked(
        concrete_m3=volume,
        batching="mass" if wish.by_mass else "volume",
        bag_kg=bag_kg,
        mixer_l=wish.mixer_l,
        sand=State(
            moisture_percent=wish.sand_moisture_percent,
            bulking_percent=None if wish.by_mass else wish.sand_bulking_percent,
        ),
        stone=State(moisture_percent=wish.stone_moisture_percent),
    )
    try:
        card = cards.make(sheet.mix, asked=asked, profile=profile)
    except ValueError as fault:
        raise NoCard(_("No batch card can be made: %s.") % fault) from None
    return BatchSheet(
        design=design,
        profile=profile.id,
        edition=profile.edition,
        concrete_m3=volume,
        bag_kg=bag_kg,
        wish=wish,
        card=card,
    )


def _usual_bag_kg(actor: Actor, *, profile: Profile) -> float:
    """The bag in which the firm buys cement; the profile's where it keeps none [kg]."""
    kept = scope.visible(Material.objects.filter(code="cement").prefetch_related("packs"), actor).first()
    pack = None if kept is None else takeoffs.usual_pack(kept)
    if kept is None or pack is None:
        return packs.defaults(profile)["cement"].content
    return pack.content / kept.show_factor
