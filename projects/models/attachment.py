from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from projects.models.firm import Firm, Site
from projects.models.person import Person


class Attachment(models.Model):
    """A photo or a paper kept as a file of its own; the row says what was proven of its content."""

    FIRM_ROAD = "firm"
    SITE_ROAD = "site"

    class Kind(models.TextChoices):
        PHOTO = "photo", _("photo")
        PAPER = "paper", _("paper")

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=5, choices=Kind.choices)
    name = models.CharField(max_length=200, help_text="as it was sent")
    stored = models.CharField(max_length=200, help_text="place of the file below the folder of uploads")
    digest = models.CharField(max_length=64, help_text="SHA-256 of the file as kept")
    sent_digest = models.CharField(max_length=64, help_text="SHA-256 of the file as sent")
    content_type = models.CharField(max_length=40)
    size_bytes = models.PositiveIntegerField()
    width_px = models.PositiveIntegerField(null=True, blank=True)
    height_px = models.PositiveIntegerField(null=True, blank=True)
    received_at = models.DateTimeField()
    received_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ("received_at", "id")
        constraints = (
            models.CheckConstraint(condition=Q(size_bytes__gt=0), name="projects_attachment_not_empty"),
        )

    def __str__(self) -> str:
        return self.name
