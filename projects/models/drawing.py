from django.db import models

from projects.models.firm import Site


class Drawing(models.Model):
    """One revision of an engineer's drawing, as received."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="drawings")
    number = models.CharField(max_length=60)
    revision = models.CharField(max_length=12)
    dated = models.DateField()
    engineer = models.CharField(max_length=120)
    title = models.CharField(max_length=200, blank=True)
    received_at = models.DateTimeField()

    class Meta:
        ordering = ("number", "revision", "id")
        constraints = (
            models.UniqueConstraint(
                fields=("site", "number", "revision"), name="projects_drawing_revision_once"
            ),
        )

    def __str__(self) -> str:
        return f"{self.number} rev {self.revision}"
