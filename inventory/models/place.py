from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from estimates.models import Material
from projects.models import Firm, Site, Slab


class Place(models.Model):
    """Where material can be: every movement leaves one place for another."""

    FIRM_ROAD = "firm"
    SITE_ROAD = "site"
    SITE_MAY_BE_EMPTY = True

    class Kind(models.TextChoices):
        SUPPLIER = "supplier", _("supplier")
        OPENING = "opening", _("opening")
        STORE = "store", _("store")
        QUARANTINE = "quarantine", _("quarantine")
        IN_TRANSIT = "in_transit", _("in transit")
        BENCH = "bench", _("bench")
        SLAB = "slab", _("slab")
        OTHER_WORK = "other_work", _("other work")
        WASTE = "waste", _("waste")
        SOLD = "sold", _("sold")
        COUNT = "count", _("count difference")

    GUARDED = (Kind.STORE, Kind.QUARANTINE, Kind.IN_TRANSIT, Kind.BENCH, Kind.SLAB)
    """Kinds that never hold less than nothing."""

    YARD = (Kind.STORE, Kind.BENCH)
    """Kinds whose stock a site still has to use: bars cut at the bench are not fixed yet."""

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="places")
    kind = models.CharField(max_length=12, choices=Kind.choices)
    site = models.ForeignKey(Site, on_delete=models.PROTECT, null=True, blank=True, related_name="places")
    slab = models.ForeignKey(Slab, on_delete=models.PROTECT, null=True, blank=True, related_name="places")

    class Meta:
        constraints = (
            # Three constraints instead of one, because SQLite holds two empty columns for different.
            models.UniqueConstraint(
                fields=("firm", "kind"),
                condition=Q(site__isnull=True, slab__isnull=True),
                name="inventory_place_of_firm_once",
            ),
            models.UniqueConstraint(
                fields=("site", "kind"), condition=Q(slab__isnull=True), name="inventory_place_of_site_once"
            ),
            models.UniqueConstraint(fields=("slab", "kind"), name="inventory_place_of_slab_once"),
            models.CheckConstraint(
                condition=~Q(kind="slab") | Q(slab__isnull=False), name="inventory_place_slab_named"
            ),
            models.CheckConstraint(
                condition=~Q(kind="store") | Q(site__isnull=False), name="inventory_place_store_has_site"
            ),
        )

    def __str__(self) -> str:
        if self.kind == self.Kind.SLAB:
            return str(self.slab)
        label = str(self.get_kind_display())
        return f"{label}, {self.site}" if self.site else label


class Stock(models.Model):
    """The balance of a material at a place: quantity and value, kept with every movement.

    Derived from the ledger and rebuilt from it by a command; pages read this, audits read movements.
    """

    FIRM_ROAD = "place__firm"
    SITE_ROAD = "place__site"
    SITE_MAY_BE_EMPTY = True

    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="stock")
    material = models.ForeignKey(Material, on_delete=models.PROTECT, related_name="stock")
    quantity = models.BigIntegerField(default=0)
    value_minor = models.BigIntegerField(default=0)

    class Meta:
        ordering = ("place_id", "material_id")
        constraints = (models.UniqueConstraint(fields=("place", "material"), name="inventory_stock_once"),)

    def __str__(self) -> str:
        return f"{self.material} at {self.place}"


class LotStock(models.Model):
    """The balance of a lot at a place: quantity only, since value is one pool per place and material."""

    FIRM_ROAD = "place__firm"
    SITE_ROAD = "place__site"
    SITE_MAY_BE_EMPTY = True

    place = models.ForeignKey(Place, on_delete=models.PROTECT, related_name="lot_stock")
    lot = models.ForeignKey("inventory.Lot", on_delete=models.PROTECT, related_name="stock")
    quantity = models.BigIntegerField(default=0)

    class Meta:
        ordering = ("place_id", "lot_id")
        constraints = (models.UniqueConstraint(fields=("place", "lot"), name="inventory_lotstock_once"),)

    def __str__(self) -> str:
        return f"{self.lot} at {self.place}"
