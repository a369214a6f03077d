from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_POST, require_safe

from inventory.documents import cutting_list as paper
from inventory.pages import papers, stores
from inventory.pages.cutting import rows
from inventory.pages.stock_forms import ReasonForm
from inventory.queries.cutting import plans
from inventory.services.cutting import reserving
from inventory.services.cutting.reserving import PlanAct
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import acting, doors
from projects.pages.forms import ActForm


class KeyForm(ActForm):
    """An act that asks for nothing but its key."""


class EndForm(ActForm):
    reason = forms.CharField(label=gettext_lazy("Why"), max_length=200, required=False)


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    page = plans.listing(actor, after=request.GET.get("after", ""))
    context = {
        "page": page,
        "rows": [(row, rows.KINDS[row.state]) for row in page.rows],
        "may_plan": actor.can(Permission.PLAN_CUTTING),
        "may_set": actor.can(Permission.PLAN_ORDERS),
        "crumbs": stores.crumbs(),
        "title_block": {"document": _("Cutting plans")},
    }
    return render(request, "inventory/cutting/plans.html", context)


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, plan_id: int) -> HttpResponse:
    return show(request, plan_id=plan_id)


@doors.signed_in
@require_safe
def state(request: HttpRequest, plan_id: int) -> HttpResponse:
    plan = plans.one(doors.actor_of(request), plan_id=plan_id)
    return render(request, "inventory/cutting/state.html", {"sheet": plan, "plan": plan.plan, "polled": True})


@doors.signed_in
@require_safe
def cutting_list(request: HttpRequest, plan_id: int) -> HttpResponse:
    found = plans.one(doors.actor_of(request), plan_id=plan_id)
    context = _context(request, found=found) | {
        "boxes": [
            (one, range(min(one["row"].bars, paper.MOST_BOXES)))
            for size in rows.sizes(found)
            for one in size["patterns"]
        ],
    }
    return render(request, "inventory/cutting/list.html", context)


@doors.signed_in
@require_safe
def cutting_list_pdf(request: HttpRequest, plan_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = plans.one(actor, plan_id=plan_id)
    content = paper.pdf(actor, sheet=found, at=timezone.now())
    return papers.file(f"{found.plan.number}.pdf", content=content)


@doors.signed_in
@require_safe
def buying(request: HttpRequest, plan_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    plan = plans.state(actor, plan_id=plan_id)
    names = {
        "mix": _("best mix of lengths"),
        "one_length": _("the usual length alone, planned"),
        "first_fit": _("the usual length alone, longest piece first"),
        "by_percent": _("the usual length alone, by percent"),
    }
    advice = [
        {
            "size": size,
            "usual": rows.metres(size.usual_mm),
            "ways": [
                {
                    "way": way,
                    "name": names[way.name],
                    "bars": [(number, rows.metres(length)) for length, number in way.bars],
                }
                for way in size.ways
            ],
        }
        for size in plans.advice(actor, plan_id=plan_id, day=timezone.localdate())
    ]
    context = {
        "plan": plan,
        "advice": advice,
        "money": actor.can(Permission.SEE_MONEY),
        "crumbs": [
            *crumbs(),
            {"url": reverse("inventory:cutting_plan", args=[plan.pk]), "label": plan.number},
        ],
        "title_block": {"site": plan.site.name, "document": _("Purchase advice, %s") % plan.number},
    }
    return render(request, "inventory/cutting/buying.html", context)


@doors.with_permission(Permission.PLAN_CUTTING)
@require_POST
def reserve(request: HttpRequest, plan_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    form = KeyForm(request.POST)
    if not form.is_valid():
        return show(request, plan_id=plan_id, refused=Refused(_("Reload the page and try again.")))
    act = PlanAct(plan_id=plan_id)
    try:
        plan = reserving.reserve(actor=actor, act=act, key=str(form.cleaned_data["key"]), now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        return show(request, plan_id=plan_id, refused=refused)
    return redirect("inventory:cutting_bench", plan.pk)


@doors.with_permission(Permission.PLAN_CUTTING)
def end(request: HttpRequest, plan_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    plan = plans.state(actor, plan_id=plan_id)
    under_way = plan.state == "reserved"

    def do(typed: dict[str, Any], **how: Any) -> Any:
        return reserving.end(actor=actor, act=PlanAct(plan_id=plan.pk, **typed), **how)

    what = acting.Sheet(
        heading=_("Give up %s") % plan.number,
        lead=_("What is cut stays; what is reserved is free for other plans again."),
        button=_("Give the plan up"),
        said=_("The plan is given up."),
        back=reverse("inventory:cutting_plan", args=[plan.pk]),
    )
    form = ReasonForm if under_way else EndForm
    return acting.page(request, sheet=what, form=form, do=do)


def show(request: HttpRequest, *, plan_id: int, refused: Refused | None = None) -> HttpResponse:
    """Show a plan, and why an act on it was refused."""
    found = plans.one(doors.actor_of(request), plan_id=plan_id)
    context = _context(request, found=found) | {"refused": refused, "form": KeyForm()}
    status = refused.status if refused else 200
    return render(request, "inventory/cutting/plan.html", context, status=status)


def _context(request: HttpRequest, *, found: plans.PlanSheet) -> dict[str, Any]:
    actor = doors.actor_of(request)
    plan = found.plan
    own = actor.can(Permission.PLAN_CUTTING)
    return {
        "sheet": found,
        "plan": plan,
        "kind": rows.KINDS[plan.state],
        "sizes": rows.sizes(found),
        "settings": plan.settings["cutting"],
        "may": {
            "reserve": own and plan.state == "proposed",
            "cut": actor.can(Permission.MOVE_STOCK) and plan.state in ("reserved", "done"),
            "end": own and plan.state in plan.OPEN,
            "again": own and plan.state in ("failed", "cancelled"),
        },
        "crumbs": crumbs(),
        "title_block": {"site": plan.site.name, "document": _("Cutting plan %s") % plan.number},
    }


def crumbs() -> list[dict[str, str]]:
    """Say the way to a cutting plan."""
    return [*stores.crumbs(), {"url": reverse("inventory:cutting_plans"), "label": _("Cutting plans")}]
