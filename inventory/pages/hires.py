"""The register of things on hire: what is out at a site, what is late, and what it costs."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from inventory.documents import hire_list
from inventory.pages import showing, stores
from inventory.pages.hire_forms import BASES, DueForm, HireEndForm, HireForm, TermsForm
from inventory.pages.stock_forms import ReasonForm
from inventory.queries import deliveries, hires
from inventory.services import hire as service
from inventory.services.hire import (
    HireAct,
    HireBackAct,
    HireDueAct,
    HireEndAct,
    HireEndBackAct,
    HireTermsAct,
)
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.queries import pours

MOST_LISTED = 10_000
FILTERS = {
    "out": gettext_lazy("still out"),
    "late": gettext_lazy("late"),
    "ended": gettext_lazy("ended"),
    "": gettext_lazy("all"),
}


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    state, start = _state(request), _start(request)
    site_id = request.GET.get("site", "")
    site = hires.site(actor, site_id=int(site_id)) if _number(site_id) else None
    wanted = hires.Wanted(site_id=site.pk if site else None, state=state, start=start, count=hires.PAGE + 1)
    found = hires.listing(actor, wanted=wanted, today=timezone.localdate())
    asked = f"site={site.pk}&" if site else ""
    address = f"{reverse('inventory:hires')}?{asked}state="
    context = {
        "rows": [_shown(row) for row in found[: hires.PAGE]],
        "site": site,
        "money": actor.can(Permission.SEE_MONEY),
        "may": actor.can(Permission.RECORD_RECEIPTS),
        "filters": [
            {"address": f"{address}{value or 'all'}", "label": label, "current": value == state}
            for value, label in FILTERS.items()
        ],
        "csv": f"{reverse('inventory:hires_csv')}?{asked}state={state or 'all'}",
        "earlier": f"{address}{state or 'all'}&start={max(start - hires.PAGE, 0)}" if start else "",
        "later": f"{address}{state or 'all'}&start={start + hires.PAGE}" if len(found) > hires.PAGE else "",
        "crumbs": stores.crumbs(site),
        "title_block": {"site": site.name if site else None, "document": _("On hire")},
    }
    return render(request, "inventory/hires.html", context)


@doors.signed_in
@require_safe
def table(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    site_id = request.GET.get("site", "")
    wanted = hires.Wanted(
        site_id=int(site_id) if _number(site_id) else None, state=_state(request), count=MOST_LISTED
    )
    content = hire_list.csv(actor, wanted=wanted, today=timezone.localdate())
    answer = HttpResponse(content, content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{hire_list.NAME}"'
    return answer


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, hire_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = hires.one(actor, hire_id=hire_id, today=timezone.localdate())
    hire = row.hire
    going = hire.reversed_at is None
    context = {
        "one": _shown(row),
        "row": row,
        "hire": hire,
        "money": actor.can(Permission.SEE_MONEY),
        "may": going and actor.can(Permission.RECORD_RECEIPTS),
        "price_minor": None if hire.rate is None else showing.minor(hire.rate),
        "basis": dict(BASES)[hire.basis],
        "may_agree": going and actor.can(Permission.SET_RATES),
        "crumbs": [*stores.crumbs(hire.site), _back(hire.site_id)],
        "title_block": {
            "site": hire.site.name,
            "slab": hire.slab.name if hire.slab else None,
            "document": hire.number,
        },
    }
    return render(request, "inventory/hire.html", context)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def new(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    site, today = hires.site(actor, site_id=site_id), timezone.localdate()
    kinds = [(row.pk, row.name) for row in hires.kinds(actor)]
    sellers = [(row.pk, row.name) for row in deliveries.suppliers(actor, today=today)]
    served = _served(actor, site_id=site.pk)

    form = acting.offering(
        HireForm,
        offers={
            "material_id": kinds,
            "supplier_id": [("", _("choose")), *sellers],
            "serves": [("", _("the site, no slab alone")), *served],
        },
        locale=actor.locale,
    )

    def do(typed: dict[str, Any], **how: Any) -> Any:
        kind, _sign, pk = typed.pop("serves").partition(":")
        served: dict[str, Any] = {f"{kind}_id": int(pk)} if kind else {}
        return service.take_on(actor=actor, act=HireAct(site_id=site.pk, **served, **typed), **how)

    lead = _("Count it when it comes: the days of hire run from here until it goes back.")
    missing = _("No kind of thing is hired yet. The office adds them on the page of materials.")
    what = acting.Sheet(
        heading=_("Came on hire to %s") % site.name,
        lead=lead if kinds else missing,
        button=_("Record the hire"),
        said=_("The hire is recorded. The office agrees its price."),
        back=_back(site.pk)["url"],
    )
    return acting.page(request, sheet=what, form=form, do=do, done=_page_of, initial={"out_date": today})


@doors.with_permission(Permission.SET_RATES)
def terms(request: HttpRequest, hire_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    hire = hires.one(actor, hire_id=hire_id, today=timezone.localdate()).hire

    def form(*args: Any, **kwargs: Any) -> TermsForm:
        return TermsForm(*args, currency=actor.currency, locale=actor.locale, **kwargs)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return service.agree(actor=actor, act=HireTermsAct(hire_id=hire.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Price of %s") % hire.number,
        lead=_("%(pieces)s × %(what)s from %(supplier)s. All its days are priced by this.")
        % {"pieces": hire.pieces, "what": hire.what, "supplier": hire.supplier.name},
        button=_("Set the price"),
        said=_("The price is set."),
        back=_page_of(hire),
    )
    names = ("rate", "basis", "day_count", "minimum_days", "lost_price_minor")
    initial = {name: getattr(hire, name) for name in names}
    return acting.page(request, sheet=what, form=form, do=do, initial=initial)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def end(request: HttpRequest, hire_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    today = timezone.localdate()
    row = hires.one(actor, hire_id=hire_id, today=today)
    currency = actor.currency if actor.can(Permission.SEE_MONEY) else None

    def form(*args: Any, **kwargs: Any) -> HireEndForm:
        return HireEndForm(*args, currency=currency, locale=actor.locale, **kwargs)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return service.end(actor=actor, act=HireEndAct(hire_id=row.hire.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Back, damaged or lost: %s") % row.hire.number,
        lead=_("%(what)s: %(left)s of %(pieces)s are still out.")
        % {"what": row.hire.what, "left": row.standing.still_out, "pieces": row.hire.pieces},
        button=_("Record it"),
        said=_("It is recorded; the days of these pieces end here."),
        back=_page_of(row.hire),
    )
    initial = {"kind": "back", "pieces": row.standing.still_out or None, "day": today}
    return acting.page(request, sheet=what, form=form, do=do, initial=initial)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def due(request: HttpRequest, hire_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    hire = hires.one(actor, hire_id=hire_id, today=timezone.localdate()).hire

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return service.put_off(actor=actor, act=HireDueAct(hire_id=hire.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Return of %s") % hire.number,
        lead=_("Props and forms stay until the engineer lets them be struck; plan the return after that."),
        button=_("Plan the return"),
        said=_("The return is planned."),
        back=_page_of(hire),
    )
    return acting.page(request, sheet=what, form=DueForm, do=do, initial={"due_date": hire.due_date})


@doors.with_permission(Permission.RECORD_RECEIPTS)
def take_back(request: HttpRequest, hire_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    hire = hires.one(actor, hire_id=hire_id, today=timezone.localdate()).hire

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return service.take_back(actor=actor, act=HireBackAct(hire_id=hire.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Take back %s") % hire.number,
        lead=_("Only when it was written wrongly: it stays on record and costs nothing."),
        button=_("Take the entry back"),
        said=_("The entry is taken back."),
        back=_page_of(hire),
    )
    return acting.page(request, sheet=what, form=ReasonForm, do=do)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def take_back_end(request: HttpRequest, end_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = hires.end(actor, end_id=end_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return service.take_back_end(actor=actor, act=HireEndBackAct(end_id=row.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Take back an entry of %s") % row.hire.number,
        lead=_("%(pieces)s, %(kind)s on %(day)s: they are out again.")
        % {"pieces": row.pieces, "kind": row.get_kind_display(), "day": row.day.isoformat()},
        button=_("Take the entry back"),
        said=_("The entry is taken back."),
        back=_page_of(row.hire),
    )
    return acting.page(request, sheet=what, form=ReasonForm, do=do)


def _shown(row: Any) -> dict[str, Any]:
    """Say in words how a hire stands, with its mark."""
    standing = row.standing
    if row.hire.reversed_at is not None:
        kind, words = "none", _("taken back")
    elif standing.late_days:
        kind, words = "stop", showing.late(standing.late_days)
    elif standing.still_out:
        kind, words = "warning", _("out")
    else:
        kind, words = "enough", _("ended")
    for pieces, said in ((row.lost, _("%s lost")), (row.damaged, _("%s damaged"))):
        words = f"{words}, {said % pieces}" if pieces else words
    return {"row": row, "hire": row.hire, "standing": standing, "kind": kind, "words": words}


def _served(actor: Any, *, site_id: int) -> list[tuple[str, str]]:
    """Offer the pours that are not closed, and every slab of the site by itself."""
    found = [
        (f"pour:{pour.pk}", f"{pour.slab.name}, {pour.name}")
        for pour in pours.open_ones(actor, site_id=site_id)
    ]
    slabs = [
        (f"slab:{row.pk}", _("%s, whole slab") % row.name) for row in pours.slabs(actor, site_id=site_id)
    ]
    return [*found, *slabs]


def _state(request: HttpRequest) -> str:
    asked = request.GET.get("state", "out")
    return asked if asked in hires.STATES else ""


def _start(request: HttpRequest) -> int:
    typed = request.GET.get("start", "")
    return int(typed) if _number(typed) else 0


def _number(typed: str) -> bool:
    return typed.isdecimal() and len(typed) < 10


def _back(site_id: int) -> dict[str, str]:
    return {"url": f"{reverse('inventory:hires')}?site={site_id}", "label": _("On hire")}


def _page_of(hire: Any) -> str:
    return reverse("inventory:hire", args=[hire.pk])
