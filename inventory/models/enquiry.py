from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material, Pack
from inventory.models.supplier import Offer, Supplier
from projects.models import Firm, Person, Site


class Enquiry(models.Model):
    """A question to several suppliers: what would these materials cost, on this site, by this day."""

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="enquiries")
    number = models.CharField(max_length=30)
    needed_date = models.DateField(help_text="on site by")
    answer_date = models.DateField(help_text="quotations are wanted by")
    remark = models.CharField(max_length=400, blank=True)
    created_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    created_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    end_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("-created_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_enquiry_number_once"),
        )

    def __str__(self) -> str:
        return self.number


class EnquiryLine(models.Model):
    """A material asked for, and how much of it."""

    FIRM_ROAD = "enquiry__site__firm"
    SITE_ROAD = "enquiry__site"

    enquiry = models.ForeignKey(Enquiry, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField()
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="+")
    quantity = models.BigIntegerField(help_text="stock units")
    specification = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ("enquiry_id", "position")
        constraints = (
            models.UniqueConstraint(
                fields=("enquiry", "position"), name="inventory_enquiryline_position_once"
            ),
            models.UniqueConstraint(
                fields=("enquiry", "material"), name="inventory_enquiryline_material_once"
            ),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="inventory_enquiryline_positive"),
        )

    def __str__(self) -> str:
        return str(self.material)


class EnquiredSupplier(models.Model):
    """A supplier who is asked."""

    FIRM_ROAD = "enquiry__site__firm"
    SITE_ROAD = "enquiry__site"

    enquiry = models.ForeignKey(Enquiry, on_delete=models.PROTECT, related_name="asked")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="+")

    class Meta:
        ordering = ("enquiry_id", "supplier__name", "id")
        constraints = (
            models.UniqueConstraint(
                fields=("enquiry", "supplier"), name="inventory_enquiredsupplier_supplier_once"
            ),
        )

    def __str__(self) -> str:
        return str(self.supplier)


class Quotation(models.Model):
    """What a supplier answered; a later one of the same supplier takes its place."""

    FIRM_ROAD = "enquiry__site__firm"
    SITE_ROAD = "enquiry__site"

    enquiry = models.ForeignKey(Enquiry, on_delete=models.PROTECT, related_name="quotations")
    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="quotations")
    reference = models.CharField(max_length=60, blank=True, help_text="the supplier's own number")
    dated = models.DateField()
    valid_until = models.DateField(null=True, blank=True)
    credit_days = models.PositiveSmallIntegerField(default=0)
    remark = models.CharField(max_length=400, blank=True)
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    recorded_at = models.DateTimeField()

    class Meta:
        ordering = ("enquiry_id", "-recorded_at", "-id")

    def __str__(self) -> str:
        return f"{self.supplier}, {self.dated}"


class QuotationLine(models.Model):
    """A price as quoted: per pack, per unit, or per load of so many of a unit, and what comes on top.

    Prices and charges are integers of 1/10,000 minor unit.
    """

    FIRM_ROAD = "quotation__enquiry__site__firm"
    SITE_ROAD = "quotation__enquiry__site"

    class Basis(models.TextChoices):
        INCLUDED = "included", _("in the price")
        UNIT = "unit", _("for each priced unit")
        WHOLE = "whole", _("for the whole quantity")

    quotation = models.ForeignKey(Quotation, on_delete=models.PROTECT, related_name="lines")
    line = models.ForeignKey(EnquiryLine, on_delete=models.PROTECT, related_name="quoted")
    price = models.BigIntegerField(help_text="1/10,000 minor unit for one pack, unit or load")
    pack = models.ForeignKey(Pack, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    unit = models.CharField(max_length=8, blank=True, help_text="unit of trade, when it is no pack")
    load_thousandths = models.BigIntegerField(
        null=True, blank=True, help_text="priced by the load: thousandths of the unit in one, as stated"
    )
    bulk_density_kg_m3 = models.PositiveIntegerField(null=True, blank=True)
    freight = models.BigIntegerField(default=0)
    freight_basis = models.CharField(max_length=8, choices=Basis.choices, default=Basis.INCLUDED)
    loading = models.BigIntegerField(default=0)
    loading_basis = models.CharField(max_length=8, choices=Basis.choices, default=Basis.INCLUDED)
    tax_ppm = models.PositiveIntegerField(default=0, help_text="millionths of price, freight and loading")
    tax_included = models.BooleanField(default=False)
    tax_recoverable = models.BooleanField(default=False)
    minimum_thousandths = models.BigIntegerField(
        default=0, help_text="thousandths of a priced unit, least order"
    )
    lead_days = models.PositiveSmallIntegerField(help_text="working days from order to delivery")

    class Meta:
        ordering = ("quotation_id", "line__position")
        constraints = (
            models.UniqueConstraint(fields=("quotation", "line"), name="inventory_quotationline_line_once"),
            models.CheckConstraint(
                condition=Q(price__gte=0)
                & Q(freight__gte=0)
                & Q(loading__gte=0)
                & Q(minimum_thousandths__gte=0),
                name="inventory_quotationline_not_negative",
            ),
            models.CheckConstraint(
                condition=(Q(pack__isnull=False) & Q(unit="")) | (Q(pack__isnull=True) & ~Q(unit="")),
                name="inventory_quotationline_pack_or_unit",
            ),
            models.CheckConstraint(
                condition=Q(load_thousandths__isnull=True) | Q(load_thousandths__gt=0),
                name="inventory_quotationline_load_positive",
            ),
        )

    def __str__(self) -> str:
        return f"{self.quotation}: {self.line}"


class QuotationChoice(models.Model):
    """Which quotation was chosen for a line, and why; the last one of a line holds."""

    FIRM_ROAD = "quoted__quotation__enquiry__site__firm"
    SITE_ROAD = "quoted__quotation__enquiry__site"

    quoted = models.ForeignKey(QuotationLine, on_delete=models.PROTECT, related_name="choices")
    offer = models.ForeignKey(Offer, on_delete=models.PROTECT, related_name="choices")
    pack_price = models.BigIntegerField(help_text="1/10,000 minor unit, on site: what the offer took over")
    reason = models.CharField(max_length=200)
    chosen_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    chosen_at = models.DateTimeField()

    class Meta:
        ordering = ("-chosen_at", "-id")
        constraints = (
            models.CheckConstraint(
                condition=Q(pack_price__gte=0), name="inventory_quotationchoice_price_not_negative"
            ),
            models.CheckConstraint(condition=~Q(reason=""), name="inventory_quotationchoice_has_reason"),
        )

    def __str__(self) -> str:
        return str(self.quoted)
