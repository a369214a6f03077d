from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material
from inventory.models.place import Place
from inventory.models.receipt import Lot
from projects.models import Firm, Person, Pour, Site


class StockSlip(models.Model):
    """A slip of the store: an issue to a pour, a return, waste with its cause, an issue to other works."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    class Kind(models.TextChoices):
        ISSUE = "issue", _("issue")
        RETURN = "return", _("return")
        WASTE = "waste", _("waste")
        OPENING = "opening", _("opening")
        OTHER = "other", _("issue to other works")

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="slips")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    number = models.CharField(max_length=30)
    pour = models.ForeignKey(Pour, on_delete=models.PROTECT, null=True, blank=True, related_name="slips")
    given_to = models.CharField(max_length=120, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    reversed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("-happened_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_slip_number_once"),
            models.CheckConstraint(
                condition=~Q(kind__in=("issue", "return")) | Q(pour__isnull=False),
                name="inventory_slip_issue_names_pour",
            ),
            models.CheckConstraint(
                condition=~Q(kind="waste") | ~Q(reason=""), name="inventory_slip_waste_has_reason"
            ),
            models.CheckConstraint(
                condition=~Q(kind="other") | (~Q(reason="") & Q(pour=None)),
                name="inventory_slip_other_names_works",
            ),
        )

    def __str__(self) -> str:
        return self.number


class StockSlipLine(models.Model):
    """A material of a slip."""

    FIRM_ROAD = "slip__site__firm"
    SITE_ROAD = "slip__site"

    slip = models.ForeignKey(StockSlip, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField()
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    source = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    target = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    quantity = models.BigIntegerField(help_text="stock units")
    value_minor = models.BigIntegerField()

    class Meta:
        ordering = ("slip_id", "position")
        constraints = (
            models.UniqueConstraint(fields=("slip", "position"), name="inventory_slipline_position_once"),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="inventory_slipline_positive"),
        )

    def __str__(self) -> str:
        return f"{self.slip}, {self.material}"
