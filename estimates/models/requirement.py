from django.db import models
from django.db.models import Q

from estimates.models.bill import BillLine
from estimates.models.material import Material
from projects.models import Pour


class Requirement(models.Model):
    """A dated need of a pour, derived from the issued bill and the pour's date; re-derived as a whole."""

    FIRM_ROAD = "pour__slab__site__firm"
    SITE_ROAD = "pour__slab__site"

    pour = models.ForeignKey(Pour, on_delete=models.PROTECT, related_name="requirements")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="requirements")
    bill_line = models.ForeignKey(BillLine, on_delete=models.PROTECT, related_name="requirements")
    need_date = models.DateField()
    quantity = models.BigIntegerField(help_text="stock units, net and allowance, not rounded to packs")

    class Meta:
        ordering = ("need_date", "material_id", "id")
        constraints = (
            models.UniqueConstraint(fields=("pour", "material"), name="estimates_requirement_once"),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="estimates_requirement_positive"),
        )

    def __str__(self) -> str:
        return f"{self.material} for {self.pour} by {self.need_date}"
