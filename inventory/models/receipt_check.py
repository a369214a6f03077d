from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from inventory.models.receipt import ReceiptLine
from projects.models import Person


class ReceiptCheck(models.Model):
    """One check of what came: what was seen or read, against which limit, and the verdict. Never changed."""

    FIRM_ROAD = "line__receipt__site__firm"
    SITE_ROAD = "line__receipt__site"

    class Verdict(models.TextChoices):
        PASS = "pass", _("passed")
        HOLD = "hold", _("on hold")
        REJECT = "reject", _("to go back")

    line = models.ForeignKey(ReceiptLine, on_delete=models.PROTECT, related_name="checks")
    code = models.CharField(max_length=20)
    verdict = models.CharField(max_length=6, choices=Verdict.choices)
    reading_thousandths = models.BigIntegerField(null=True, blank=True, help_text="of the unit")
    unit = models.CharField(max_length=10, blank=True)
    limit = models.CharField(
        max_length=200, blank=True, help_text="the limit as it was then, with its source"
    )
    remark = models.CharField(max_length=200, blank=True)
    checked_at = models.DateTimeField()
    checked_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("line_id", "checked_at", "id")
        constraints = (
            models.CheckConstraint(
                condition=Q(reading_thousandths__isnull=True) | Q(reading_thousandths__gte=0),
                name="inventory_receiptcheck_reading_not_negative",
            ),
        )

    def __str__(self) -> str:
        return f"{self.line}, {self.code}: {self.verdict}"
