from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material, Pack
from inventory.models.agreement import RateAgreement
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

    class Way(models.TextChoices):
        MAIL = "mail", _("by e-mail")
        PHONE = "phone", _("by telephone")
        HAND = "hand", _("by hand")
        CASH = "cash", _("bought for cash")

    OPEN = (State.APPROVED, State.SENT, State.PART)

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="orders")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="orders")
    number = models.CharField(max_length=30)
    state = models.CharField(max_length=10, choices=State.choices, default=State.DRAFT)
    expected_date = models.DateField()
    freight_minor = models.BigIntegerField(default=0, help_text="of its trucks, beside the prices")
    total_minor = models.BigIntegerField(default=0, help_text="lines and freight")
    created_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    created_at = models.DateTimeField()
    approved_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    approved_at = models.DateTimeField(null=True, blank=True)
    self_approved = models.BooleanField(default=False, help_text="approved by the person who wrote it")
    sent_at = models.DateTimeField(null=True, blank=True)
    way = models.CharField(max_length=5, choices=Way.choices, default=Way.MAIL, help_text="how it was given")
    told_to = models.CharField(max_length=120, blank=True, help_text="who took it, when it was not mailed")
    earlier_number = models.CharField(
        max_length=60, blank=True, help_text="under which it was given before the firm began here"
    )
    version = models.PositiveSmallIntegerField(default=1, help_text="goes up with each amendment")
    ended_at = models.DateTimeField(null=True, blank=True)
    end_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("-created_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_order_number_once"),
            models.UniqueConstraint(
                fields=("supplier", "earlier_number"),
                condition=~Q(earlier_number=""),
                name="inventory_order_earlier_number_once",
            ),
            models.CheckConstraint(
                condition=Q(total_minor__gte=0), name="inventory_order_total_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(freight_minor__gte=0), name="inventory_order_freight_not_negative"
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
    packs = models.PositiveIntegerField(help_text="0 when an amendment has struck the line")
    packs_before = models.PositiveIntegerField(
        default=0, help_text="delivered on it before the firm began here, beside `packs`"
    )
    quantity = models.BigIntegerField(help_text="stock units")
    mass_g = models.BigIntegerField(
        null=True, blank=True, help_text="steel priced and settled by mass: what is ordered"
    )
    pack_price = models.BigIntegerField(help_text="1/10,000 minor unit for one pack, on site")
    amount_minor = models.BigIntegerField()
    pour = models.ForeignKey(
        Pour, on_delete=models.PROTECT, null=True, blank=True, related_name="order_lines"
    )
    agreement = models.ForeignKey(
        RateAgreement, on_delete=models.PROTECT, null=True, blank=True, related_name="order_lines"
    )

    class Meta:
        ordering = ("order_id", "position")
        constraints = (
            models.UniqueConstraint(fields=("order", "position"), name="inventory_orderline_position_once"),
            models.CheckConstraint(
                condition=(Q(packs__gt=0) & Q(quantity__gt=0)) | Q(packs=0, quantity=0, amount_minor=0),
                name="inventory_orderline_positive_or_struck",
            ),
            models.CheckConstraint(
                condition=Q(amount_minor__gte=0), name="inventory_orderline_amount_not_negative"
            ),
        )

    def __str__(self) -> str:
        return f"{self.packs} × {self.pack}"


class OrderAmendment(models.Model):
    """A new version of an order: what it was, what it is, who changed it and why."""

    FIRM_ROAD = "order__site__firm"
    SITE_ROAD = "order__site"

    order = models.ForeignKey(PurchaseOrder, on_delete=models.PROTECT, related_name="amendments")
    version = models.PositiveSmallIntegerField()
    reason = models.CharField(max_length=200)
    changes = models.JSONField(help_text="line by line: packs and price before and after")
    total_before_minor = models.BigIntegerField()
    total_after_minor = models.BigIntegerField()
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering = ("order_id", "version")
        constraints = (
            models.UniqueConstraint(
                fields=("order", "version"), name="inventory_orderamendment_version_once"
            ),
            models.CheckConstraint(condition=Q(version__gt=1), name="inventory_orderamendment_version_later"),
            models.CheckConstraint(condition=~Q(reason=""), name="inventory_orderamendment_has_reason"),
        )

    def __str__(self) -> str:
        return f"{self.order}, {self.version}"


class OrderDate(models.Model):
    """A change of the day on which an order is expected: who was told so, and why."""

    FIRM_ROAD = "order__site__firm"
    SITE_ROAD = "order__site"

    order = models.ForeignKey(PurchaseOrder, on_delete=models.PROTECT, related_name="dates")
    was_date = models.DateField()
    expected_date = models.DateField()
    reason = models.CharField(max_length=200)
    changed_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    changed_at = models.DateTimeField()

    class Meta:
        ordering = ("order_id", "changed_at", "id")
        constraints = (
            models.CheckConstraint(condition=~Q(reason=""), name="inventory_orderdate_has_reason"),
            models.CheckConstraint(
                condition=~Q(was_date=models.F("expected_date")), name="inventory_orderdate_differs"
            ),
        )

    def __str__(self) -> str:
        return f"{self.order}: {self.expected_date}"
