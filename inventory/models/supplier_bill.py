from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material, Pack
from inventory.models.order import OrderLine
from inventory.models.receipt import ReceiptLine
from inventory.models.supplier import Supplier
from projects.models import Firm, Person


class SupplierBill(models.Model):
    """A bill of a supplier, or a credit or debit note on one, as it came and as it was settled."""

    FIRM_ROAD = "firm"

    class Kind(models.TextChoices):
        BILL = "bill", _("bill")
        CREDIT = "credit", _("credit note")
        DEBIT = "debit", _("debit note")

    class State(models.TextChoices):
        HELD = "held", _("held")
        ACCEPTED = "accepted", _("accepted")
        REJECTED = "rejected", _("sent back")

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="bills")
    kind = models.CharField(max_length=6, choices=Kind.choices, default=Kind.BILL)
    of_bill = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="notes")
    number = models.CharField(max_length=60, help_text="as printed")
    number_key = models.CharField(max_length=60, help_text="the same without case and blanks")
    year = models.PositiveSmallIntegerField()
    dated = models.DateField()
    due_date = models.DateField()
    opening = models.BooleanField(
        default=False, help_text="owed when the firm began here: no delivery stands behind it"
    )
    state = models.CharField(max_length=8, choices=State.choices)
    goods_minor = models.BigIntegerField(help_text="sum of the lines")
    freight_minor = models.BigIntegerField(default=0, help_text="freight, loading and the like")
    tax_minor = models.BigIntegerField(default=0)
    tax_recoverable = models.BooleanField(default=True, help_text="then it is no cost of the material")
    total_minor = models.BigIntegerField(help_text="as printed")
    retained_minor = models.BigIntegerField(default=0, help_text="kept back of the total")
    retained_until = models.DateField(null=True, blank=True)
    owner = models.ForeignKey(
        Person,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        help_text="who looks after what is held",
    )
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    recorded_at = models.DateTimeField()
    settled_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    settled_at = models.DateTimeField(null=True, blank=True)
    settle_reason = models.CharField(max_length=400, blank=True)

    class Meta:
        ordering = ("due_date", "id")
        constraints = (
            models.UniqueConstraint(
                fields=("supplier", "kind", "year", "number_key"),
                condition=~Q(state="rejected"),
                name="inventory_supplierbill_number_once",
            ),
            models.CheckConstraint(
                condition=Q(goods_minor__gte=0)
                & Q(freight_minor__gte=0)
                & Q(tax_minor__gte=0)
                & Q(retained_minor__gte=0)
                & Q(retained_minor__lte=F("total_minor")),
                name="inventory_supplierbill_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(total_minor=F("goods_minor") + F("freight_minor") + F("tax_minor")),
                name="inventory_supplierbill_adds_up",
            ),
            models.CheckConstraint(
                condition=Q(kind="bill", of_bill__isnull=True) | (~Q(kind="bill") & Q(of_bill__isnull=False)),
                name="inventory_supplierbill_note_names_bill",
            ),
            models.CheckConstraint(
                condition=Q(retained_minor=0) | Q(retained_until__isnull=False),
                name="inventory_supplierbill_retention_has_day",
            ),
        )

    def __str__(self) -> str:
        return f"{self.supplier}, {self.number}"


class SupplierBillLine(models.Model):
    """A material of a supplier's bill: what was billed, what it is held against, and what differs."""

    FIRM_ROAD = "bill__firm"

    bill = models.ForeignKey(SupplierBill, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField()
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    receipt_line = models.ForeignKey(
        ReceiptLine, on_delete=models.PROTECT, null=True, blank=True, related_name="bill_lines"
    )
    order_line = models.ForeignKey(
        OrderLine, on_delete=models.PROTECT, null=True, blank=True, related_name="bill_lines"
    )
    pack = models.ForeignKey(Pack, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    quantity = models.BigIntegerField(help_text="stock units billed")
    amount_minor = models.BigIntegerField(help_text="as printed")
    landed_minor = models.BigIntegerField(help_text="with its share of freight and of tax not recovered")
    received = models.BigIntegerField(help_text="stock units received and not billed before")
    expected_minor = models.BigIntegerField(
        null=True, blank=True, help_text="the quantity at the price at which it was taken in"
    )
    causes = models.JSONField(default=list, help_text="why the line is held")

    class Meta:
        ordering = ("bill_id", "position")
        constraints = (
            models.UniqueConstraint(
                fields=("bill", "position"), name="inventory_supplierbillline_position_once"
            ),
            models.CheckConstraint(
                condition=Q(quantity__gt=0)
                & Q(amount_minor__gte=0)
                & Q(landed_minor__gte=0)
                & Q(received__gte=0),
                name="inventory_supplierbillline_not_negative",
            ),
        )

    def __str__(self) -> str:
        return f"{self.bill}, {self.material}"


class Payment(models.Model):
    """Money paid to a supplier; what of it settles no bill is an advance."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="payments")
    number = models.CharField(max_length=30)
    paid_date = models.DateField()
    amount_minor = models.BigIntegerField()
    reference = models.CharField(max_length=60, blank=True, help_text="of the transfer or cheque")
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    recorded_at = models.DateTimeField()
    reversed_at = models.DateTimeField(null=True, blank=True)
    reverse_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("-paid_date", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_payment_number_once"),
            models.CheckConstraint(condition=Q(amount_minor__gt=0), name="inventory_payment_positive"),
        )

    def __str__(self) -> str:
        return self.number


class PaymentPart(models.Model):
    """The part of a payment that settles one bill."""

    FIRM_ROAD = "payment__firm"

    payment = models.ForeignKey(Payment, on_delete=models.PROTECT, related_name="parts")
    bill = models.ForeignKey(SupplierBill, on_delete=models.PROTECT, related_name="payments")
    amount_minor = models.BigIntegerField()

    class Meta:
        ordering = ("payment_id", "id")
        constraints = (
            models.UniqueConstraint(fields=("payment", "bill"), name="inventory_paymentpart_bill_once"),
            models.CheckConstraint(condition=Q(amount_minor__gt=0), name="inventory_paymentpart_positive"),
        )

    def __str__(self) -> str:
        return f"{self.payment}: {self.amount_minor} for {self.bill}"
