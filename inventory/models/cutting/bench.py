from django.db import models
from django.db.models import F, Q

from inventory.models.cutting.plan import CuttingNeed, CuttingPattern, CuttingPlan
from inventory.models.place import Place
from inventory.models.usage import StockSlip
from projects.models import Person


class Reservation(models.Model):
    """Bars of a lot that a plan will cut: no other plan counts on them while it is open."""

    FIRM_ROAD = "plan__site__firm"
    SITE_ROAD = "plan__site"

    plan = models.ForeignKey(CuttingPlan, on_delete=models.PROTECT, related_name="reservations")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="reservations")
    lot = models.ForeignKey("inventory.Lot", on_delete=models.PROTECT, related_name="reservations")
    bars = models.PositiveIntegerField()
    used = models.PositiveIntegerField(default=0)

    class Meta:
        ordering = ("plan_id", "lot_id")
        constraints = (
            models.UniqueConstraint(fields=("plan", "place", "lot"), name="inventory_reservation_once"),
            models.CheckConstraint(
                condition=Q(bars__gt=0) & Q(used__lte=F("bars")), name="inventory_reservation_used_is_part"
            ),
        )

    def __str__(self) -> str:
        return f"{self.bars} × {self.lot} for {self.plan}"


class Cut(models.Model):
    """Bars of a pattern that were cut at the bench, ticked in one tap; taken back as a whole when wrong."""

    FIRM_ROAD = "pattern__plan__site__firm"
    SITE_ROAD = "pattern__plan__site"

    pattern = models.ForeignKey(CuttingPattern, on_delete=models.PROTECT, related_name="cuts")
    bars = models.PositiveIntegerField()
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    scrap_mm = models.PositiveIntegerField(help_text="rests too short to keep, and the blade's loss")
    reversed_at = models.DateTimeField(null=True, blank=True)
    reverse_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("-recorded_at", "-id")
        constraints = (models.CheckConstraint(condition=Q(bars__gt=0), name="inventory_cut_positive"),)

    def __str__(self) -> str:
        return f"{self.pattern}, {self.bars} bars"

    @property
    def number(self) -> str:
        """How an entry of the ledger names it."""
        return f"{self.pattern.plan.number}/{self.pattern.position}"


class CutBar(models.Model):
    """From which lot and store the bars of a cut were taken."""

    FIRM_ROAD = "cut__pattern__plan__site__firm"
    SITE_ROAD = "cut__pattern__plan__site"

    cut = models.ForeignKey(Cut, on_delete=models.PROTECT, related_name="taken")
    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="+")
    lot = models.ForeignKey("inventory.Lot", on_delete=models.PROTECT, related_name="cut_bars")
    bars = models.PositiveIntegerField()
    reserved = models.BooleanField(help_text="out of the plan's reservation, not of bars that came later")

    class Meta:
        ordering = ("cut_id", "id")
        constraints = (
            models.UniqueConstraint(fields=("cut", "place", "lot"), name="inventory_cutbar_once"),
            models.CheckConstraint(condition=Q(bars__gt=0), name="inventory_cutbar_positive"),
        )

    def __str__(self) -> str:
        return f"{self.bars} × {self.lot}"


class PieceIssue(models.Model):
    """Cut pieces of a need that a slip took from the bench to the slab."""

    FIRM_ROAD = "slip__site__firm"
    SITE_ROAD = "slip__site"

    slip = models.ForeignKey(StockSlip, on_delete=models.PROTECT, related_name="cut_pieces")
    need = models.ForeignKey(CuttingNeed, on_delete=models.PROTECT, related_name="issues")
    count = models.PositiveIntegerField()

    class Meta:
        ordering = ("slip_id", "need__position")
        constraints = (
            models.UniqueConstraint(fields=("slip", "need"), name="inventory_pieceissue_once"),
            models.CheckConstraint(condition=Q(count__gt=0), name="inventory_pieceissue_positive"),
        )

    def __str__(self) -> str:
        return f"{self.count} × {self.need}"
