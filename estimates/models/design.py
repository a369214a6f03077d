from django.db import models

from projects.models import Drawing, Person, Slab


class Design(models.Model):
    """A design sheet of a slab, as saved: one revision, never edited."""

    FIRM_ROAD = "slab__site__firm"
    SITE_ROAD = "slab__site"

    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="designs")
    drawing = models.ForeignKey(Drawing, on_delete=models.PROTECT, related_name="designs")
    number = models.PositiveIntegerField(help_text="1 for the slab's first design, then counting up")
    sheet = models.JSONField()
    digest = models.CharField(max_length=64)
    created_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        ordering = ("slab_id", "-number")
        constraints = (
            models.UniqueConstraint(fields=("slab", "number"), name="estimates_design_number_once"),
        )

    def __str__(self) -> str:
        return f"{self.slab}, design {self.number}"
