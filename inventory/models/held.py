from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from inventory.models.receipt import Receipt
from inventory.models.usage import StockSlip
from projects.models import Attachment, Firm, Person, Pour, Site


class OfflineEntry(models.Model):
    """An act written on a phone without network and sent afterwards: posted, or held until it fits.

    What happened is never refused. `act` is kept as it was sent; a held entry says why it does not fit.
    """

    FIRM_ROAD = "site__firm"
    SITE_ROAD = "site"

    class State(models.TextChoices):
        POSTED = "posted", _("posted")
        HELD = "held", _("held")
        GIVEN_UP = "given_up", _("given up")

    class Kind(models.TextChoices):
        ISSUE = "issue", _("issue")
        RETURN = "return", _("return")
        WASTE = "waste", _("waste")
        RECEIPT = "receipt", _("receipt")

    firm = models.ForeignKey(Firm, on_delete=models.PROTECT, related_name="+")
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="offline_entries")
    pour = models.ForeignKey(Pour, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    kind = models.CharField(max_length=8, choices=Kind.choices)
    number = models.CharField(max_length=30)
    act = models.JSONField(help_text="as it was sent")
    act_key = models.CharField(max_length=120, help_text="the phone's key: under it the act is posted once")
    state = models.CharField(max_length=8, choices=State.choices)
    code = models.CharField(max_length=40, blank=True, help_text="why it is held")
    message = models.TextField(blank=True)
    shortfall = models.JSONField(default=dict, help_text="the figures behind the message")
    slip = models.OneToOneField(
        StockSlip, on_delete=models.PROTECT, null=True, blank=True, related_name="offline_entry"
    )
    receipt = models.OneToOneField(
        Receipt, on_delete=models.PROTECT, null=True, blank=True, related_name="offline_entry"
    )
    photo = models.ForeignKey(
        Attachment, on_delete=models.PROTECT, null=True, blank=True, related_name="+", help_text="of the note"
    )
    happened_at = models.DateTimeField(help_text="by the phone's clock")
    recorded_at = models.DateTimeField(help_text="when it was received")
    recorded_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, related_name="+")
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_by = models.ForeignKey(Person, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.CharField(max_length=200, blank=True, help_text="why it was corrected or given up")

    class Meta:
        ordering = ("-recorded_at", "-id")
        constraints = (
            models.UniqueConstraint(fields=("firm", "number"), name="inventory_offline_number_once"),
            models.UniqueConstraint(fields=("firm", "act_key"), name="inventory_offline_key_once"),
            models.CheckConstraint(
                condition=Q(state="posted", kind="receipt", slip=None, receipt__isnull=False)
                | (~Q(kind="receipt") & Q(state="posted", slip__isnull=False, receipt=None))
                | (~Q(state="posted") & Q(slip=None, receipt=None)),
                name="inventory_offline_posted_has_result",
            ),
            models.CheckConstraint(
                condition=~Q(state="held") | ~Q(code=""), name="inventory_offline_held_says_why"
            ),
            models.CheckConstraint(
                condition=~Q(state="given_up") | ~Q(reason=""), name="inventory_offline_given_up_says_why"
            ),
        )

    def __str__(self) -> str:
        return self.number
