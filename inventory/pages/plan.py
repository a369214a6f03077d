from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from inventory.pages import order_forms, outlooks, plan_entries, showing, suppliers
from inventory.queries import plan as rows
from inventory.queries import quarantine, storage
from inventory.services import replan, suggestions
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import acting, doors


@doors.signed_in
@require_safe
def sheet(request: HttpRequest) -> HttpResponse:
    return _sheet(request)


@doors.with_permission(Permission.PLAN_ORDERS)
@require_POST
def order(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    form = order_forms.plan_form(request.POST.getlist("row"))(request.POST, locale=actor.locale)
    if not form.is_valid():
        return _sheet(request, filled=form)
    try:
        made = suggestions.approve(
            actor=actor,
            act=suggestions.ApproveAct(choices=_choices(form.chosen())),
            key=str(form.cleaned_data["key"]),
            now=timezone.now(),
        )
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        form.refuse(refused)
        return _sheet(request, filled=form)
    return _ordered(request, made)


@doors.signed_in
def one(request: HttpRequest, suggestion_id: int) -> HttpResponse:
    actor = suppliers.require_reader(request)
    entry = plan_entries.entry(rows.one(actor, suggestion_id), actor=actor)
    if entry["row"].kind == entry["row"].Kind.MOVE:
        return redirect("inventory:plan")
    form = order_forms.choice_form(entry["row"], offers=entry["offers"])
    if request.method != "POST":
        filled = form(locale=actor.locale, initial=_first_choice(entry["row"]))
        return _one(request, entry=entry, form=filled)
    filled = form(request.POST, locale=actor.locale)
    if not filled.is_valid():
        return _one(request, entry=entry, form=filled, status=422)
    typed = dict(filled.cleaned_data)
    key = str(typed.pop("key"))
    act = suggestions.ApproveAct(choices=(suggestions.Choice(suggestion_id=suggestion_id, **typed),))
    try:
        made = suggestions.approve(actor=actor, act=act, key=key, now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        filled.refuse(refused)
        return _one(request, entry=entry, form=filled, status=422)
    return _ordered(request, made)


@doors.signed_in
@require_safe
def days(request: HttpRequest, suggestion_id: int) -> HttpResponse:
    actor = suppliers.require_reader(request)
    entry = plan_entries.entry(rows.one(actor, suggestion_id), actor=actor)
    if entry["row"].kind == entry["row"].Kind.MOVE:
        return redirect("inventory:plan")
    return render(request, "inventory/partials/days.html", {"entry": entry})


@doors.with_permission(Permission.PLAN_ORDERS)
def reject(request: HttpRequest, suggestion_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = rows.one(actor, suggestion_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = suggestions.RejectAct(suggestion_id=row.pk, reason=typed["reason"])
        return suggestions.reject(actor=actor, act=act, **how)

    words = acting.Sheet(
        heading=_("Turn down: %(material)s for %(pour)s") % {"material": row.material.name, "pour": row.pour},
        lead=_("It comes back only when the need, the stock, the orders or the prices change."),
        button=_("Turn it down"),
        said=_("It is turned down and stays so until its figures change."),
        back=reverse("inventory:plan"),
    )
    return acting.page(request, sheet=words, form=order_forms.ReasonForm, do=do)


@doors.with_permission(Permission.PLAN_ORDERS)
def postpone(request: HttpRequest, suggestion_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    row = rows.one(actor, suggestion_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = suggestions.PostponeAct(suggestion_id=row.pk, **typed)
        return suggestions.postpone(actor=actor, act=act, **how)

    words = acting.Sheet(
        heading=_("Put off: %(material)s for %(pour)s") % {"material": row.material.name, "pour": row.pour},
        lead=_("It is needed on %(need)s and should be ordered by %(by)s.")
        % {"need": showing.day(row.need_date), "by": showing.day(row.order_by_date)},
        button=_("Put it off"),
        said=_("It is put off, and shown again on that day or when its figures change."),
        back=reverse("inventory:plan"),
    )
    return acting.page(request, sheet=words, form=order_forms.PostponeForm, do=do)


@doors.signed_in
@require_safe
def state(request: HttpRequest) -> HttpResponse:
    actor = suppliers.require_reader(request)
    job = rows.job(actor)
    context = {
        "job": job,
        "gap": _gap(job, locale=actor.locale),
        "polled": True,
        "may_decide": actor.can(Permission.PLAN_ORDERS),
    }
    return render(request, "inventory/partials/plan_state.html", context)


@doors.with_permission(Permission.PLAN_ORDERS)
@require_POST
def again(request: HttpRequest) -> HttpResponse:
    replan.again(actor=doors.actor_of(request), now=timezone.now())
    return redirect("inventory:plan")


def _sheet(request: HttpRequest, *, filled: Any = None) -> HttpResponse:
    actor = suppliers.require_reader(request)
    today = timezone.localdate()
    plan = rows.current(actor, today=today)
    entries = [plan_entries.entry(row.suggestion, actor=actor, today=today) for row in plan.rows]
    groups = plan_entries.groups(entries, actor=actor, filled=filled)
    context = {
        "plan": plan,
        "groups": groups,
        "moves": plan_entries.move_groups(plan.moves, actor=actor),
        "may_send": actor.can(Permission.PLAN_ORDERS) and actor.can(Permission.MOVE_STOCK),
        "unplaced": filled if all(group["form"] is not filled for group in groups) else None,
        "postponed": [plan_entries.entry(row, actor=actor, today=today) for row in plan.postponed],
        "decided": [plan_entries.entry(row, actor=actor, today=today) for row in plan.decided],
        "late": [
            {
                "entry": line,
                "shown": showing.material(line.line.material, pack=line.line.pack),
                "words": showing.late(line.days),
            }
            for line in plan.late
        ],
        "looks": [outlooks.look(row, locale=actor.locale) for row in plan.pours],
        "crowded": storage.beyond(actor),
        "held": quarantine.waiting(actor, limit=1).rows,
        "job": plan.job,
        "gap": _gap(plan.job, locale=actor.locale),
        "over_budget": [
            one | {"date": date.fromisoformat(one["monday"])}
            for one in (plan.job.run.over_budget if plan.job.run else ())
        ],
        "may_decide": actor.can(Permission.PLAN_ORDERS),
        "money": actor.can(Permission.SEE_MONEY),
        "title_block": {
            "document": _("Reorder plan"),
            "as_of": plan.job.run.finished_at if plan.job.run else None,
        },
    }
    return render(request, "inventory/plan.html", context, status=422 if filled is not None else 200)


def _gap(job: Any, *, locale: str) -> str:
    """How much more than the least the improved plan may cost, as a share."""
    ppm = job.run.gap_ppm if job.run else None
    return "" if ppm is None else showing.share(ppm, locale=locale)


def _first_choice(row: Any) -> dict[str, Any]:
    return {"packs": row.packs, "supplier_id": row.supplier_id}


def _one(request: HttpRequest, *, entry: dict[str, Any], form: Any, status: int = 200) -> HttpResponse:
    actor = doors.actor_of(request)
    row = entry["row"]
    context = {
        "entry": entry,
        "form": form,
        "may_decide": actor.can(Permission.PLAN_ORDERS) and row.state == row.State.OPEN,
        "money": actor.can(Permission.SEE_MONEY),
        "crumbs": [{"url": reverse("inventory:plan"), "label": _("Plan")}],
        "title_block": {"site": row.site.name, "slab": row.pour.slab.name},
    }
    return render(request, "inventory/suggestion.html", context, status=status)


def _ordered(request: HttpRequest, made: Any) -> HttpResponse:
    if made.approved_at is None:
        words = _("%(number)s is above your limit: it waits for the owner as a draft.")
        messages.warning(request, words % {"number": made.number})
    else:
        messages.success(
            request, _("%(number)s is written and approved. Send it next.") % {"number": made.number}
        )
    return redirect("inventory:order", order_id=made.pk)


def _choices(chosen: Iterable[tuple[int, int]]) -> tuple[suggestions.Choice, ...]:
    return tuple(suggestions.Choice(suggestion_id=pk, packs=packs) for pk, packs in chosen)
