from django.db import models
from django.db.models import Q

from projects.models.firm import Firm


class Holiday(models.Model):
    """A single day on which the firm, and those who deliver to it, do not work."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="holidays")
    day = models.DateField()
    name = models.CharField(max_length=80)
    worked = models.BooleanField(default=False, help_text="taken out again")

    class Meta:
        ordering = ("day", "id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "day"), name="projects_holiday_day_once"),
            models.CheckConstraint(condition=~Q(name=""), name="projects_holiday_has_name"),
        )

    def __str__(self) -> str:
        return f"{self.day}: {self.name}"
