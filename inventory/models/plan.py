from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material, Pack
from inventory.models.agreement import RateAgreement
from inventory.models.order import PurchaseOrder
from inventory.models.supplier import Supplier
from inventory.models.transfer import Transfer
from projects.models import Firm, Person, Pour, Site


class PlanTerms(models.Model):
    """What is at stake for a firm when it plans: asked of the owner, never assumed."""

    FIRM_ROAD = "firm"

    firm = models.OneToOneField(Firm, on_delete=models.PROTECT, related_name="plan_terms")
    stop_cost_minor = models.BigIntegerField(default=0, help_text="a day on which a pour stands")
    keep_permille = models.PositiveSmallIntegerField(
        default=0, help_text="of its price, goods kept for a year"
    )
    rest_permille = models.PositiveSmallIntegerField(
        default=0, help_text="of its price, lost on what is left"
    )
    week_budget_minor = models.BigIntegerField(null=True, blank=True, help_text="most to order in a week")
    freight_minor = models.BigIntegerField(null=True, blank=True, help_text="a trip between two sites")
    van_kg = models.PositiveIntegerField(null=True, blank=True, help_text="load of such a trip")

    class Meta:
        constraints = (
            models.CheckConstraint(
                condition=Q(stop_cost_minor__gte=0)
                & (Q(week_budget_minor=None) | Q(week_budget_minor__gte=0))
                & (Q(freight_minor=None) | Q(freight_minor__gte=0)),
                name="inventory_planterms_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(rest_permille__lte=1000), name="inventory_planterms_rest_is_part"
            ),
            models.CheckConstraint(
                condition=Q(van_kg=None) | Q(van_kg__gt=0), name="inventory_planterms_van_positive"
            ),
        )

    def __str__(self) -> str:
        return f"{self.firm}"


class PlanRun(models.Model):
    """One run of the reorder plan of a firm; the same inputs give the same plan."""

    FIRM_ROAD = "firm"

    class Grade(models.TextChoices):
        FIRST = "first", _("first plan")
        IMPROVED = "improved", _("improved plan")

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="plan_runs")
    fingerprint = models.CharField(max_length=64, help_text="digest of everything the plan was made from")
    for_date = models.DateField()
    started_at = models.DateTimeField()
    finished_at = models.DateTimeField()
    items = models.PositiveIntegerField(help_text="site and material pairs looked at")
    suggested = models.PositiveIntegerField()
    grade = models.CharField(max_length=8, choices=Grade.choices, default=Grade.FIRST)
    cost_minor = models.BigIntegerField(
        default=0, help_text="of all it suggests, lateness and rests included"
    )
    first_cost_minor = models.BigIntegerField(default=0, help_text="of the first plan of the same inputs")
    bound_minor = models.BigIntegerField(null=True, blank=True, help_text="no plan of its window costs less")
    gap_ppm = models.PositiveIntegerField(
        null=True, blank=True, help_text="of the window's cost to its bound"
    )
    took_ms = models.PositiveIntegerField(default=0)
    over_budget = models.JSONField(default=list, help_text="weeks whose orders cost more than the budget")

    class Meta:
        ordering = ("-finished_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "fingerprint"), name="inventory_planrun_inputs_once"),
        )

    def __str__(self) -> str:
        return f"{self.firm}, {self.for_date}"


class Suggestion(models.Model):
    """What the plan proposes to buy, or to move from another site; nothing leaves without a person."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    class Kind(models.TextChoices):
        BUY = "buy", _("buy")
        MOVE = "move", _("move")

    class State(models.TextChoices):
        OPEN = "open", _("open")
        ORDERED = "ordered", _("ordered")
        REJECTED = "rejected", _("rejected")
        REPLACED = "replaced", _("replaced by a later plan")

    kind = models.CharField(max_length=4, choices=Kind.choices, default=Kind.BUY)
    run = models.ForeignKey(PlanRun, on_delete=models.PROTECT, related_name="suggestions")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="suggestions")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="suggestions")
    pour = models.ForeignKey(Pour, on_delete=models.PROTECT, related_name="suggestions")
    supplier = models.ForeignKey(
        Supplier, on_delete=models.PROTECT, null=True, blank=True, related_name="suggestions"
    )
    agreement = models.ForeignKey(
        RateAgreement, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    from_site = models.ForeignKey(Site, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
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
    short_ppm = models.PositiveIntegerField(
        null=True, blank=True, help_text="probability that the pour runs short of it if the plan is followed"
    )
    idle_short_ppm = models.PositiveIntegerField(
        null=True, blank=True, help_text="the same if nothing more is ordered"
    )
    idle_minor = models.BigIntegerField(
        null=True, blank=True, help_text="what doing nothing would cost on average"
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
    transfer = models.ForeignKey(
        Transfer, on_delete=models.PROTECT, null=True, blank=True, related_name="suggestions"
    )

    class Meta:
        ordering = ("order_by_date", "need_date", "site_id", "material_id", "id")
        constraints = (
            models.UniqueConstraint(
                fields=("site", "material", "pour", "supplier", "pack", "order_by_date"),
                condition=Q(state="open", kind="buy", agreement=None),
                name="inventory_suggestion_open_once",
            ),
            models.UniqueConstraint(
                fields=("site", "material", "pour", "agreement", "order_by_date"),
                condition=Q(state="open", kind="buy", agreement__isnull=False),
                name="inventory_suggestion_agreed_once",
            ),
            models.UniqueConstraint(
                fields=("site", "material", "pour", "from_site"),
                condition=Q(state="open", kind="move"),
                name="inventory_suggestion_move_once",
            ),
            models.CheckConstraint(
                condition=Q(kind="buy", from_site=None)
                | Q(kind="move", from_site__isnull=False, supplier=None),
                name="inventory_suggestion_kind_has_source",
            ),
            models.CheckConstraint(
                condition=Q(packs__gt=0) & Q(quantity__gt=0), name="inventory_suggestion_positive"
            ),
        )

    def __str__(self) -> str:
        return f"{self.material} for {self.site} by {self.order_by_date}"


class PourOutlook(models.Model):
    """How likely a planned pour runs short of any of its materials, by the plan that stands."""

    FIRM_ROAD = "pour__slab__site__firm"
    SITE_ROAD = "pour__slab__site"

    pour = models.OneToOneField(Pour, on_delete=models.PROTECT, related_name="outlook")
    run = models.ForeignKey(PlanRun, on_delete=models.PROTECT, related_name="outlooks")
    short_ppm = models.PositiveIntegerField(
        null=True, blank=True, help_text="if the plan is followed, with materials as independent"
    )
    least_ppm = models.PositiveIntegerField(help_text="no less, however materials hang together")
    most_ppm = models.PositiveIntegerField(help_text="no more, however materials hang together")
    idle_short_ppm = models.PositiveIntegerField(
        null=True, blank=True, help_text="the same if nothing more is ordered"
    )
    worst = models.ForeignKey(
        Material, on_delete=models.PROTECT, null=True, blank=True, related_name="+", help_text="decides it"
    )
    parts = models.JSONField(help_text="each material that may run short: chance, deliveries, remedies")

    class Meta:
        ordering = ("pour_id",)
        constraints = (
            models.CheckConstraint(
                condition=Q(least_ppm__lte=F("most_ppm")) & Q(most_ppm__lte=1_000_000),
                name="inventory_pouroutlook_bounds",
            ),
        )

    def __str__(self) -> str:
        return f"{self.pour}: {self.short_ppm} ppm"
