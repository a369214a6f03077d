"""What phones wrote without network: the list, an entry, posting it, giving it up."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from inventory.pages import receipt_papers, stores, units
from inventory.pages.stock_forms import Row, RowForm, when_field
from inventory.queries import offline as rows
from inventory.services import offline
from inventory.services.offline import CorrectedLine, GiveUpAct, PostAct
from projects.access.permissions import Permission
from projects.errors import NotFound, Refused
from projects.pages import acting, doors
from projects.pages.forms import ActForm

HEAD = ("key", "happened_at", "slip_reason", "same_note_answer", "reason")
"""What the form of a held entry gives beside its lines, under the names of the act."""

KINDS = {"posted": "enough", "held": "warning", "given_up": "none"}


class PostForm(RowForm):
    """A held entry as it was sent; what is changed here is a correction and asks why."""

    happened_at = when_field(gettext_lazy("Happened when, if not as the phone says"))
    slip_reason = forms.CharField(
        label=gettext_lazy("Reason on the slip"),
        max_length=150,
        required=False,
        help_text=gettext_lazy("A lot over age opens by its test, recorded on its page."),
    )
    same_note_answer = forms.CharField(
        label=gettext_lazy("Why the number of the note again, if it is another load"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("If it is the same load, give this entry up instead."),
    )
    reason = forms.CharField(
        label=gettext_lazy("Why it is corrected"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("Only when something above is changed. What the phone sent stays on record."),
    )

    def __init__(self, *args: Any, found: Any, locale: str, **kwargs: Any) -> None:
        self.found = found
        super().__init__(*args, locale=locale, **kwargs)
        del self.fields["slip_reason" if found.entry.kind == "receipt" else "same_note_answer"]
        for line in found.lines:
            unit = units.Unit(name=line.unit)
            box = units.figure(unit, label=line.material.name, initial=_thousandths(line.amount))
            box.help_text = _("Follows from the readings that were sent.") if line.measured else ""
            self.add_row(line.position, {"amount": box})
        self.settle(locale)

    @property
    def rows(self) -> list[Row]:
        """The lines for the template."""
        return [self.row(line.position, names=["amount"]) for line in self.found.lines]

    def lines(self) -> tuple[CorrectedLine, ...]:
        """Return the lines that were changed."""
        return tuple(
            CorrectedLine(position=line.position, amount=units.amount(self.value("amount", line.position)))
            for line in self.found.lines
            if self.value("amount", line.position) != _thousandths(line.amount)
        )

    def clean(self) -> dict[str, Any]:
        """Put the corrected lines beside what was typed of the entry as a whole."""
        typed = super().clean() or self.cleaned_data
        return self.with_lines({name: value for name, value in typed.items() if name in HEAD})

    def refuse(self, refused: Refused) -> None:
        """Show a refusal of what is posted; the line it names is one of the entry as it will be posted."""
        self.short = refused.code == "not_enough_stock"
        self.add_error(refused.field if refused.field in self.fields else None, refused.message)

    short = False


class GiveUpForm(ActForm):
    reason = forms.CharField(
        label=gettext_lazy("Why is it given up?"),
        max_length=200,
        help_text=gettext_lazy("It stays on record beside what the phone sent."),
    )


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    state = request.GET.get("state", "")
    page = rows.entries(actor, state=state if state in KINDS else "", after=request.GET.get("after", ""))
    context = {
        "page": page,
        "entries": [{"entry": row, "kind": KINDS[row.state]} for row in page.rows],
        "state": state if state in KINDS else "",
        "crumbs": stores.crumbs(),
        "title_block": {"document": _("Written offline")},
    }
    return render(request, "inventory/offline_entries.html", context)


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, entry_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = rows.entry(actor, entry_id=entry_id)
    entry = found.entry
    held = entry.state == "held"
    context = {
        "sheet": found,
        "entry": entry,
        "kind": KINDS[entry.state],
        "may_settle": held and actor.can(Permission.SETTLE_HELD),
        "may_count": held and actor.can(Permission.COUNT_STOCK),
        "crumbs": [*stores.crumbs(entry.site), _list_crumb()],
        "title_block": {"site": entry.site.name, "document": entry.number},
    }
    return render(request, "inventory/offline_entry.html", context)


@doors.signed_in
def photo(request: HttpRequest, entry_id: int) -> HttpResponse:
    """The photo of the note that came with an entry."""
    entry = rows.entry(doors.actor_of(request), entry_id=entry_id).entry
    if entry.photo is None:
        raise NotFound(_("No photo came with this entry."))
    return receipt_papers.shown(entry.photo, name=entry.number)


@doors.with_permission(Permission.SETTLE_HELD)
def post(request: HttpRequest, entry_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = rows.entry(actor, entry_id=entry_id)
    entry = found.entry

    def form(*args: Any, **kwargs: Any) -> PostForm:
        made = PostForm(*args, found=found, locale=actor.locale, **kwargs)
        made.title_block = {"site": entry.site.name, "document": entry.number}
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return offline.post(actor=actor, act=PostAct(entry_id=entry.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Post %s") % entry.number,
        lead=_("It is posted as of the time it happened. Change only what was written wrongly."),
        button=_("Post it"),
        said=_("The entry is posted."),
        back=_entry(entry),
        template="inventory/offline_post.html",
        more={"entry": entry},
    )
    return acting.page(request, sheet=what, form=form, do=do)


@doors.with_permission(Permission.SETTLE_HELD)
def give_up(request: HttpRequest, entry_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    entry = rows.entry(actor, entry_id=entry_id).entry

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return offline.give_up(actor=actor, act=GiveUpAct(entry_id=entry.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Give up %s") % entry.number,
        lead=_("Nothing moves. What the phone sent stays on record with your reason."),
        button=_("Give it up"),
        said=_("The entry is given up."),
        back=_entry(entry),
    )
    return acting.page(request, sheet=what, form=GiveUpForm, do=do)


def _thousandths(amount: Decimal) -> int:
    return int(amount * units.THOUSANDTHS)


def _entry(entry: Any) -> str:
    return reverse("inventory:offline_entry", args=[entry.pk])


def _list_crumb() -> dict[str, str]:
    return {"url": reverse("inventory:offline_entries"), "label": _("Written offline")}
