from django.db import models

from projects.models import Firm, Person

MILLION = 1_000_000


class FirmFigure(models.Model):
    """A firm's own figure in the place of a standards value, from when it was set; the latest of a key holds.

    Without a value the profile's own holds again. Rows are never changed: past bills were worked out by them.
    """

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="figures")
    profile = models.CharField(max_length=12)
    key = models.CharField(max_length=120)
    value_millionths = models.BigIntegerField(
        null=True, help_text="of the unit beside it; none: the profile's own again"
    )
    unit = models.CharField(max_length=20)
    replaces_millionths = models.BigIntegerField(help_text="the profile's value when it was set")
    reason = models.TextField()
    set_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    set_at = models.DateTimeField()

    class Meta:
        ordering = ("firm_id", "profile", "key", "-id")
        indexes = (models.Index(fields=("firm", "profile", "key"), name="estimates_figure_key"),)

    def __str__(self) -> str:
        return f"{self.profile} {self.key}"

    @property
    def value(self) -> float | None:
        """The figure in its unit; none when the profile's own holds again."""
        return None if self.value_millionths is None else self.value_millionths / MILLION

    @property
    def replaces(self) -> float:
        """The profile's value when it was set, in the same unit."""
        return self.replaces_millionths / MILLION
