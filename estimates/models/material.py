from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from projects.models import Firm


class StockUnit(models.TextChoices):
    """The smallest unit in which a material is kept; quantities at rest are integers of it."""

    GRAM = "g", _("gram")
    MILLIMETRE = "mm", _("millimetre")
    CUBIC_CENTIMETRE = "cm3", _("cubic centimetre")
    SQUARE_CENTIMETRE = "cm2", _("square centimetre")
    PIECE = "piece", _("piece")
    DAY = "mday", _("thousandth of a day")


class UseMethod(models.TextChoices):
    """How use is known: by a slip when it is taken, or by measuring what is left."""

    SLIP = "slip", _("by slip")
    COUNT = "count", _("by count")


class Material(models.Model):
    """What a firm buys and keeps, under a short code that bill lines use."""

    FIRM_ROAD = "firm"

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="materials")
    code = models.CharField(max_length=40)
    name = models.CharField(max_length=120)
    stock_unit = models.CharField(max_length=6, choices=StockUnit.choices)
    show_unit = models.CharField(max_length=4, help_text="kg, m, m³, L, m², no. or day.")
    show_factor = models.BigIntegerField(help_text="stock units in one shown unit")
    use_method = models.CharField(max_length=6, choices=UseMethod.choices, default=UseMethod.SLIP)
    stocked = models.BooleanField(default=True)
    shelf_days = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="days from make after which a test is asked for"
    )
    warn_days = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="days from make at which it is to be used first"
    )
    size_mm = models.PositiveSmallIntegerField(null=True, blank=True, help_text="bar size")
    grade = models.CharField(max_length=20, blank=True)
    nominal_mg_per_mm = models.BigIntegerField(
        null=True, blank=True, help_text="steel: nominal mass of the size, g/m"
    )
    mass_source = models.CharField(max_length=120, blank=True)
    lead_days = models.PositiveSmallIntegerField(
        default=1, help_text="working days before the pour by which it must be on site"
    )

    class Meta:
        ordering = ("code", "id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "code"), name="estimates_material_code_once"),
            models.CheckConstraint(
                condition=Q(stock_unit__in=StockUnit.values), name="estimates_material_unit_known"
            ),
            models.CheckConstraint(condition=Q(show_factor__gt=0), name="estimates_material_factor_positive"),
            models.CheckConstraint(
                # An unknown mass must be named: SQL lets a row pass whose check is neither true nor false.
                condition=~Q(stock_unit="mm") | Q(nominal_mg_per_mm__isnull=False, nominal_mg_per_mm__gt=0),
                name="estimates_material_steel_has_mass",
            ),
        )

    def __str__(self) -> str:
        return self.name


class Pack(models.Model):
    """A pack in which a material is bought: a bag of 50 kg, a bar of 12 m, a truck load, a tonne of bars.

    A pack with `mass_g` is priced and settled by mass although the material is kept by length; its content
    is then what that mass is long at the nominal mass per metre.
    """

    FIRM_ROAD = "material__firm"

    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="packs")
    name = models.CharField(max_length=60)
    content = models.BigIntegerField(help_text="stock units in one pack")
    mass_g = models.BigIntegerField(null=True, blank=True, help_text="steel sold by mass: grams in one pack")
    source = models.CharField(max_length=200)

    class Meta:
        ordering = ("material_id", "-content", "id")
        constraints = (
            models.UniqueConstraint(fields=("material", "name"), name="estimates_pack_name_once"),
            models.CheckConstraint(condition=Q(content__gt=0), name="estimates_pack_content_positive"),
            models.CheckConstraint(
                condition=Q(mass_g__isnull=True) | Q(mass_g__gt=0), name="estimates_pack_mass_positive"
            ),
        )

    def __str__(self) -> str:
        return self.name
