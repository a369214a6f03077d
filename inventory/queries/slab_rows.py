"""A slab, and one material of it: the rows that comparison and spend are made of."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from estimates.models import Bill, Material, Rate
from inventory.calc import money
from inventory.calc.costing import Pool
from inventory.queries.hires import OfSlab
from inventory.queries.slab_sources import NOTHING
from projects.models import Pour, Slab

NOT_HIRED = OfSlab()


@dataclass(frozen=True)
class SlabRow:
    """A slab with the bill that is its budget, None before one is issued.

    `place_id` is the slab as a place of the ledger, None before anything was issued to it.
    """

    slab: Slab
    bill: Bill | None
    finished: bool
    next_pour: date | None
    place_id: int | None
    pours: tuple[Pour, ...] = ()


@dataclass(frozen=True)
class Figures:
    """One material of one slab: stock units and minor units.

    `used` is what was issued less what came back; the part of it that was lost is `wasted` again. `to_use` is
    what the pours that are not closed have still to use, `needed` the part of it that must come from the
    store or an order, and `on_hand` what the store holds of that, usable on the day of the pour.
    `spare_order` is what comes to the site for nobody, or for a slab that needs it no more. `hired` is
    what is or was on hire for the slab, which no ledger knows.
    """

    material: Material
    net: int = 0
    allowance: int = 0
    budget: int = 0
    rate: int | None = None
    rate_per: str = ""
    used: int = 0
    used_value: int = 0
    billed: int = 0
    paid: int = 0
    wasted: int = 0
    wasted_value: int = 0
    ordered: int = 0
    received: int = 0
    received_value: int = 0
    open_order: Pool = NOTHING
    on_hand: Pool = NOTHING
    spare_order: Pool = NOTHING
    to_use: int = 0
    needed: int = 0
    hired: OfSlab = NOT_HIRED

    @property
    def allowed(self) -> int:
        """Net and allowance, in stock units."""
        return self.net + self.allowance

    @property
    def per(self) -> int | Fraction:
        """Stock units in the unit that the rate prices."""
        if self.rate_per == Rate.Per.KILOGRAM:
            mass = self.material.nominal_mg_per_mm
            return money.stock_per("kg", stock_unit=self.material.stock_unit, grams_per_metre=mass)
        return self.material.show_factor
