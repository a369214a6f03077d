from django.db import models

from projects.models.firm import Firm
from projects.models.person import Person


class Outbox(models.Model):
    """A background job asked for in the transaction that needs it; the only record of the job.

    Brokers lose messages; this row does not. A worker claims it by a lease, does the job under the
    row's key, and marks it done.
    """

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="jobs")
    job = models.CharField(max_length=80)
    payload = models.JSONField(default=dict)
    key = models.CharField(max_length=120, unique=True)
    created_at = models.DateTimeField()
    due_at = models.DateTimeField()
    leased_until = models.DateTimeField(null=True, blank=True)
    started_at = models.DateTimeField(null=True, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    done_at = models.DateTimeField(null=True, blank=True)
    failed_at = models.DateTimeField(null=True, blank=True)
    last_error = models.TextField(blank=True)

    class Meta:
        ordering = ("due_at", "id")
        indexes = (
            # The sweep reads only what is neither done nor given up; this keeps it a plain, short read.
            models.Index(
                fields=("due_at", "id"),
                name="projects_outbox_waiting",
                condition=models.Q(done_at__isnull=True, failed_at__isnull=True),
            ),
        )

    def __str__(self) -> str:
        return f"{self.job} {self.key}"


class Counter(models.Model):
    """The last running number of a kind of document in a firm and year."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=6)
    year = models.PositiveSmallIntegerField()
    last = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=("firm", "kind", "year"), name="projects_counter_once"),
        )

    def __str__(self) -> str:
        return f"{self.kind}-{self.year}-{self.last}"


class IdempotencyKey(models.Model):
    """The key of an act that was done, for ever: the same act sent again gives the first result."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    key = models.CharField(max_length=120)
    act = models.CharField(max_length=80)
    fingerprint = models.CharField(max_length=64)
    result_id = models.BigIntegerField(null=True, blank=True)
    person = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    created_at = models.DateTimeField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=("firm", "key"), name="projects_key_once"),)

    def __str__(self) -> str:
        return f"{self.act} {self.key}"
