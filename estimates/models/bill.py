from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models.design import Design
from estimates.models.material import Material
from projects.models import Person


class Bill(models.Model):
    """A priced bill of quantities, frozen when issued: the slab's budget."""

    FIRM_ROAD = "design__slab__site__firm"
    SITE_ROAD = "design__slab__site"

    class State(models.TextChoices):
        ISSUED = "issued", _("issued")
        SUPERSEDED = "superseded", _("superseded")

    design = models.ForeignKey(Design, on_delete=models.PROTECT, related_name="bills")
    number = models.PositiveIntegerField(help_text="counting within the slab")
    state = models.CharField(max_length=12, choices=State.choices, default=State.ISSUED)
    profile = models.CharField(max_length=12)
    edition = models.CharField(max_length=60)
    standards_digest = models.CharField(max_length=64)
    drawing_number = models.CharField(max_length=60)
    drawing_revision = models.CharField(max_length=12)
    findings = models.JSONField(default=list)
    figures = models.JSONField(default=list, help_text="the firm's own figures in force when it was issued")
    reason = models.TextField(
        blank=True, help_text="why it was issued in spite of a finding, quoting the engineer"
    )
    total_minor = models.BigIntegerField()
    area_mm2 = models.BigIntegerField(help_text="slab area in plan")
    volume_cm3 = models.BigIntegerField(help_text="net concrete volume")
    issued_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    issued_at = models.DateTimeField()

    class Meta:
        ordering = ("-issued_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("design", "number"), name="estimates_bill_number_once"),
            models.CheckConstraint(condition=Q(total_minor__gte=0), name="estimates_bill_total_not_negative"),
        )

    def __str__(self) -> str:
        return f"{self.design.slab}, bill {self.number}"


class BillLine(models.Model):
    """One line of a frozen bill, with its whole derivation."""

    FIRM_ROAD = "bill__design__slab__site__firm"
    SITE_ROAD = "bill__design__slab__site"

    bill = models.ForeignKey(Bill, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField()
    key = models.CharField(max_length=80)
    member = models.CharField(max_length=80, blank=True)
    derivation = models.JSONField(help_text="the line as computed: net, allowance, formula, inputs, sources")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    net = models.BigIntegerField(null=True, blank=True, help_text="stock units")
    allowance = models.BigIntegerField(null=True, blank=True, help_text="stock units")
    rate = models.BigIntegerField(null=True, blank=True, help_text="1/10,000 minor unit per priced unit")
    rate_per = models.CharField(max_length=4, blank=True)
    amount_minor = models.BigIntegerField(null=True, blank=True)

    class Meta:
        ordering = ("bill_id", "position")
        constraints = (
            models.UniqueConstraint(fields=("bill", "key"), name="estimates_billline_key_once"),
            models.CheckConstraint(
                # A missing figure must be named: SQL lets a row pass whose check is neither true nor false.
                condition=Q(material__isnull=True)
                | Q(
                    net__isnull=False,
                    net__gte=0,
                    allowance__isnull=False,
                    allowance__gte=0,
                    rate__isnull=False,
                    rate__gte=0,
                    amount_minor__isnull=False,
                    amount_minor__gte=0,
                ),
                name="estimates_billline_material_is_priced",
            ),
        )

    def __str__(self) -> str:
        return self.key

    @property
    def allowed(self) -> int:
        """Net and allowance together, in stock units: what may be used."""
        return (self.net or 0) + (self.allowance or 0)
