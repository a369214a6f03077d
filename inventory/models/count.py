from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material
from projects.models import Firm, Person, Site


class StockCount(models.Model):
    """A count of a store: what is really there, asserted by a person."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    class State(models.TextChoices):
        POSTED = "posted", _("posted")
        WAITING = "waiting", _("waits for approval")
        SENT_BACK = "sent_back", _("sent back to be counted again")
        REVERSED = "reversed", _("taken back")

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="counts")
    number = models.CharField(max_length=30)
    counted_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    by_keeper = models.BooleanField(help_text="counted by a person who also keeps this store")
    happened_at = models.DateTimeField()
    recorded_at = models.DateTimeField()
    remark = models.CharField(max_length=400, blank=True)
    state = models.CharField(max_length=9, choices=State.choices, default=State.POSTED)
    recounted = models.BooleanField(default=False, help_text="what lay far from the book was counted twice")
    approved_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    approved_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True, help_text="sent back or taken back")
    ended_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    end_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("-happened_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_count_number_once"),
            models.CheckConstraint(
                condition=~Q(state__in=("sent_back", "reversed"))
                | (Q(ended_at__isnull=False) & ~Q(end_reason="")),
                name="inventory_count_ended_says_why",
            ),
        )

    def __str__(self) -> str:
        return self.number

    @property
    def self_approved(self) -> bool:
        """Whether the person who counted also approved what lay far from the book."""
        return self.approved_by_id is not None and self.approved_by_id == self.counted_by_id


class StockCountLine(models.Model):
    """A material of a count: the book figure, the figure found, and why they differ."""

    FIRM_ROAD = "count__site__firm"
    SITE_ROAD = "count__site"

    count = models.ForeignKey(StockCount, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField()
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    book = models.BigIntegerField(help_text="stock units by the ledger at the count")
    found = models.BigIntegerField(help_text="stock units counted")
    explanation = models.CharField(max_length=200, blank=True)
    value_minor = models.BigIntegerField(default=0, help_text="value of the difference, found less book")

    class Meta:
        ordering = ("count_id", "position")
        constraints = (
            models.UniqueConstraint(fields=("count", "material"), name="inventory_countline_once"),
            models.CheckConstraint(
                condition=Q(found__gte=0) & Q(book__gte=0), name="inventory_countline_not_negative"
            ),
        )

    def __str__(self) -> str:
        return f"{self.count}, {self.material}"

    @property
    def difference(self) -> int:
        """Found less book, in stock units."""
        return self.found - self.book
