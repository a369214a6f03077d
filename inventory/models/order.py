from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material, Pack
from inventory.models.supplier import Supplier
from projects.models import Firm, Person, Pour, Site


class PurchaseOrder(models.Model):
    """An order to one supplier for one site."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    class State(models.TextChoices):
        DRAFT = "draft", _("draft")
        APPROVED = "approved", _("approved")
        SENT = "sent", _("sent")
        PART = "part", _("part delivered")
        CLOSED = "closed", _("closed")
        CANCELLED = "cancelled", _("cancelled")

    OPEN = (State.APPROVED, State.SENT, State.PART)

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="orders")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="orders")
    number = models.CharField(max_length=30)
    state = models.CharField(max_length=10, choices=State.choices, default=State.DRAFT)
    expected_date = models.DateField()
    total_minor = models.BigIntegerField(default=0)
    created_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    created_at = models.DateTimeField()
    approved_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    approved_at = models.DateTimeField(null=True, blank=True)
    self_approved = models.BooleanField(default=False, help_text="approved by the person who wrote it")
    sent_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    end_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("-created_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_order_number_once"),
            models.CheckConstraint(
                condition=Q(total_minor__gte=0), name="inventory_order_total_not_negative"
            ),
        )

    def __str__(self) -> str:
        return self.number


class OrderLine(models.Model):
    """A material of an order, in whole packs; tied to the pour it is for, when it is for one."""

    FIRM_ROAD = "order__site__firm"
    SITE_ROAD = "order__site"

    order = models.ForeignKey(PurchaseOrder, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField()
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    pack = models.ForeignKey(Pack, on_delete=models.PROTECT, related_name="+")
    packs = models.PositiveIntegerField()
    quantity = models.BigIntegerField(help_text="stock units")
    mass_g = models.BigIntegerField(
        null=True, blank=True, help_text="steel priced and settled by mass: what is ordered"
    )
    pack_price = models.BigIntegerField(help_text="1/10,000 minor unit for one pack, on site")
    amount_minor = models.BigIntegerField()
    pour = models.ForeignKey(
        Pour, on_delete=models.PROTECT, null=True, blank=True, related_name="order_lines"
    )

    class Meta:
        ordering = ("order_id", "position")
        constraints = (
            models.UniqueConstraint(fields=("order", "position"), name="inventory_orderline_position_once"),
            models.CheckConstraint(
                condition=Q(packs__gt=0) & Q(quantity__gt=0), name="inventory_orderline_positive"
            ),
            models.CheckConstraint(
                condition=Q(amount_minor__gte=0), name="inventory_orderline_amount_not_negative"
            ),
        )

    def __str__(self) -> str:
        return f"{self.packs} × {self.pack}"
