from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from inventory.documents import enquiry as paper
from inventory.pages import enquiry_forms, order_forms, papers, quoted_words, showing
from inventory.pages.suppliers import require_reader
from inventory.queries import enquiries as rows
from inventory.queries import suppliers as supplier_rows
from inventory.services import enquiries, quotations
from inventory.services.enquiries import EnquiryAct, EnquiryStep
from inventory.services.quotations import ChoiceAct, QuotationAct
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import acting, doors


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = require_reader(request)
    typed = request.GET.get("start", "0")
    start = int(typed) if typed.isdecimal() and len(typed) < 9 else 0
    found = list(rows.listing(actor, start=start, count=rows.PAGE + 1))
    address = f"{reverse('inventory:enquiries')}?start="
    context = {
        "enquiries": [{"row": row, "state": _state(row)} for row in found[: rows.PAGE]],
        "earlier": f"{address}{max(start - rows.PAGE, 0)}" if start else "",
        "later": f"{address}{start + rows.PAGE}" if len(found) > rows.PAGE else "",
        "may_write": actor.can(Permission.PLAN_ORDERS),
        "crumbs": [{"url": reverse("inventory:orders"), "label": _("Orders")}],
        "title_block": {"document": _("Enquiries")},
    }
    return render(request, "inventory/enquiries.html", context)


@doors.signed_in
@require_safe
def one(request: HttpRequest, enquiry_id: int) -> HttpResponse:
    return _page(request, enquiry_id=enquiry_id)


@doors.with_permission(Permission.PLAN_ORDERS)
def new(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    today = timezone.localdate()
    materials = rows.materials(actor)

    def form(*args: Any, **kwargs: Any) -> Any:
        filled = enquiry_forms.EnquiryForm(*args, materials=materials, locale=actor.locale, **kwargs)
        sites = [(site.pk, site.name) for site in supplier_rows.sites(actor)]
        sellers = [(one.pk, one.name) for one in supplier_rows.to_choose(actor, on=today)]
        acting.offer(filled, field="site_id", choices=sites)
        acting.offer(filled, field="supplier_ids", choices=sellers)
        return filled

    def do(typed: dict[str, Any], **how: Any) -> Any:
        names = ("site_id", "needed_date", "answer_date", "remark", "lines")
        chosen = {name: typed[name] for name in names}
        act = EnquiryAct(supplier_ids=tuple(typed["supplier_ids"]), **chosen)
        return enquiries.write(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Write an enquiry"),
        lead=_("The same question to several suppliers, so that their answers can be set side by side."),
        button=_("Save the enquiry"),
        said=_("The enquiry is saved. Send it next, or print it."),
        back=reverse("inventory:enquiries"),
        template="inventory/enquiry_new.html",
    )
    return acting.page(request, sheet=sheet, form=form, do=do, initial={}, done=_address)


@doors.with_permission(Permission.PLAN_ORDERS)
@require_POST
def send(request: HttpRequest, enquiry_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    form = order_forms.KeyForm(request.POST)
    if not form.is_valid():
        said = Refused(_("Reload the page and try again."))
        return _page(request, enquiry_id=enquiry_id, refused=said)
    act = EnquiryStep(enquiry_id=enquiry_id)
    try:
        row = enquiries.send(actor=actor, act=act, key=str(form.cleaned_data["key"]), now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        return _page(request, enquiry_id=enquiry_id, refused=refused)
    messages.success(request, _("The mails leave in a moment. Print the enquiry for who has no address."))
    return redirect(_address(row))


@doors.with_permission(Permission.PLAN_ORDERS)
def end(request: HttpRequest, enquiry_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = rows.one(actor, enquiry_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = EnquiryStep(enquiry_id=row.pk, reason=typed["reason"])
        return enquiries.end(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("End %(number)s") % {"number": row.number},
        lead=_("No quotation is added to it any more, and none is chosen."),
        button=_("End the enquiry"),
        said=_("The enquiry is ended."),
        back=_address(row),
    )
    return acting.page(request, sheet=sheet, form=order_forms.ReasonForm, do=do)


@doors.with_permission(Permission.PLAN_ORDERS)
def quotation(request: HttpRequest, enquiry_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = rows.one(actor, enquiry_id)
    sellers = [(one.pk, one.name) for one in supplier_rows.to_choose(actor, on=timezone.localdate())]
    to = enquiry_forms.ToQuote(lines=rows.lines(actor, row), suppliers=sellers, currency=actor.currency)

    def form(*args: Any, **kwargs: Any) -> Any:
        return enquiry_forms.QuotationForm(*args, to=to, locale=actor.locale, **kwargs)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        names = ("supplier_id", "dated", "valid_until", "credit_days", "reference", "remark", "lines")
        act = QuotationAct(enquiry_id=row.pk, **{name: typed[name] for name in names})
        return quotations.record(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("A quotation for %(number)s") % {"number": row.number},
        lead=_("As they quote it, after any discount. What they did not quote stays empty."),
        button=_("Save the quotation"),
        said=_("The quotation is saved."),
        back=_address(row),
        template="inventory/quotation_new.html",
    )
    initial = {"dated": timezone.localdate(), "supplier_id": request.GET.get("supplier", "")}
    return acting.page(request, sheet=sheet, form=form, do=do, initial=initial)


@doors.with_permission(Permission.EDIT_SUPPLIERS)
def choose(request: HttpRequest, quoted_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = rows.quoted(actor, quoted_id)
    enquiry, material = row.quotation.enquiry, row.line.material

    def form(*args: Any, **kwargs: Any) -> Any:
        filled = enquiry_forms.ChoiceForm(*args, **kwargs)
        packs = [(pack.pk, pack.name) for pack in material.packs.all()]
        acting.offer(filled, field="pack_id", choices=[("", _("what was quoted")), *packs])
        return filled

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return quotations.choose(actor=actor, act=ChoiceAct(quoted_id=row.pk, **typed), **how)

    sheet = acting.Sheet(
        heading=_("Choose %(name)s") % {"name": row.quotation.supplier.name},
        lead=_("%(material)s: what it costs on site becomes their offer from today, and the plan buys by it.")
        % {"material": material.name},
        button=_("Choose this quotation"),
        said=_("The quotation is chosen; the plan is being worked out again."),
        back=_address(enquiry),
    )
    return acting.page(request, sheet=sheet, form=form, do=do)


@doors.signed_in
@require_safe
def letter(request: HttpRequest, asked_id: int) -> HttpResponse:
    """The enquiry as one supplier gets it, as PDF."""
    actor = require_reader(request)
    found = rows.letter(actor, asked_id=asked_id)
    content = paper.pdf(actor, letter=found, at=timezone.now())
    return papers.file(f"{found.enquiry.number}.pdf", content=content)


def _page(request: HttpRequest, *, enquiry_id: int, refused: Refused | None = None) -> HttpResponse:
    actor = require_reader(request)
    row = rows.one(actor, enquiry_id)
    plans = actor.can(Permission.PLAN_ORDERS) and row.ended_at is None
    context = {
        "enquiry": row,
        "state": _state(row),
        "lines": [
            {
                "line": line,
                "shown": showing.material(line.row.material),
                "quoted": [{"one": one, "says": _said(one.row, actor=actor)} for one in line.quoted],
            }
            for line in rows.compared(actor, row, today=timezone.localdate())
        ],
        "asked": rows.asked(actor, row),
        "may_write": plans,
        "may_choose": actor.can(Permission.EDIT_SUPPLIERS) and row.ended_at is None,
        "form": order_forms.KeyForm(),
        "refused": refused,
        "money": actor.can(Permission.SEE_MONEY),
        "crumbs": [
            {"url": reverse("inventory:orders"), "label": _("Orders")},
            {"url": reverse("inventory:enquiries"), "label": _("Enquiries")},
        ],
        "title_block": {"site": row.site.name, "document": row.number},
    }
    return render(request, "inventory/enquiry.html", context, status=refused.status if refused else 200)


def _state(row: Any) -> dict[str, str]:
    """Say how far an enquiry is, in words and by its mark."""
    if row.ended_at is not None:
        return {"kind": "none", "words": _("ended")}
    if row.sent_at is not None:
        return {"kind": "enough", "words": _("sent")}
    return {"kind": "warning", "words": _("not sent yet")}


def _said(row: Any, *, actor: Any) -> quoted_words.Said:
    return quoted_words.said(row, currency=actor.currency, locale=actor.locale)


def _address(row: Any) -> str:
    return reverse("inventory:enquiry", args=[row.pk])
