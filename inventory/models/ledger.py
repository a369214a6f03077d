"""The append-only ledger. Only inventory.services.posting writes it; database triggers refuse changes."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material
from inventory.models.count import StockCountLine
from inventory.models.cutting.bench import Cut
from inventory.models.place import Place
from inventory.models.receipt import Lot, ReceiptLine
from inventory.models.transfer import TransferLine
from inventory.models.usage import StockSlipLine
from projects.models import Firm, Person, Pour


class Movement(models.Model):
    """A change of stock: one positive quantity that leaves one place for another."""

    FIRM_ROAD = "firm"

    class Reason(models.TextChoices):
        RECEIPT = "receipt", _("receipt")
        ISSUE = "issue", _("issue to slab")
        RETURN = "return", _("return from slab")
        WASTE = "waste", _("waste")
        OTHER_WORK = "other_work", _("issue to other works")
        COUNT = "count", _("count difference")
        OPENING = "opening", _("opening stock")
        USE_BY_COUNT = "use_by_count", _("use found by count")
        CUT = "cut", _("cutting")
        DISPATCH = "dispatch", _("sent to another site")
        ARRIVAL = "arrival", _("arrived from another site")
        HELD = "held", _("held back")
        RELEASED = "released", _("passed and released")
        SENT_BACK = "sent_back", _("sent back to the supplier")
        REVERSAL = "reversal", _("reversal")

    # Without an index: it would name most of the table, yet SQLite, which keeps no statistics of its own
    # accord, takes it for as good as any other: with 100,000 movements the spend sheet took 33 ms, not 14.
    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+", db_index=False)
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    # What it is from its arrival on, when a cut makes another lot of it: an offcut of its heat.
    becomes = models.ForeignKey(Lot, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    # Without indexes of their own: those below begin with these columns.
    source = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="movements_out", db_index=False)
    target = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="movements_in", db_index=False)
    quantity = models.BigIntegerField(help_text="stock units")
    value_minor = models.BigIntegerField(help_text="what it carries along, minor units")
    reason = models.CharField(max_length=12, choices=Reason.choices)
    pour = models.ForeignKey(Pour, on_delete=models.PROTECT, null=True, blank=True, related_name="movements")
    receipt_line = models.ForeignKey(
        ReceiptLine, on_delete=models.PROTECT, null=True, blank=True, related_name="movements"
    )
    slip_line = models.ForeignKey(
        StockSlipLine, on_delete=models.PROTECT, null=True, blank=True, related_name="movements"
    )
    transfer_line = models.ForeignKey(
        TransferLine, on_delete=models.PROTECT, null=True, blank=True, related_name="movements"
    )
    count_line = models.ForeignKey(
        StockCountLine, on_delete=models.PROTECT, null=True, blank=True, related_name="movements"
    )
    cut = models.ForeignKey(Cut, on_delete=models.PROTECT, null=True, blank=True, related_name="movements")
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    key = models.CharField(max_length=160, unique=True)
    reverses = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="reversed_by"
    )

    class Meta:
        ordering = ("recorded_at", "id")
        constraints = (
            models.CheckConstraint(condition=Q(quantity__gt=0), name="inventory_movement_quantity_positive"),
            models.CheckConstraint(
                condition=Q(value_minor__gte=0), name="inventory_movement_value_not_negative"
            ),
            models.CheckConstraint(condition=~Q(source=F("target")), name="inventory_movement_two_places"),
            models.CheckConstraint(
                condition=(Q(reason="reversal") & Q(reverses__isnull=False))
                | (~Q(reason="reversal") & Q(reverses__isnull=True)),
                name="inventory_movement_reversal_names_original",
            ),
        )
        indexes = (
            # Balances at a moment, per place and material, without touching the table.
            models.Index(
                fields=("source", "material", "recorded_at", "quantity", "value_minor"),
                name="inventory_movement_out",
            ),
            models.Index(
                fields=("target", "material", "recorded_at", "quantity", "value_minor"),
                name="inventory_movement_in",
            ),
            # A site's latest movements: with 1,000,000 of them in the firm, a page out of these takes 5 ms of
            # the database at a busy site and at a quiet one alike; out of the firm's by time, up to 300 ms.
            models.Index(fields=("source", "-recorded_at"), name="inventory_movement_out_last"),
            models.Index(fields=("target", "-recorded_at"), name="inventory_movement_in_last"),
        )

    def __str__(self) -> str:
        return f"{self.quantity} {self.material} {self.source} → {self.target}"


class ValueAdjustment(models.Model):
    """A change of value found later, without a change of quantity: a late price, a supplier's bill."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="value_adjustments")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    value_minor = models.BigIntegerField()
    source = models.CharField(max_length=200)
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    key = models.CharField(max_length=160, unique=True)

    class Meta:
        ordering = ("recorded_at", "id")
        constraints = (
            models.CheckConstraint(condition=~Q(value_minor=0), name="inventory_adjustment_not_zero"),
        )

    def __str__(self) -> str:
        return f"{self.value_minor} {self.material} at {self.place}"
