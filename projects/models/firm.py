from django.db import models
from django.db.models import Q


class Firm(models.Model):
    """A construction firm: the tenant. One currency, one time zone, one standards profile by default."""

    FIRM_ROAD = "pk"

    name = models.CharField(max_length=120)
    currency = models.CharField(max_length=3, help_text="ISO 4217 code")
    locale = models.CharField(max_length=12, default="en", help_text="CLDR locale of numbers and money")
    time_zone = models.CharField(max_length=40, default="UTC")
    profile = models.CharField(max_length=12, default="is", help_text="standards profile of new designs")
    site_sees_money = models.BooleanField(default=False)
    approval_limit_minor = models.BigIntegerField(
        default=0, help_text="orders above this need the owner; 0 means no limit"
    )
    cash_limit_minor = models.BigIntegerField(
        default=0, help_text="what a site may buy for cash in a day; 0 means nothing"
    )
    safety_days = models.PositiveSmallIntegerField(
        default=1, help_text="working days a delivery should be there before it is needed"
    )
    day_off = models.PositiveSmallIntegerField(default=6, help_text="weekly day off, Monday is 0")

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(approval_limit_minor__gte=0), name="projects_firm_limit_not_negative"
            ),
            models.CheckConstraint(
                condition=Q(cash_limit_minor__gte=0), name="projects_firm_cash_limit_not_negative"
            ),
            models.CheckConstraint(condition=Q(day_off__lte=6), name="projects_firm_day_off_in_week"),
        )

    def __str__(self) -> str:
        return self.name


class Site(models.Model):
    """A building site with one store: its yard."""

    FIRM_ROAD = "firm"
    SITE_ROAD = "pk"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="sites")
    name = models.CharField(max_length=120)
    place = models.CharField(max_length=200, blank=True)
    opened_date = models.DateField()
    closed_date = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ("name", "id")
        constraints = (models.UniqueConstraint(fields=("firm", "name"), name="projects_site_name_once"),)

    def __str__(self) -> str:
        return self.name
