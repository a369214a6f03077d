from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material, Pack
from inventory.models.order import PurchaseOrder
from inventory.models.supplier import Supplier
from projects.models import Firm, Person, Pour, Site


class PlanRun(models.Model):
    """One run of the reorder plan of a firm; the same inputs give the same plan."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="plan_runs")
    fingerprint = models.CharField(max_length=64, help_text="digest of everything the plan was made from")
    for_date = models.DateField()
    started_at = models.DateTimeField()
    finished_at = models.DateTimeField()
    items = models.PositiveIntegerField(help_text="site and material pairs looked at")
    suggested = models.PositiveIntegerField()

    class Meta:
        ordering = ("-finished_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "fingerprint"), name="inventory_planrun_inputs_once"),
        )

    def __str__(self) -> str:
        return f"{self.firm}, {self.for_date}"


class Suggestion(models.Model):
    """What the plan proposes to buy; nothing leaves without a person's approval."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    class State(models.TextChoices):
        OPEN = "open", _("open")
        ORDERED = "ordered", _("ordered")
        REJECTED = "rejected", _("rejected")
        REPLACED = "replaced", _("replaced by a later plan")

    run = models.ForeignKey(PlanRun, on_delete=models.PROTECT, related_name="suggestions")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="suggestions")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="suggestions")
    pour = models.ForeignKey(Pour, on_delete=models.PROTECT, related_name="suggestions")
    supplier = models.ForeignKey(
        Supplier, on_delete=models.PROTECT, null=True, blank=True, related_name="suggestions"
    )
    pack = models.ForeignKey(Pack, on_delete=models.PROTECT, related_name="+")
    packs = models.PositiveIntegerField()
    quantity = models.BigIntegerField(help_text="stock units")
    pack_price = models.BigIntegerField(null=True, blank=True, help_text="1/10,000 minor unit for one pack")
    amount_minor = models.BigIntegerField(null=True, blank=True)
    need_date = models.DateField()
    order_by_date = models.DateField()
    late_days = models.PositiveSmallIntegerField(
        default=0, help_text="days by which ordering today is too late"
    )
    reason = models.JSONField(help_text="the numbers behind it: needs, stock, open orders, day by day")
    inputs_digest = models.CharField(max_length=64, help_text="of this site and material alone")
    state = models.CharField(max_length=10, choices=State.choices, default=State.OPEN)
    decided_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    decided_at = models.DateTimeField(null=True, blank=True)
    decision_reason = models.CharField(max_length=200, blank=True)
    postponed_until = models.DateField(
        null=True, blank=True, help_text="an open suggestion that a person wants to see again on this day"
    )
    order = models.ForeignKey(
        PurchaseOrder, on_delete=models.PROTECT, null=True, blank=True, related_name="suggestions"
    )

    class Meta:
        ordering = ("order_by_date", "need_date", "site_id", "material_id", "id")
        constraints = (
            models.UniqueConstraint(
                fields=("site", "material", "pour"),
                condition=Q(state="open"),
                name="inventory_suggestion_open_once",
            ),
            models.CheckConstraint(
                condition=Q(packs__gt=0) & Q(quantity__gt=0), name="inventory_suggestion_positive"
            ),
        )

    def __str__(self) -> str:
        return f"{self.material} for {self.site} by {self.order_by_date}"
