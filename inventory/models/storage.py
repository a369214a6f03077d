from django.db import models
from django.db.models import Q

from estimates.models import Material
from projects.models import Person, Site


class StorageLimit(models.Model):
    """How much of a material the store of a site takes; bags by floor and height of the stacks."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="storage_limits")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    capacity = models.BigIntegerField(help_text="stock units")
    floor_cm2 = models.BigIntegerField(null=True, blank=True, help_text="dry floor with its aisles")
    bags_high = models.PositiveSmallIntegerField(null=True, blank=True)
    source = models.CharField(max_length=200)
    set_at = models.DateTimeField()
    set_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("site_id", "material_id")
        constraints = (
            models.UniqueConstraint(fields=("site", "material"), name="inventory_storagelimit_once"),
            models.CheckConstraint(
                condition=Q(capacity__gt=0), name="inventory_storagelimit_takes_something"
            ),
            models.CheckConstraint(
                condition=Q(floor_cm2__isnull=True, bags_high__isnull=True)
                # A missing one must be named: SQL lets a row pass whose check is neither true nor false.
                | Q(floor_cm2__isnull=False, bags_high__isnull=False, floor_cm2__gt=0, bags_high__gt=0),
                name="inventory_storagelimit_floor_with_height",
            ),
        )

    def __str__(self) -> str:
        return f"{self.material} at {self.site}"


class OtherUse(models.Model):
    """How much of a material works of a site beside its pours use in a week, where the firm says so itself.

    Without a row the plan takes the mean of the latest weeks; 0 turns it off.
    """

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="other_uses")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    a_week = models.BigIntegerField(help_text="stock units; 0: the plan leaves it out")
    set_at = models.DateTimeField()
    set_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("site_id", "material_id")
        constraints = (
            models.UniqueConstraint(fields=("site", "material"), name="inventory_otheruse_once"),
            models.CheckConstraint(condition=Q(a_week__gte=0), name="inventory_otheruse_not_negative"),
        )

    def __str__(self) -> str:
        return f"{self.material} at {self.site}: {self.a_week} a week"
