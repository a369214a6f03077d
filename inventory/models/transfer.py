from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material
from inventory.models.receipt import Lot
from projects.models import Firm, Person, Site


class Transfer(models.Model):
    """Material sent from one site's store to another's: dispatched, on the road, received."""

    FIRM_ROAD = "to_site__firm"
    SITE_ROAD = "to_site"
    OTHER_SITE_ROAD = "from_site"

    class State(models.TextChoices):
        ON_ROAD = "on_road", _("on the road")
        RECEIVED = "received", _("received")
        CALLED_BACK = "called_back", _("called back")

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    number = models.CharField(max_length=30)
    from_site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="transfers_out")
    to_site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="transfers_in")
    state = models.CharField(max_length=11, choices=State.choices, default=State.ON_ROAD)
    vehicle = models.CharField(max_length=30, blank=True)
    freight_minor = models.BigIntegerField(default=0, help_text="paid for the road; part of its value there")
    dispatched_at = models.DateTimeField()
    dispatched_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    recorded_at = models.DateTimeField()
    received_at = models.DateTimeField(null=True, blank=True)
    received_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    by_one_person = models.BooleanField(default=False, help_text="sent and received by the same person")
    loss_owner = models.ForeignKey(
        Person,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text="who clears up what was lost on the road",
    )
    remark = models.CharField(max_length=400, blank=True)

    class Meta:
        ordering = ("-dispatched_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_transfer_number_once"),
            models.CheckConstraint(condition=~Q(from_site=F("to_site")), name="inventory_transfer_two_sites"),
            models.CheckConstraint(
                condition=Q(freight_minor__gte=0), name="inventory_transfer_freight_not_negative"
            ),
        )

    def __str__(self) -> str:
        return self.number


class TransferLine(models.Model):
    """A material of a transfer: sent, and found at its arrival."""

    FIRM_ROAD = "transfer__to_site__firm"
    SITE_ROAD = "transfer__to_site"
    OTHER_SITE_ROAD = "transfer__from_site"

    transfer = models.ForeignKey(Transfer, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField()
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    sent = models.BigIntegerField(help_text="stock units")
    value_minor = models.BigIntegerField(default=0, help_text="what it carries along")
    found = models.BigIntegerField(null=True, blank=True, help_text="stock units, at the arrival")
    lost_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("transfer_id", "position")
        constraints = (
            models.UniqueConstraint(
                fields=("transfer", "position"), name="inventory_transferline_position_once"
            ),
            models.CheckConstraint(condition=Q(sent__gt=0), name="inventory_transferline_positive"),
            models.CheckConstraint(
                condition=Q(found__isnull=True) | (Q(found__gte=0) & Q(found__lte=F("sent"))),
                name="inventory_transferline_found_is_part",
            ),
            models.CheckConstraint(
                condition=Q(found__isnull=True) | Q(found=F("sent")) | ~Q(lost_reason=""),
                name="inventory_transferline_loss_has_reason",
            ),
        )

    def __str__(self) -> str:
        return f"{self.transfer}, {self.material}"
