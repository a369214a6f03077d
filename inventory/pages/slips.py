from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import phone, stores
from inventory.pages.slip_forms import IssueForm, OtherWorkForm, ReturnForm, SlipForm, WasteForm
from inventory.pages.stock_forms import ReasonForm
from inventory.queries import slips, stock
from inventory.services import usage
from inventory.services.usage import IssueAct, OtherWorkAct, ReturnAct, ReverseAct, WasteAct
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.queries import pours

TEMPLATE = "inventory/slip_form.html"


@doors.with_permission(Permission.MOVE_STOCK)
def issue(request: HttpRequest, pour_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    pour = pours.one(actor, pour_id=pour_id)
    site = pour.slab.site
    hand = stock.on_hand(actor, site_id=site.pk, today=timezone.localdate(), empty=True)

    def form(*args: Any, **kwargs: Any) -> SlipForm:
        made = IssueForm(*args, hand=_by_slip(hand), locale=actor.locale, choose_lot=True, **kwargs)
        made.title_block = {"site": site.name, "slab": pour.slab.name}
        return made

    def act(typed: dict[str, Any]) -> IssueAct:
        named = _named(typed, "happened_at", "sure_of_time", "lines", "given_to", "reason")
        return IssueAct(pour_id=pour.pk, **named)

    sheet = acting.Sheet(
        heading=_("Issue to %(slab)s, %(pour)s") % {"slab": pour.slab.name, "pour": pour.name},
        lead=_("From the store of %s. Fill in what was taken. Heaps are measured when the pour is closed.")
        % site.name,
        button=_("Issue to slab"),
        said=_("The issue is recorded."),
        back=reverse("inventory:store", args=[site.pk]),
        template=TEMPLATE,
    )
    writing = phone.Writing(act, _by(usage.issue, actor=actor), _slip)
    return phone.page(request, sheet=sheet, form=form, writing=writing)


@doors.with_permission(Permission.MOVE_STOCK)
def bring_back(request: HttpRequest, pour_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    pour = pours.one(actor, pour_id=pour_id)
    hand = stock.at_slab(actor, slab_id=pour.slab_id, today=timezone.localdate(), empty=True)

    def form(*args: Any, **kwargs: Any) -> SlipForm:
        made = ReturnForm(*args, hand=hand, locale=actor.locale, **kwargs)
        made.title_block = {"site": pour.slab.site.name, "slab": pour.slab.name}
        return made

    def act(typed: dict[str, Any]) -> ReturnAct:
        return ReturnAct(pour_id=pour.pk, **_named(typed, "happened_at", "sure_of_time", "lines", "given_to"))

    sheet = acting.Sheet(
        heading=_("Return from %(slab)s, %(pour)s") % {"slab": pour.slab.name, "pour": pour.name},
        lead=_("What comes back to the store of %s. Leave the rest empty.") % pour.slab.site.name,
        button=_("Record return"),
        said=_("The return is recorded; the store has it again."),
        back=reverse("inventory:store", args=[pour.slab.site_id]),
        template=TEMPLATE,
    )
    writing = phone.Writing(act, _by(usage.bring_back, actor=actor), _slip)
    return phone.page(request, sheet=sheet, form=form, writing=writing)


@doors.with_permission(Permission.MOVE_STOCK)
def issue_elsewhere(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    hand = stock.on_hand(actor, site_id=site_id, today=timezone.localdate(), empty=True)
    site = hand.site

    def form(*args: Any, **kwargs: Any) -> SlipForm:
        made = OtherWorkForm(*args, hand=hand, locale=actor.locale, choose_lot=True, **kwargs)
        made.title_block = {"site": site.name}
        return made

    def do(typed: dict[str, Any], **how: Any) -> Any:
        whole = _named(typed, "works", "happened_at", "sure_of_time", "lines", "given_to")
        return usage.issue_elsewhere(actor=actor, act=OtherWorkAct(site_id=site.pk, **whole), **how)

    sheet = acting.Sheet(
        heading=_("Issue to other works of %s") % site.name,
        lead=_("For plaster, blockwork and whatever is no slab. It is cost of the site, and of no slab."),
        button=_("Issue to other works"),
        said=_("The issue is recorded."),
        back=reverse("inventory:store", args=[site.pk]),
        template=TEMPLATE,
    )
    return acting.page(request, sheet=sheet, form=form, do=do, done=_slip)


@doors.with_permission(Permission.MOVE_STOCK)
def waste(request: HttpRequest, site_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    hand = stock.on_hand(actor, site_id=site_id, today=timezone.localdate(), empty=True)
    lead = _("Lost from the store of %s: fill in what, and say what happened.") % hand.site.name
    return _waste(request, hand=hand, pour=None, lead=lead)


@doors.with_permission(Permission.MOVE_STOCK)
def waste_of_pour(request: HttpRequest, pour_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    pour = pours.one(actor, pour_id=pour_id)
    hand = stock.at_slab(actor, slab_id=pour.slab_id, today=timezone.localdate(), empty=True)
    lead = _("Lost after it was issued to %s: fill in what, and say what happened.") % pour.slab.name
    return _waste(request, hand=hand, pour=pour, lead=lead)


def _waste(request: HttpRequest, *, hand: Any, pour: Any, lead: str) -> HttpResponse:
    actor = doors.actor_of(request)

    def form(*args: Any, **kwargs: Any) -> SlipForm:
        made = WasteForm(*args, hand=hand, locale=actor.locale, choose_lot=True, **kwargs)
        made.title_block = {"site": hand.site.name, "slab": pour.slab.name if pour else None}
        return made

    def act(typed: dict[str, Any]) -> WasteAct:
        whole = _named(typed, "reason", "happened_at", "sure_of_time", "lines")
        return WasteAct(site_id=hand.site.pk, pour_id=pour.pk if pour else None, **whole)

    sheet = acting.Sheet(
        heading=_("Record waste"),
        lead=lead,
        button=_("Record waste"),
        said=_("The waste is recorded with its cause."),
        back=reverse("inventory:store", args=[hand.site.pk]),
        template=TEMPLATE,
    )
    writing = phone.Writing(act, _by(usage.waste, actor=actor), _slip)
    return phone.page(request, sheet=sheet, form=form, writing=writing)


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    context = {
        "page": slips.slips(actor, after=request.GET.get("after", "")),
        "crumbs": stores.crumbs(),
        "title_block": {"document": _("Slips")},
    }
    return render(request, "inventory/slips.html", context)


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, slip_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = slips.slip(actor, slip_id=slip_id)
    slip = found.slip
    block = {
        "site": slip.site.name,
        "slab": slip.pour.slab.name if slip.pour else None,
        "document": slip.number,
    }
    context = {
        "sheet": found,
        "slip": slip,
        "may_reverse": actor.can(Permission.MOVE_STOCK) and slip.reversed_at is None,
        "crumbs": stores.crumbs(slip.site),
        "title_block": block,
    }
    return render(request, "inventory/slip.html", context)


@doors.with_permission(Permission.MOVE_STOCK)
def take_back(request: HttpRequest, slip_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    slip = slips.slip(actor, slip_id=slip_id).slip

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return usage.reverse(actor=actor, act=ReverseAct(slip_id=slip.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Take back %s") % slip.number,
        lead=_("Everything it moved goes back to where it was. Record the right slip afterwards."),
        button=_("Take the slip back"),
        said=_("The slip is taken back."),
        back=reverse("inventory:slip", args=[slip.pk]),
    )
    return acting.page(request, sheet=what, form=ReasonForm, do=do)


def _by(service: Callable[..., Any], *, actor: Actor) -> Callable[..., Any]:
    """Return the service as a form's act is done: its act, what was typed beside it, key and hour."""

    def do(act: Any, _typed: dict[str, Any], **how: Any) -> Any:
        return service(actor=actor, act=act, **how)

    return do


def _by_slip(hand: Any) -> Any:
    """Leave out what is not weighed out: heaps are measured when the pour is closed."""
    return replace(hand, rows=tuple(row for row in hand.rows if row.material.use_method == "slip"))


def _named(typed: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: typed[name] for name in names}


def _slip(slip: Any) -> str:
    return reverse("inventory:slip", args=[slip.pk])
