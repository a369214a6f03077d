from django.db import models
from django.db.models import Q

from estimates.models import Material, Pack
from inventory.models.supplier import Supplier
from projects.models import Firm, Person, Site


class RateAgreement(models.Model):
    """A price agreed once for a total number of packs until a day; what is needed is called off by and by."""

    FIRM_ROAD = "supplier__firm"
    SITE_ROAD = "site"
    SITE_MAY_BE_EMPTY = True

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    number = models.CharField(max_length=30)
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="agreements")
    site = models.ForeignKey(
        Site, on_delete=models.PROTECT, null=True, blank=True, related_name="+", help_text="empty: every site"
    )
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    pack = models.ForeignKey(Pack, on_delete=models.PROTECT, related_name="+")
    pack_price = models.BigIntegerField(help_text="1/10,000 minor unit for one pack, on site")
    total_packs = models.PositiveIntegerField()
    lead_days = models.PositiveSmallIntegerField(
        default=1, help_text="working days from call-off to delivery"
    )
    from_date = models.DateField()
    valid_until = models.DateField()
    remark = models.CharField(max_length=200, blank=True)
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    made_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    end_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("-made_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_rateagreement_number_once"),
            models.CheckConstraint(
                condition=Q(pack_price__gte=0) & Q(total_packs__gt=0),
                name="inventory_rateagreement_positive",
            ),
            models.CheckConstraint(
                condition=Q(valid_until__gte=models.F("from_date")),
                name="inventory_rateagreement_days_in_order",
            ),
        )

    def __str__(self) -> str:
        return self.number
