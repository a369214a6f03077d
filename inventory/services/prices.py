"""What material is worth when no order says so: the supplier's last offer, else the last rate."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from django.utils.translation import gettext as _

from estimates.models import Material, Rate
from inventory.calc import money
from inventory.models import Offer, OrderLine, Supplier


@dataclass(frozen=True)
class Price:
    """A price of so many 1/10,000 minor units for `per` stock units, and where it comes from.

    Steel may be priced by mass: the price is then for `per_g` grams, which are `per` long at nominal mass.
    """

    rate: int
    per: int | Fraction
    source: str
    per_g: int | None = None

    def value(self, quantity: int, *, mass_g: int | None = None) -> int:
        """Value stock units at this price, in minor units: by their mass when both know it."""
        if self.per_g is not None and mass_g is not None:
            return money.amount(mass_g, rate=self.rate, per=self.per_g)
        return money.amount(quantity, rate=self.rate, per=self.per)


def ordered(line: OrderLine) -> Price:
    """Return the price of an order line."""
    source = _("order %(number)s") % {"number": line.order.number}
    per_g = None if line.mass_g is None else line.pack.mass_g
    return Price(rate=line.pack_price, per=line.pack.content, source=source, per_g=per_g)


def known(material: Material, *, supplier: Supplier | None, on_date: date) -> Price | None:
    """Return the supplier's last offer on a day, else the firm's last rate; None when neither is known.

    What the client brings is the client's own and worth nothing to the firm.
    """
    if supplier is not None and supplier.is_client:
        return Price(rate=0, per=1, source=_("the client's own material"))
    if supplier is not None:
        offer = (
            Offer.objects.filter(supplier=supplier, material=material, from_date__lte=on_date)
            .select_related("pack")
            .order_by("-from_date", "-id")
            .first()
        )
        if offer is not None:
            source = _("offer of %(date)s") % {"date": offer.from_date.isoformat()}
            pack = offer.pack
            return Price(rate=offer.pack_price, per=pack.content, source=source, per_g=pack.mass_g)
    rate = (
        Rate.objects.filter(material=material, from_date__lte=on_date).order_by("-from_date", "-id").first()
    )
    return None if rate is None else of_rate(rate, material=material)


def of_rate(rate: Rate, *, material: Material) -> Price:
    """Return the price of a dated rate; steel may be priced by the kilogram of nominal mass."""
    per: int | Fraction = material.show_factor
    per_g = None
    if rate.per == Rate.Per.KILOGRAM:
        mass = material.nominal_mg_per_mm
        per = money.stock_per("kg", stock_unit=material.stock_unit, grams_per_metre=mass)
        per_g = money.GRAMS_PER_MASS_UNIT["kg"]
    source = _("rate of %(date)s") % {"date": rate.from_date.isoformat()}
    return Price(rate=rate.landed, per=per, source=source, per_g=per_g)
