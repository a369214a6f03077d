from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material
from inventory.models.supplier import Supplier
from projects.models import Firm, Person, Pour, Site, Slab


class Hire(models.Model):
    """Things of one kind on hire at a site: how many, from whom, since when, until when, and on which terms.

    `rate` is empty until the office has agreed it; until then the hire has no cost.
    """

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    class Basis(models.TextChoices):
        PIECE_DAY = "piece_day", _("a piece and day")
        DAY = "day", _("a day, all pieces together")
        WHOLE = "whole", _("the whole hire")

    class DayCount(models.TextChoices):
        BOTH = "both", _("the day out and the day back both count")
        NIGHTS = "nights", _("days of 24 hours: the day back does not count")

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    number = models.CharField(max_length=30)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="hires")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="hires")
    material = models.ForeignKey(
        Material, on_delete=models.PROTECT, related_name="+", help_text="the kind, as the bill names it"
    )
    what = models.CharField(max_length=120, help_text="make, size, number on it")
    pieces = models.PositiveIntegerField()
    out_date = models.DateField(help_text="came to the site")
    due_date = models.DateField(help_text="planned to go back")
    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, null=True, blank=True, related_name="hires")
    pour = models.ForeignKey(Pour, on_delete=models.PROTECT, null=True, blank=True, related_name="hires")
    note_number = models.CharField(max_length=60, blank=True, help_text="of the delivery")
    rate = models.BigIntegerField(null=True, blank=True, help_text="1/10,000 minor unit")
    basis = models.CharField(max_length=9, choices=Basis.choices, default=Basis.PIECE_DAY)
    day_count = models.CharField(max_length=6, choices=DayCount.choices, default=DayCount.BOTH)
    minimum_days = models.PositiveSmallIntegerField(default=1)
    lost_price_minor = models.BigIntegerField(
        null=True, blank=True, help_text="charged for one piece that is lost"
    )
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    reversed_at = models.DateTimeField(null=True, blank=True)
    reverse_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("due_date", "id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_hire_number_once"),
            models.CheckConstraint(
                condition=Q(pieces__gt=0) & Q(minimum_days__gt=0), name="inventory_hire_of_something"
            ),
            models.CheckConstraint(
                condition=Q(due_date__gte=F("out_date")), name="inventory_hire_due_after_out"
            ),
            models.CheckConstraint(
                condition=(Q(rate__isnull=True) | Q(rate__gte=0))
                & (Q(lost_price_minor__isnull=True) | Q(lost_price_minor__gte=0)),
                name="inventory_hire_price_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(pour__isnull=True) | Q(slab__isnull=False),
                name="inventory_hire_pour_has_its_slab",
            ),
        )

    def __str__(self) -> str:
        return self.number


class HireEnd(models.Model):
    """Pieces whose hire ended on a day: brought back whole, or damaged, or lost. Facts, no blame."""

    FIRM_ROAD = "hire__site__firm"
    SITE_ROAD = "hire__site"

    class Kind(models.TextChoices):
        BACK = "back", _("brought back")
        DAMAGED = "damaged", _("brought back damaged")
        LOST = "lost", _("lost")

    hire = models.ForeignKey(Hire, on_delete=models.PROTECT, related_name="ends")
    kind = models.CharField(max_length=7, choices=Kind.choices)
    pieces = models.PositiveIntegerField()
    day = models.DateField()
    charge_minor = models.BigIntegerField(
        null=True, blank=True, help_text="by the supplier; empty: lost ones at their agreed price"
    )
    found = models.CharField(max_length=200, blank=True, help_text="what was found")
    seen_by = models.CharField(max_length=120, blank=True)
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    reversed_at = models.DateTimeField(null=True, blank=True)
    reverse_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("day", "id")
        constraints = (
            models.CheckConstraint(condition=Q(pieces__gt=0), name="inventory_hireend_of_something"),
            models.CheckConstraint(
                condition=Q(charge_minor__isnull=True) | Q(charge_minor__gte=0),
                name="inventory_hireend_charge_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(kind="back") | (~Q(found="") & ~Q(seen_by="")),
                name="inventory_hireend_harm_has_facts",
            ),
        )

    def __str__(self) -> str:
        return f"{self.hire}, {self.pieces} {self.get_kind_display()}"
