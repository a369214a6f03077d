from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models.material import Material
from projects.models import Person


class Rate(models.Model):
    """The price of a material from a date on: basic, freight, loading and tax that cannot be recovered.

    Integers of 1/10,000 of the currency's minor unit per priced unit. Steel may be priced by the kilogram
    (of nominal mass) although it is kept by length.
    """

    FIRM_ROAD = "material__firm"

    class Per(models.TextChoices):
        SHOWN = "unit", _("shown unit")
        KILOGRAM = "kg", _("kilogram")

    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="rates")
    from_date = models.DateField()
    per = models.CharField(max_length=4, choices=Per.choices, default=Per.SHOWN)
    basic = models.BigIntegerField()
    freight = models.BigIntegerField(default=0)
    loading = models.BigIntegerField(default=0)
    tax = models.BigIntegerField(default=0, help_text="tax that cannot be recovered")
    source = models.CharField(max_length=200, blank=True)
    set_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    set_at = models.DateTimeField()

    class Meta:
        ordering = ("material_id", "-from_date", "-id")
        constraints = (
            models.UniqueConstraint(fields=("material", "from_date"), name="estimates_rate_date_once"),
            models.CheckConstraint(
                condition=Q(basic__gte=0) & Q(freight__gte=0) & Q(loading__gte=0) & Q(tax__gte=0),
                name="estimates_rate_not_negative",
            ),
        )

    def __str__(self) -> str:
        return f"{self.material} from {self.from_date}"

    @property
    def landed(self) -> int:
        """The price on site, all in."""
        return self.basic + self.freight + self.loading + self.tax
