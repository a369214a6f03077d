from django.db import models

from projects.models.firm import Firm
from projects.models.person import Person


class AuditEntry(models.Model):
    """Who did what, when; written in the transaction of the act."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    signed = models.CharField(max_length=120, help_text="the name as it was then")
    act = models.CharField(max_length=80)
    subject_id = models.BigIntegerField(null=True, blank=True)
    detail = models.JSONField(default=dict)
    recorded_at = models.DateTimeField()

    class Meta:
        ordering = ("-recorded_at", "-id")
        indexes = (models.Index(fields=("firm", "-recorded_at"), name="projects_audit_by_time"),)

    def __str__(self) -> str:
        return f"{self.signed}: {self.act}"
