from django.db import models
from django.db.models import Q

from estimates.models import Material, Pack
from projects.models import Firm


class Supplier(models.Model):
    """Someone the firm buys from."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="suppliers")
    name = models.CharField(max_length=120)
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    credit_days = models.PositiveSmallIntegerField(default=0, help_text="from a bill to its payment")
    ended_date = models.DateField(null=True, blank=True)
    is_client = models.BooleanField(
        default=False, help_text="the client, whose own material comes in at nil value"
    )
    trip_minor = models.BigIntegerField(default=0, help_text="a truck to a site, beside the prices")
    truck_kg = models.PositiveIntegerField(null=True, blank=True, help_text="what such a truck takes")
    least_order_minor = models.BigIntegerField(default=0, help_text="goods for which it takes an order")
    order_days = models.JSONField(default=list, help_text="weekdays on which it takes orders; empty: every")
    delivery_days = models.JSONField(default=list, help_text="weekdays on which it delivers; empty: every")

    class Meta:
        ordering = ("name", "id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "name"), name="inventory_supplier_name_once"),
            models.CheckConstraint(
                condition=Q(trip_minor__gte=0) & Q(least_order_minor__gte=0),
                name="inventory_supplier_terms_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(truck_kg=None) | Q(truck_kg__gt=0), name="inventory_supplier_truck_positive"
            ),
        )

    def __str__(self) -> str:
        return self.name


class Offer(models.Model):
    """What a supplier sells a material for, in which pack, from a date on, and how long it takes."""

    FIRM_ROAD = "supplier__firm"

    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="offers")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="offers")
    pack = models.ForeignKey(Pack, on_delete=models.PROTECT, related_name="+")
    from_date = models.DateField()
    pack_price = models.BigIntegerField(help_text="1/10,000 minor unit for one pack, on site")
    minimum_packs = models.PositiveIntegerField(default=1)
    lead_days = models.PositiveSmallIntegerField(help_text="working days from order to delivery")
    valid_until = models.DateField(null=True, blank=True, help_text="last day of the price; empty: no end")
    incremental = models.BooleanField(
        default=False, help_text="a lower price holds for the packs beyond its number, not for all"
    )
    truck_packs = models.PositiveIntegerField(
        null=True, blank=True, help_text="packs that fill a truck, where room and not mass fills it"
    )

    class Meta:
        ordering = ("material_id", "pack_price", "id")
        constraints = (
            models.UniqueConstraint(
                fields=("supplier", "material", "pack", "from_date"), name="inventory_offer_date_once"
            ),
            models.CheckConstraint(condition=Q(pack_price__gte=0), name="inventory_offer_price_not_negative"),
            models.CheckConstraint(condition=Q(minimum_packs__gt=0), name="inventory_offer_minimum_positive"),
            models.CheckConstraint(
                condition=Q(valid_until=None) | Q(valid_until__gte=models.F("from_date")),
                name="inventory_offer_days_in_order",
            ),
            models.CheckConstraint(
                condition=Q(truck_packs=None) | Q(truck_packs__gt=0), name="inventory_offer_truck_positive"
            ),
        )

    def __str__(self) -> str:
        return f"{self.supplier}: {self.material}, {self.pack}"


class OfferBreak(models.Model):
    """A price of an offer that holds from a number of packs on."""

    FIRM_ROAD = "offer__supplier__firm"

    offer = models.ForeignKey(Offer, on_delete=models.PROTECT, related_name="breaks")
    from_packs = models.PositiveIntegerField()
    pack_price = models.BigIntegerField(help_text="1/10,000 minor unit for one pack, on site")

    class Meta:
        ordering = ("offer_id", "from_packs")
        constraints = (
            models.UniqueConstraint(fields=("offer", "from_packs"), name="inventory_offerbreak_packs_once"),
            models.CheckConstraint(
                condition=Q(from_packs__gt=1) & Q(pack_price__gte=0), name="inventory_offerbreak_in_bounds"
            ),
        )

    def __str__(self) -> str:
        return f"{self.offer}: from {self.from_packs}"
