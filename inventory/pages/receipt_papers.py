"""Photos and papers of a delivery on its page: sent from a phone, and shown to who may see the receipt."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from inventory.queries import deliveries, papers
from inventory.services import papers as service
from inventory.services.papers import PapersAct, SentFile
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.pages import acting, doors
from projects.pages.forms import ActForm
from projects.queries import attachments
from projects.services import photos

SHOWS = (
    ("note", gettext_lazy("the delivery note")),
    ("goods", gettext_lazy("the goods")),
    ("certificate", gettext_lazy("the certificate")),
    ("weighing", gettext_lazy("the weighbridge slip")),
)
NOTHING_ELSE = "default-src 'none'; img-src 'self'; sandbox"
"""Policy of a file that somebody sent: it may do nothing in a browser but be shown."""


def photo_field(**options: Any) -> forms.FileField:
    """Make a box that opens the camera of a phone."""
    # Without `capture`, so that a phone offers the camera and the pictures taken before.
    return forms.FileField(widget=forms.FileInput(attrs={"accept": "image/*"}), **options)


def sent(file: Any) -> SentFile | None:
    """Return what was sent in a box; one over the limit is not taken into memory beyond it."""
    return SentFile(str(file.name or ""), file.read(photos.MOST_BYTES + 1)) if file else None


class PaperForm(ActForm):
    """A photo or paper, and what it shows."""

    shows = forms.ChoiceField(label=gettext_lazy("It shows"), choices=SHOWS)
    file = forms.FileField(
        label=gettext_lazy("Photo or PDF"),
        max_length=200,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": "image/*,application/pdf"}),
        help_text=gettext_lazy("A phone offers its camera. At most 12 MB; place and device are taken out."),
    )

    def refuse(self, refused: Refused) -> None:
        """Show what is wrong with the file at its box."""
        refused.field = {"files": "file"}.get(str(refused.field), refused.field)
        super().refuse(refused)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def attach(request: HttpRequest, receipt_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    receipt = deliveries.receipt(actor, receipt_id=receipt_id).receipt

    def do(typed: dict[str, Any], **how: Any) -> Any:
        file = sent(typed["file"])
        act = PapersAct(receipt_id=receipt.pk, shows=typed["shows"], files=(file,) if file else ())
        return service.attach(actor=actor, act=act, **how)

    what = acting.Sheet(
        heading=_("Photo or paper for %s") % receipt.number,
        lead=_("The note, the goods, the certificate or the weighbridge slip, now or later."),
        button=_("Send it"),
        said=_("It is kept with the receipt."),
        back=reverse("inventory:receipt", args=[receipt.pk]),
    )
    return acting.page(
        request, sheet=what, form=PaperForm, do=do, initial={"shows": request.GET.get("shows")}
    )


@doors.signed_in
@require_safe
def one(request: HttpRequest, paper_id: int) -> HttpResponse:
    """A photo to look at, a PDF to keep: of what people send, a browser opens nothing but pictures."""
    found = papers.one(doors.actor_of(request), paper_id=paper_id).attachment
    return shown(found, name=f"receipt-{paper_id}")


def shown(found: Any, *, name: str) -> HttpResponse:
    """Answer with a file that somebody sent, so that a browser does nothing with it but show or keep it."""
    answer = HttpResponse(attachments.content(found), content_type=found.content_type)
    ending = "pdf" if found.kind == "paper" else "jpg"
    how = "attachment" if found.kind == "paper" else "inline"
    answer["Content-Disposition"] = f'{how}; filename="{name}.{ending}"'
    answer["Content-Security-Policy"] = NOTHING_ELSE
    answer["X-Content-Type-Options"] = "nosniff"
    return answer
