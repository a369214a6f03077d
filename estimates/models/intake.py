from django.db import models

from projects.models import Person, Slab


class Intake(models.Model):
    """Files of the engineer's office for one slab, with a person's answers to what they leave open.

    It stays when a question is left open, so that nothing read or answered is lost.
    """

    FIRM_ROAD = "slab__site__firm"
    SITE_ROAD = "slab__site"

    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="intakes")
    answers = models.JSONField(default=dict, help_text="answers by the id of their question")
    created_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    created_at = models.DateTimeField()
    changed_at = models.DateTimeField()

    class Meta:
        ordering = ("slab_id", "-id")

    def __str__(self) -> str:
        return f"{self.slab}, files of {self.created_at:%Y-%m-%d}"


class IntakeFile(models.Model):
    """One file as it was received, and what was found in it."""

    FIRM_ROAD = "intake__slab__site__firm"
    SITE_ROAD = "intake__slab__site"

    intake = models.ForeignKey(Intake, on_delete=models.PROTECT, related_name="files")
    name = models.CharField(max_length=200)
    kind = models.CharField(max_length=8, help_text="dxf, ifc, xlsx, csv or json, told by the content")
    size_bytes = models.PositiveIntegerField()
    digest = models.CharField(max_length=64, help_text="SHA-256 of the content")
    content = models.BinaryField()
    found = models.JSONField(help_text="drawing, schedule or sheet, as read")
    received_at = models.DateTimeField()

    class Meta:
        ordering = ("intake_id", "id")
        constraints = (
            models.UniqueConstraint(fields=("intake", "digest"), name="estimates_intakefile_once"),
        )

    def __str__(self) -> str:
        return self.name
