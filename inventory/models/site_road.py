from django.db import models
from django.db.models import F, Q

from projects.models import Site


class SiteRoad(models.Model):
    """What it costs to take goods between two sites, where it differs from any other trip of the firm."""

    FIRM_ROAD = "from_site__firm"
    SITE_ROAD = "from_site"
    OTHER_SITE_ROAD = "to_site"

    from_site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="roads_out")
    to_site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="roads_in")
    trip_minor = models.BigIntegerField(
        null=True, blank=True, help_text="of each trip; empty: as any other trip"
    )
    tonne_minor = models.BigIntegerField(default=0, help_text="of each tonne, beside the trip")

    class Meta:
        ordering = ("from_site__name", "to_site__name", "id")
        constraints = (
            models.UniqueConstraint(fields=("from_site", "to_site"), name="inventory_siteroad_once"),
            models.CheckConstraint(
                condition=~Q(from_site=F("to_site")), name="inventory_siteroad_leads_elsewhere"
            ),
            models.CheckConstraint(
                condition=(Q(trip_minor=None) | Q(trip_minor__gte=0)) & Q(tonne_minor__gte=0),
                name="inventory_siteroad_not_negative",
            ),
        )

    def __str__(self) -> str:
        return f"{self.from_site} – {self.to_site}"
