from django.db import models
from django.utils.translation import gettext_lazy as _

from inventory.models.receipt import Receipt
from projects.models import Attachment


class ReceiptPaper(models.Model):
    """A photo or paper that belongs to a receipt, and what it shows."""

    FIRM_ROAD = "receipt__site__firm"
    SITE_ROAD = "receipt__site"

    class Shows(models.TextChoices):
        NOTE = "note", _("delivery note")
        GOODS = "goods", _("the goods")
        CERTIFICATE = "certificate", _("certificate")
        WEIGHING = "weighing", _("weighbridge slip")

    receipt = models.ForeignKey(Receipt, on_delete=models.PROTECT, related_name="papers")
    attachment = models.OneToOneField(Attachment, on_delete=models.PROTECT, related_name="+")
    shows = models.CharField(max_length=12, choices=Shows.choices)

    class Meta:
        ordering = ("receipt_id", "id")

    def __str__(self) -> str:
        return f"{self.receipt}, {self.get_shows_display()}"
