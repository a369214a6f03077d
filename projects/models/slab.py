from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from projects.models.firm import Site


class Slab(models.Model):
    """A slab with its beams, as one piece of work that has a budget."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="slabs")
    name = models.CharField(max_length=120)
    created_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("site_id", "name", "id")
        constraints = (models.UniqueConstraint(fields=("site", "name"), name="projects_slab_name_once"),)

    def __str__(self) -> str:
        return self.name


class Pour(models.Model):
    """One continuous placing; bill lines, issues, plant, crew, records and cost all hang on it."""

    FIRM_ROAD = "slab__site__firm"
    SITE_ROAD = "slab__site"

    class State(models.TextChoices):
        PLANNED = "planned", _("planned")
        POURED = "poured", _("poured")
        CLOSED = "closed", _("closed")

    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="pours")
    name = models.CharField(max_length=60)
    pour_date = models.DateField(help_text="the day of placing, planned or done")
    state = models.CharField(max_length=8, choices=State.choices, default=State.PLANNED)
    share_ppm = models.PositiveIntegerField(
        default=1_000_000, help_text="part of the slab's volume in this pour, in millionths"
    )
    poured_at = models.DateTimeField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ("pour_date", "id")
        constraints = (
            models.UniqueConstraint(fields=("slab", "name"), name="projects_pour_name_once"),
            models.CheckConstraint(
                condition=Q(share_ppm__gt=0) & Q(share_ppm__lte=1_000_000), name="projects_pour_share_is_part"
            ),
            models.CheckConstraint(
                condition=Q(state="planned") | Q(poured_at__isnull=False),
                name="projects_pour_poured_has_time",
            ),
        )

    def __str__(self) -> str:
        return f"{self.slab}, {self.name}"
