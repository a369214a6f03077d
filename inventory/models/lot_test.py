from django.db import models
from django.db.models import Q

from inventory.models.receipt import Lot
from projects.models import Person


class LotTest(models.Model):
    """A test of a lot: what it said and until when it may be used. Never changed; the latest one counts."""

    FIRM_ROAD = "lot__firm"

    lot = models.ForeignKey(Lot, on_delete=models.PROTECT, related_name="tests")
    tested_date = models.DateField()
    passed = models.BooleanField()
    usable_until = models.DateField(null=True, blank=True, help_text="of one that passed")
    tested_by = models.CharField(max_length=120, help_text="laboratory or person")
    result = models.CharField(max_length=200, help_text="what was tested, and the figures")
    recorded_at = models.DateTimeField()
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("lot_id", "-tested_date", "-id")
        constraints = (
            models.CheckConstraint(
                condition=Q(passed=True, usable_until__isnull=False)
                | Q(passed=False, usable_until__isnull=True),
                name="inventory_lottest_passed_has_a_last_day",
            ),
        )

    def __str__(self) -> str:
        return f"{self.lot}, {self.tested_date}"
