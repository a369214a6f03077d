from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Bill, Material
from projects.models import Firm, Person, Site, Slab


class CuttingPlan(models.Model):
    """Which bars to cut into which pieces, for one or several slabs, cut at the bench of one site.

    `inputs` is everything that it is worked out from, frozen when it was asked for; the job that solves it
    reads nothing else.
    """

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    class State(models.TextChoices):
        ASKED = "asked", _("waiting to be worked out")
        SOLVING = "solving", _("being worked out")
        PROPOSED = "proposed", _("proposed")
        RESERVED = "reserved", _("being cut")
        DONE = "done", _("cut")
        CANCELLED = "cancelled", _("cancelled")
        FAILED = "failed", _("failed")

    OPEN = (State.ASKED, State.SOLVING, State.PROPOSED, State.RESERVED)
    RUNNING = (State.ASKED, State.SOLVING)
    PAPER = (*RUNNING, State.PROPOSED, State.FAILED)
    """Nothing is cut or reserved for it yet."""

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    site = models.ForeignKey(
        Site, on_delete=models.PROTECT, related_name="cutting_plans", help_text="where the bench stands"
    )
    number = models.CharField(max_length=30)
    state = models.CharField(max_length=9, choices=State.choices, default=State.ASKED)
    settings = models.JSONField(help_text="blade loss, shortest offcut, patterns, seconds, lengths to buy")
    inputs = models.JSONField(help_text="tasks of the optimiser, one for each size and grade")
    fingerprint = models.CharField(max_length=64, help_text="digest of inputs and settings")
    progress = models.JSONField(default=dict, help_text="of the search: step, best plan, bound")
    error = models.CharField(max_length=400, blank=True)
    asked_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    asked_at = models.DateTimeField()
    solved_at = models.DateTimeField(null=True, blank=True)
    reserved_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    reserved_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    end_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("-asked_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_cuttingplan_number_once"),
            models.UniqueConstraint(
                fields=("firm", "fingerprint"),
                condition=Q(state__in=("asked", "solving", "proposed", "reserved")),
                name="inventory_cuttingplan_inputs_once",
            ),
            models.CheckConstraint(
                condition=~Q(state="reserved") | Q(reserved_at__isnull=False),
                name="inventory_cuttingplan_reserved_has_time",
            ),
        )

    def __str__(self) -> str:
        return self.number


class CuttingNeed(models.Model):
    """Pieces of one bar mark of an issued bill that a plan cuts: length and number."""

    FIRM_ROAD = "plan__site__firm"
    SITE_ROAD = "plan__site"

    plan = models.ForeignKey(CuttingPlan, on_delete=models.PROTECT, related_name="needs")
    position = models.PositiveIntegerField()
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, related_name="cutting_needs")
    bill = models.ForeignKey(Bill, on_delete=models.PROTECT, related_name="+")
    mark = models.CharField(max_length=80)
    member = models.CharField(max_length=80, blank=True)
    shape = models.CharField(max_length=20, blank=True)
    length_mm = models.PositiveIntegerField()
    count = models.PositiveIntegerField()

    class Meta:
        ordering = ("plan_id", "position")
        constraints = (
            models.UniqueConstraint(fields=("plan", "position"), name="inventory_cuttingneed_position_once"),
            models.UniqueConstraint(
                fields=("plan", "slab", "mark", "length_mm"), name="inventory_cuttingneed_mark_once"
            ),
            models.CheckConstraint(
                condition=Q(length_mm__gt=0) & Q(count__gt=0), name="inventory_cuttingneed_positive"
            ),
        )

    def __str__(self) -> str:
        return f"{self.mark}, {self.length_mm} mm"


class CuttingResult(models.Model):
    """What a plan comes to for one bar size and grade, with the bound that no plan can pass."""

    FIRM_ROAD = "plan__site__firm"
    SITE_ROAD = "plan__site"

    plan = models.ForeignKey(CuttingPlan, on_delete=models.PROTECT, related_name="results")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    new_bars = models.PositiveIntegerField()
    new_mm = models.BigIntegerField(help_text="length of the new bars")
    offcuts_used = models.PositiveIntegerField()
    pieces_mm = models.BigIntegerField()
    kept_mm = models.BigIntegerField(help_text="offcuts that go back into store")
    scrap_mm = models.BigIntegerField()
    blade_mm = models.BigIntegerField()
    figures = models.JSONField(help_text="bound, gap, method, time; purchase advice")

    class Meta:
        ordering = ("plan_id", "material__size_mm", "id")
        constraints = (
            models.UniqueConstraint(fields=("plan", "material"), name="inventory_cuttingresult_once"),
        )

    def __str__(self) -> str:
        return f"{self.plan}, {self.material}"


class CuttingPattern(models.Model):
    """Bars of one length that are all cut alike; `done` of them are cut."""

    FIRM_ROAD = "plan__site__firm"
    SITE_ROAD = "plan__site"

    class Origin(models.TextChoices):
        BAR = "bar", _("bar in store")
        OFFCUT = "offcut", _("offcut in store")
        BUY = "buy", _("bar to buy")

    plan = models.ForeignKey(CuttingPlan, on_delete=models.PROTECT, related_name="patterns")
    position = models.PositiveIntegerField()
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    origin = models.CharField(max_length=6, choices=Origin.choices)
    bar_length_mm = models.PositiveIntegerField()
    bars = models.PositiveIntegerField()
    done = models.PositiveIntegerField(default=0)
    blade_mm = models.PositiveIntegerField(help_text="lost in all cuts of one bar")
    rest_mm = models.PositiveIntegerField(help_text="left of one bar after its last cut")
    rest_kept = models.BooleanField(help_text="the rest goes back into store as an offcut")

    class Meta:
        ordering = ("plan_id", "position")
        constraints = (
            models.UniqueConstraint(
                fields=("plan", "position"), name="inventory_cuttingpattern_position_once"
            ),
            models.CheckConstraint(
                condition=Q(bars__gt=0) & Q(done__lte=F("bars")) & Q(bar_length_mm__gt=0),
                name="inventory_cuttingpattern_done_is_part",
            ),
        )

    def __str__(self) -> str:
        return f"{self.plan}, pattern {self.position}"


class PatternPiece(models.Model):
    """How many pieces of a need one bar of a pattern gives."""

    FIRM_ROAD = "pattern__plan__site__firm"
    SITE_ROAD = "pattern__plan__site"

    pattern = models.ForeignKey(CuttingPattern, on_delete=models.PROTECT, related_name="pieces")
    need = models.ForeignKey(CuttingNeed, on_delete=models.PROTECT, related_name="pieces")
    per_bar = models.PositiveIntegerField()

    class Meta:
        ordering = ("pattern_id", "-need__length_mm", "need__position")
        constraints = (
            models.UniqueConstraint(fields=("pattern", "need"), name="inventory_patternpiece_once"),
            models.CheckConstraint(condition=Q(per_bar__gt=0), name="inventory_patternpiece_positive"),
        )

    def __str__(self) -> str:
        return f"{self.per_bar} × {self.need}"
