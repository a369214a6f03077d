from django.db import models
from django.db.models import Q

from projects.models import Firm


class CuttingSettings(models.Model):
    """How a firm cuts its bars; what is empty is as the standards profile has it."""

    FIRM_ROAD = "firm"

    firm = models.OneToOneField(Firm, on_delete=models.PROTECT, related_name="+")
    blade_mm = models.PositiveSmallIntegerField(null=True, blank=True, help_text="lost at each cut")
    shortest_offcut_mm = models.PositiveIntegerField(
        null=True, blank=True, help_text="a shorter rest is scrap"
    )
    most_patterns = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="different patterns of one size; 0 for as many as it takes"
    )
    seconds = models.PositiveSmallIntegerField(null=True, blank=True, help_text="of search for one size")
    offered_after_days = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="an older offcut is offered to plans of the firm's other sites"
    )

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(seconds__isnull=True) | Q(seconds__gt=0),
                name="inventory_cuttingsettings_seconds_positive",
            ),
        )

    def __str__(self) -> str:
        return f"cutting at {self.firm}"
