from django.db import models

from projects.models.firm import Firm, Site
from projects.models.person import Person


class AuditEntry(models.Model):
    """Who did what, when, where and from which device; written in the transaction of the act."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    person = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    signed = models.CharField(max_length=120, help_text="the name as it was then")
    act = models.CharField(max_length=80)
    subject_id = models.BigIntegerField(null=True, blank=True)
    detail = models.JSONField(default=dict)
    recorded_at = models.DateTimeField()
    happened_at = models.DateTimeField(null=True, blank=True, help_text="as the act says; empty: as recorded")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    device = models.CharField(max_length=80, blank=True, help_text="kind of device and program that sent it")

    class Meta:
        ordering = ("-recorded_at", "-id")
        indexes = (
            models.Index(fields=("firm", "-recorded_at"), name="projects_audit_by_time"),
            models.Index(fields=("person", "-recorded_at"), name="projects_audit_by_person"),
            models.Index(fields=("site", "-recorded_at"), name="projects_audit_by_site"),
        )

    def __str__(self) -> str:
        return f"{self.signed}: {self.act}"
