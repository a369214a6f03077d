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

    class Meta:
        ordering = ("name", "id")
        constraints = (models.UniqueConstraint(fields=("firm", "name"), name="inventory_supplier_name_once"),)

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

    class Meta:
        ordering = ("material_id", "pack_price", "id")
        constraints = (
            models.UniqueConstraint(
                fields=("supplier", "material", "pack", "from_date"), name="inventory_offer_date_once"
            ),
            models.CheckConstraint(condition=Q(pack_price__gte=0), name="inventory_offer_price_not_negative"),
            models.CheckConstraint(condition=Q(minimum_packs__gt=0), name="inventory_offer_minimum_positive"),
        )

    def __str__(self) -> str:
        return f"{self.supplier}: {self.material}, {self.pack}"
