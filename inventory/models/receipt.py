from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material, Pack
from inventory.models.order import OrderLine, PurchaseOrder
from inventory.models.supplier import Supplier
from projects.models import Firm, Person, Site


class Lot(models.Model):
    """Material that came together and is told apart: a week of cement, a heat of steel in bars of one length.

    What a cut leaves is a lot of its own, of the same heat: `offcut_of` names the lot that was cut, when it
    is known, and `offcut_since` the day from which it lies there.
    """

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="lots")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="lots")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="lots")
    label = models.CharField(max_length=60, help_text="week of make or heat number, as printed")
    made_date = models.DateField(null=True, blank=True)
    measured_mg_per_mm = models.BigIntegerField(null=True, blank=True, help_text="steel: g/m as weighed")
    tested_until = models.DateField(
        null=True, blank=True, help_text="last day of use by its latest test, if it passed"
    )
    failed_date = models.DateField(null=True, blank=True, help_text="day of its latest test, if it failed")
    bar_length_mm = models.PositiveIntegerField(
        default=0, help_text="steel: length of one of its bars; 0 when it is not known by bars"
    )
    offcut_since = models.DateField(null=True, blank=True)
    offcut_of = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="offcuts"
    )
    cut = models.ForeignKey(
        "inventory.Cut", on_delete=models.PROTECT, null=True, blank=True, related_name="offcuts"
    )

    class Meta:
        ordering = ("material_id", "made_date", "id")
        constraints = (
            # Bars of two lengths may come of one heat: each length is a lot, so that bars can be counted.
            models.UniqueConstraint(
                fields=("material", "supplier", "label", "bar_length_mm"), name="inventory_lot_label_once"
            ),
            models.CheckConstraint(
                condition=Q(offcut_since__isnull=True) | Q(bar_length_mm__gt=0),
                name="inventory_lot_offcut_has_length",
            ),
            models.CheckConstraint(
                condition=Q(measured_mg_per_mm__isnull=True) | Q(measured_mg_per_mm__gt=0),
                name="inventory_lot_mass_positive",
            ),
        )

    def __str__(self) -> str:
        return self.label


class Receipt(models.Model):
    """A delivery as it was received: what the note says and what was found."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    class Match(models.TextChoices):
        ORDERED = "ordered", _("as ordered")
        UNORDERED = "unordered", _("not ordered")
        EXCESS = "excess", _("more than ordered")

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="receipts")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="receipts")
    order = models.ForeignKey(
        PurchaseOrder, on_delete=models.PROTECT, null=True, blank=True, related_name="receipts"
    )
    number = models.CharField(max_length=30)
    note_number = models.CharField(
        max_length=60, blank=True, help_text="of the delivery note, when it has one"
    )
    same_note_answer = models.CharField(
        max_length=200, blank=True, help_text="why a note number that was used before is another load"
    )
    vehicle = models.CharField(max_length=30, blank=True)
    match = models.CharField(max_length=10, choices=Match.choices)
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    remark = models.CharField(max_length=400, blank=True)
    reversed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("-happened_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_receipt_number_once"),
        )

    def __str__(self) -> str:
        return self.number


class ReceiptLine(models.Model):
    """A material of a delivery: stated, found and rejected, in the unit in which it was measured."""

    FIRM_ROAD = "receipt__site__firm"
    SITE_ROAD = "receipt__site"

    receipt = models.ForeignKey(Receipt, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField()
    order_line = models.ForeignKey(
        OrderLine, on_delete=models.PROTECT, null=True, blank=True, related_name="receipt_lines"
    )
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    pack = models.ForeignKey(Pack, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    measured_in = models.CharField(max_length=60, help_text="the unit of the three figures: a pack or a unit")
    stated_thousandths = models.BigIntegerField(help_text="of the unit, as the note says")
    found_thousandths = models.BigIntegerField(help_text="of the unit, as counted or measured")
    rejected_thousandths = models.BigIntegerField(default=0, help_text="of the unit, part of what was found")
    reject_reason = models.CharField(max_length=200, blank=True)
    stock_per_unit = models.BigIntegerField(
        help_text="conversion used: thousandths of stock units in one unit"
    )
    conversion_source = models.CharField(max_length=200)
    accepted = models.BigIntegerField(help_text="stock units taken in: into the store, or held back first")
    held = models.BigIntegerField(default=0, help_text="stock units of them still in quarantine")
    hold_reason = models.CharField(max_length=200, blank=True)
    mass_g = models.BigIntegerField(
        null=True, blank=True, help_text="steel: mass accepted, weighed or by the conversion used"
    )
    bars = models.PositiveIntegerField(null=True, blank=True, help_text="steel: good bars as counted")
    value_minor = models.BigIntegerField()
    method = models.CharField(max_length=12, default="counted", help_text="how it was measured")
    readings = models.JSONField(default=list, help_text="each with its unit, and measured or assumed")
    working = models.CharField(max_length=300, blank=True, help_text="how the readings make what was found")
    bulking_thousandths = models.PositiveIntegerField(
        null=True, blank=True, help_text="of a per cent of the dry volume"
    )
    moisture_thousandths = models.PositiveIntegerField(
        null=True, blank=True, help_text="of a per cent of the dry mass"
    )
    dry_equivalent = models.BigIntegerField(
        null=True, blank=True, help_text="stock units that what was accepted would be dry"
    )
    batched_at = models.DateTimeField(null=True, blank=True)
    arrived_at = models.DateTimeField(null=True, blank=True)
    discharged_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("receipt_id", "position")
        constraints = (
            models.UniqueConstraint(
                fields=("receipt", "position"), name="inventory_receiptline_position_once"
            ),
            models.CheckConstraint(
                condition=Q(stated_thousandths__gte=0)
                & Q(found_thousandths__gte=0)
                & Q(rejected_thousandths__gte=0)
                & Q(rejected_thousandths__lte=models.F("found_thousandths")),
                name="inventory_receiptline_rejected_is_part",
            ),
            models.CheckConstraint(
                condition=Q(rejected_thousandths=0) | ~Q(reject_reason=""),
                name="inventory_receiptline_rejection_has_reason",
            ),
            models.CheckConstraint(
                condition=Q(held=0) | (Q(held__gt=0, held__lte=models.F("accepted")) & ~Q(hold_reason="")),
                name="inventory_receiptline_held_is_part_with_reason",
            ),
            models.CheckConstraint(
                condition=Q(dry_equivalent__isnull=True)
                | Q(dry_equivalent__gte=0, dry_equivalent__lte=models.F("accepted")),
                name="inventory_receiptline_dry_is_no_more",
            ),
            models.CheckConstraint(
                condition=Q(accepted__gte=0) & Q(value_minor__gte=0) & Q(stock_per_unit__gt=0),
                name="inventory_receiptline_not_negative",
            ),
        )

    def __str__(self) -> str:
        return f"{self.receipt}, {self.material}"
