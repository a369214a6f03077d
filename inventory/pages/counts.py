from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import stores
from inventory.pages.slip_forms import CountForm, SendBackForm
from inventory.pages.stock_forms import ReasonForm
from inventory.queries import counts, stock
from inventory.services import count_approval
from inventory.services import counts as service
from inventory.services.count_approval import ApproveAct, EndAct
from inventory.services.counts import CloseAct, CountAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm
from projects.queries import pours

KINDS = {"posted": "enough", "waiting": "warning", "sent_back": "none", "reversed": "none"}
TEMPLATE = "inventory/count_form.html"


@doors.with_permission(Permission.COUNT_STOCK)
def new(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    site = stock.on_hand(actor, site_id=site_id, today=timezone.localdate()).site
    materials = counts.countable(actor, site_id=site_id)

    def form(*args: Any, **kwargs: Any) -> CountForm:
        made = CountForm(*args, materials=materials, locale=actor.locale, **kwargs)
        made.title_block = {"site": site.name, "document": _("Count")}
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        whole = {
            name: typed[name] for name in ("happened_at", "sure_of_time", "lines", "remark", "recounted")
        }
        return service.record(actor=actor, act=CountAct(site_id=site.pk, **whole), **how)

    sheet = acting.Sheet(
        heading=_("Count the store of %s") % site.name,
        lead=_("Count first, then write. The book's figures are shown only where yours differ."),
        button=_("Record count"),
        said=_("The count is recorded."),
        back=reverse("inventory:store", args=[site.pk]),
        template=TEMPLATE,
    )
    return acting.page(request, sheet=sheet, form=form, do=do, done=_count)


@doors.with_permission(Permission.LOG_POURS)
def close_pour(request: HttpRequest, pour_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    pour = pours.one(actor, pour_id=pour_id)
    heaps = [row.material for row in counts.heaps_of(pour, empty=True)]

    def form(*args: Any, **kwargs: Any) -> CountForm:
        made = CountForm(*args, materials=heaps, locale=actor.locale, **kwargs)
        made.title_block = {"site": pour.slab.site.name, "slab": pour.slab.name}
        made.fields["steel_reason"] = forms.CharField(
            label=_("Steel left over: why it stays"), max_length=200, required=False
        )
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        whole = {name: typed[name] for name in ("happened_at", "remark", "steel_reason")}
        act = CloseAct(pour_id=pour.pk, heaps=typed["lines"], **whole)
        return service.close_pour(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Close the pour of %s") % pour.slab.name,
        lead=_(
            "Record returns and waste first. Then measure what is left: what is missing went into the slab."
        )
        if heaps
        else _("Record returns and waste first: afterwards its account no longer changes."),
        button=_("Close the pour"),
        said=_("The pour is closed."),
        back=reverse("inventory:store", args=[pour.slab.site_id]),
        template=TEMPLATE,
    )
    return acting.page(request, sheet=sheet, form=form, do=do)


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    context = {
        "page": counts.counts(actor, only=request.GET.get("only", ""), after=request.GET.get("after", "")),
        "only": request.GET.get("only", ""),
        "crumbs": stores.crumbs(),
        "title_block": {"document": _("Counts")},
    }
    return render(request, "inventory/counts.html", context)


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, count_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = counts.count(actor, count_id=count_id)
    context = {
        "sheet": found,
        "count": found.count,
        "kind": KINDS[found.count.state],
        "store_id": found.store_id,
        "may_approve": found.count.state == "waiting" and actor.can(Permission.APPROVE_COUNTS),
        "may_reverse": found.count.state == "posted" and actor.can(Permission.APPROVE_COUNTS),
        "crumbs": stores.crumbs(found.count.site),
        "title_block": {"site": found.count.site.name, "document": found.count.number},
    }
    return render(request, "inventory/count.html", context)


@doors.with_permission(Permission.APPROVE_COUNTS)
def approve(request: HttpRequest, count_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    count = counts.count(actor, count_id=count_id).count

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return count_approval.approve(actor=actor, act=ApproveAct(count_id=count.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Approve %s") % count.number,
        lead=_("Its differences are posted as of the hour of the count."),
        button=_("Approve and post"),
        said=_("The count is approved and posted."),
        back=_count(count),
    )
    return acting.page(request, sheet=what, form=ActForm, do=do)


@doors.with_permission(Permission.APPROVE_COUNTS)
def send_back(request: HttpRequest, count_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    count = counts.count(actor, count_id=count_id).count

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return count_approval.send_back(actor=actor, act=EndAct(count_id=count.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Send %s back") % count.number,
        lead=_("Nothing moves; the store is counted again."),
        button=_("Send the count back"),
        said=_("The count is sent back."),
        back=_count(count),
    )
    return acting.page(request, sheet=what, form=SendBackForm, do=do)


@doors.with_permission(Permission.APPROVE_COUNTS)
def take_back(request: HttpRequest, count_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    count = counts.count(actor, count_id=count_id).count

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return count_approval.reverse(actor=actor, act=EndAct(count_id=count.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Take back %s") % count.number,
        lead=_("What it moved goes back to where it was, at its value. Count again afterwards."),
        button=_("Take the count back"),
        said=_("The count is taken back."),
        back=_count(count),
    )
    return acting.page(request, sheet=what, form=ReasonForm, do=do)


def _count(count: Any) -> str:
    return reverse("inventory:count", args=[count.pk])
