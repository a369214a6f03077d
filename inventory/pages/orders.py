from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from inventory.documents import order as paper
from inventory.documents import ubl
from inventory.pages import order_forms, papers, showing
from inventory.queries import orders as rows
from inventory.queries import storage
from inventory.services import orders
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import acting, doors

GROUPS = {
    "open": ("approved", "sent", "part"),
    "draft": ("draft",),
    "ended": ("closed", "cancelled"),
}


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    chosen = request.GET.get("state", "")
    start = _start(request)
    today = timezone.localdate()
    late_on = today if chosen == "late" else None
    wanted = rows.Wanted(states=GROUPS.get(chosen, ()), late_on=late_on, start=start, count=rows.PAGE + 1)
    found = list(rows.listing(actor, wanted=wanted))
    address = f"{reverse('inventory:orders')}?state={chosen}&start="
    context = {
        "orders": [_listed(order, today=today) for order in found[: rows.PAGE]],
        "earlier": f"{address}{max(start - rows.PAGE, 0)}" if start else "",
        "later": f"{address}{start + rows.PAGE}" if len(found) > rows.PAGE else "",
        "filters": _filters(rows.how_many(actor), chosen=chosen, late=rows.how_many_late(actor, today=today)),
        "may_write": actor.can(Permission.PLAN_ORDERS),
        "reads_enquiries": actor.can(Permission.PLAN_ORDERS) or actor.can(Permission.APPROVE_ORDERS),
        "sets_limits": actor.can(Permission.APPROVE_LARGE_ORDERS),
        "money": actor.can(Permission.SEE_MONEY),
        "title_block": {"document": _("Orders")},
    }
    return render(request, "inventory/orders.html", context)


@doors.signed_in
@require_safe
def one(request: HttpRequest, order_id: int) -> HttpResponse:
    return _page(request, order_id=order_id)


@doors.with_permission(Permission.SEE_MONEY)
@require_safe
def file(request: HttpRequest, order_id: int, kind: str) -> HttpResponse:
    """The order as its supplier gets it: as PDF, or as a UBL 2.1 Order."""
    actor = doors.actor_of(request)
    letter = rows.paper(actor, order_id)
    if kind == "xml":
        content = ubl.xml(letter, currency=actor.currency)
    else:
        receipt = request.build_absolute_uri(reverse("inventory:receipt_of_order", args=[order_id]))
        content = paper.pdf(actor, letter=letter, receipt_url=receipt, at=timezone.now())
    return papers.file(f"{letter.number}.{kind}", content=content)


@doors.with_permission(Permission.APPROVE_ORDERS)
@require_POST
def approve(request: HttpRequest, order_id: int) -> HttpResponse:
    return _step(
        request, order_id=order_id, verb=orders.approve, said=_("The order is approved. Send it next.")
    )


@doors.with_permission(Permission.PLAN_ORDERS)
@require_POST
def send(request: HttpRequest, order_id: int) -> HttpResponse:
    said = _("The order is marked as sent. With an e-mail address it leaves in a moment.")
    return _step(request, order_id=order_id, verb=orders.send, said=said)


@doors.with_permission(Permission.PLAN_ORDERS)
def cancel(request: HttpRequest, order_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    order = rows.one(actor, order_id)
    sheet = acting.Sheet(
        heading=_("Cancel %(number)s") % {"number": order.number},
        lead=_(
            "What has come of it stays; nothing more will. A supplier who has it by mail is told by mail; "
            "any other you tell yourself."
        ),
        button=_("Cancel the order"),
        said=_("Nothing more of the order is expected; the plan is being worked out again."),
        back=_address(order),
    )
    return _with_reason(request, sheet=sheet, verb=orders.cancel, order=order)


@doors.with_permission(Permission.PLAN_ORDERS)
def close(request: HttpRequest, order_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    order = rows.one(actor, order_id)
    sheet = acting.Sheet(
        heading=_("Close %(number)s") % {"number": order.number},
        lead=_("What has not come by now will not come; the plan stops counting on it."),
        button=_("Close the order"),
        said=_("The order is closed; the plan is being worked out again."),
        back=_address(order),
    )
    return _with_reason(request, sheet=sheet, verb=orders.close, order=order)


def _page(request: HttpRequest, *, order_id: int, refused: Refused | None = None) -> HttpResponse:
    actor = doors.actor_of(request)
    order = rows.one(actor, order_id)
    found = rows.lines(actor, order)
    lines = [
        {
            "line": line,
            "row": line.row,
            "bought": showing.bought(line.row.material, pack=line.row.pack),
            "shown": showing.material(line.row.material, pack=line.row.pack),
            "price_minor": showing.minor(line.row.pack_price),
            "late": showing.late(line.late_days) if line.late_days else "",
        }
        for line in found
    ]
    days = rows.late_days(order, today=timezone.localdate())
    late = showing.late(days) if days else ""
    context = {
        "order": order,
        "kind": showing.order_kind(order.state),
        "lines": lines,
        "some_left": any(line.left for line in found),
        "crowded": _crowded(actor, order=order, lines=found),
        "refused": refused,
        "form": order_forms.KeyForm(),
        "may": _may(actor, order=order),
        "money": actor.can(Permission.SEE_MONEY),
        "mailed": rows.was_mailed(actor, order),
        "late": late,
        "amendments": rows.amendments(actor, order),
        "dates": rows.dates(actor, order),
        "crumbs": [{"url": reverse("inventory:orders"), "label": _("Orders")}],
        "title_block": {"site": order.site.name, "document": order.number},
    }
    return render(request, "inventory/order.html", context, status=refused.status if refused else 200)


def _crowded(actor: Any, *, order: Any, lines: Any) -> list[Any]:
    """What of an order that is still to come will not fit into its store."""
    if order.state not in (order.State.DRAFT, *order.OPEN):
        return []
    named = {line.row.material_id for line in lines if line.left}
    rooms = storage.beyond(actor, site_ids=[order.site_id])
    return [room for room in rooms if room.material.pk in named]


def _may(actor: Any, *, order: Any) -> dict[str, bool]:
    """Say which steps can be taken now, by this actor."""
    rights = {
        "approve": Permission.APPROVE_ORDERS,
        "send": Permission.PLAN_ORDERS,
        "cancel": Permission.PLAN_ORDERS,
        "close": Permission.PLAN_ORDERS,
        "expect": Permission.RECORD_RECEIPTS,
    }
    owner = actor.can(Permission.APPROVE_LARGE_ORDERS)
    amends = order.state in orders.FROM["amend"] and (owner or actor.can(Permission.PLAN_ORDERS))
    steps = {step: order.state in orders.FROM[step] and actor.can(right) for step, right in rights.items()}
    receives = order.state in order.OPEN and actor.can(Permission.RECORD_RECEIPTS)
    return steps | {"amend": amends, "receive": receives}


def _step(request: HttpRequest, *, order_id: int, verb: Callable[..., Any], said: str) -> HttpResponse:
    actor = doors.actor_of(request)
    form = order_forms.KeyForm(request.POST)
    if not form.is_valid():
        return _page(request, order_id=order_id, refused=Refused(_("Reload the page and try again.")))
    act = orders.StepAct(order_id=order_id)
    try:
        order = verb(actor=actor, act=act, key=str(form.cleaned_data["key"]), now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        return _page(request, order_id=order_id, refused=refused)
    messages.success(request, said)
    return redirect(_address(order))


def _with_reason(
    request: HttpRequest, *, sheet: acting.Sheet, verb: Callable[..., Any], order: Any
) -> HttpResponse:
    actor = doors.actor_of(request)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return verb(actor=actor, act=orders.StepAct(order_id=order.pk, reason=typed["reason"]), **how)

    return acting.page(request, sheet=sheet, form=order_forms.ReasonForm, do=do)


def _listed(order: Any, *, today: date) -> dict[str, Any]:
    days = rows.late_days(order, today=today)
    late = showing.late(days) if days else ""
    return {"order": order, "kind": showing.order_kind(order.state), "late": late}


def _filters(numbers: dict[str, int], *, chosen: str, late: int) -> list[dict[str, Any]]:
    labels = {"": _("all"), "draft": _("drafts"), "open": _("open"), "ended": _("ended")}
    counted = [
        {
            "value": value,
            "label": label,
            "current": value == chosen,
            "number": sum(n for state, n in numbers.items() if not value or state in GROUPS[value]),
        }
        for value, label in labels.items()
    ]
    return [*counted, {"value": "late", "label": _("late"), "current": chosen == "late", "number": late}]


def _start(request: HttpRequest) -> int:
    typed = request.GET.get("start", "0")
    return int(typed) if typed.isdecimal() and len(typed) < 9 else 0


def _address(order: Any) -> str:
    return reverse("inventory:order", args=[order.pk])
