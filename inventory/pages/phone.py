"""Forms that a phone keeps: what they are, and how an act that was written without network is taken in."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import receipt_papers
from inventory.pages.stock_forms import RowForm
from inventory.queries import deliveries
from inventory.services import papers
from inventory.services.offline import SUFFIX, OfflineAct
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.errors import Refused
from projects.pages import acting, doors
from projects.queries import pours, sites

MOST_ORDERS, MOST_POURS, MOST_SITES = 12, 6, 4
"""Forms that a phone keeps at most; each is some 8 kB on its way."""

_FIGURES = re.compile(r"(amount|found)_\d+")


class _Sent(forms.Form):
    """What a phone says of an entry beside the form itself."""

    person = forms.IntegerField()
    written_at = forms.DateTimeField()
    sent_at = forms.DateTimeField()


class OtherPerson(Refused):
    """The entry was written by somebody else than who is signed in."""

    code = "other_person"
    status = 409


@dataclass(frozen=True)
class Writing:
    """What a form writes: `act(typed)` makes the act, `do(act, typed, key=, now=)` does it with network.

    `done(result)` names the page that follows.
    """

    act: Callable[[dict[str, Any]], Any]
    do: Callable[..., Any]
    done: Callable[[Any], str]


def page(
    request: HttpRequest,
    *,
    sheet: acting.Sheet,
    form: Callable[..., RowForm],
    writing: Writing,
    initial: dict[str, Any] | None = None,
) -> HttpResponse:
    """Show a form that a phone may keep and do its act, or take in what was written without network.

    The header Phone tells a phone's script from a browser's form: it is answered in JSON with the next page.
    """
    how = request.headers.get("Phone", "")
    if request.method == "POST" and how == "offline":
        return _taken_in(request, form=form, act=writing.act)

    def do(typed: dict[str, Any], **more: Any) -> Any:
        return writing.do(writing.act(typed), typed, **more)

    answer = acting.page(request, sheet=sheet, form=form, do=do, done=writing.done, initial=initial)
    if answer.status_code == 302 and how == "online":
        return JsonResponse({"url": answer["Location"]})
    return _kept(answer, request=request)


@doors.signed_in
@require_safe
def home(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    context = {"forms": _forms(actor), "title_block": {"document": _("On this phone")}}
    return _kept(render(request, "inventory/phone.html", context), request=request)


@doors.signed_in
@require_safe
def state(request: HttpRequest) -> HttpResponse:
    """Who is signed in, and the token with which their entries are sent."""
    actor = doors.actor_of(request)
    return JsonResponse({"person": actor.person_id, "token": get_token(request)})


def _forms(actor: Actor) -> list[dict[str, Any]]:
    receives, moves = actor.can(Permission.RECORD_RECEIPTS), actor.can(Permission.MOVE_STOCK)
    due = deliveries.expected(actor, today=timezone.localdate())[:MOST_ORDERS] if receives else []
    opened = list(pours.open_ones(actor)[:MOST_POURS]) if moves else []
    own = list(sites.all_sites(actor))[:MOST_SITES] if moves else []
    arrivals = [
        _row("receipt_of_order", row.order.pk, f"{row.order.number}, {row.order.supplier.name}")
        for row in due
    ]
    if receives:
        arrivals.append(_row("receipt_new", None, _("It was not ordered")))
    return [
        {"title": _("Record a delivery"), "rows": arrivals},
        {"title": _("Issue to a pour"), "rows": [_row("issue_new", p.pk, _pour(p)) for p in opened]},
        {"title": _("Bring back from a pour"), "rows": [_row("return_new", p.pk, _pour(p)) for p in opened]},
        {
            "title": _("Record waste"),
            "rows": [
                *(_row("waste_new", site.pk, _("From the store of %s") % site.name) for site in own),
                *(_row("pour_waste_new", p.pk, _pour(p)) for p in opened),
            ],
        },
    ]


def _row(name: str, row_id: int | None, words: str) -> dict[str, str]:
    return {"url": reverse(f"inventory:{name}", args=[] if row_id is None else [row_id]), "words": words}


def _pour(pour: Any) -> str:
    return f"{pour.slab.name}, {pour.name}"


def _kept(answer: HttpResponse, *, request: HttpRequest) -> HttpResponse:
    """Say whom a page may be kept for; the service worker keeps no other."""
    if request.method == "GET":
        answer["Kept-For"] = str(doors.actor_of(request).person_id)
    return answer


def _taken_in(request: HttpRequest, *, form: Callable[..., RowForm], act: Callable[..., Any]) -> HttpResponse:
    """Take in an entry of a phone; what cannot be read is told box by box, and stays on the phone."""
    said = _Sent(request.POST)
    filled = form(request.POST, request.FILES) if request.FILES else form(request.POST)
    if not said.is_valid():
        return _refused([{"label": "", "message": str(_("The phone did not say who wrote it, and when."))}])
    actor = doors.actor_of(request)
    if said.cleaned_data["person"] != actor.person_id:
        return JsonResponse({"code": OtherPerson.code}, status=OtherPerson.status)
    unread = [name for name, value in request.POST.items() if _unread(name, value, form=filled)]
    if unread or not filled.is_valid():
        words = _("It names a material that this form no longer has. Write it again.")
        return _refused([{"label": "", "message": words}] if unread else filled.faults)
    typed = dict(filled.cleaned_data)
    key = f"{typed.pop('key')}{SUFFIX}"
    wrote = act(typed)
    if wrote.happened_at is None:
        wrote = replace(wrote, happened_at=said.cleaned_data["written_at"])
    offline = OfflineAct(written=wrote, sent_at=said.cleaned_data["sent_at"])
    return _recorded(actor, offline, photo=typed.get("photo"), key=key, now=timezone.now())


def _unread(name: str, value: Any, *, form: RowForm) -> bool:
    return bool(value) and _FIGURES.fullmatch(name) is not None and name not in form.fields


def _recorded(actor: Actor, act: OfflineAct, *, photo: Any, key: str, now: datetime) -> HttpResponse:
    device = f"{actor.device}; written offline".removeprefix("; ")
    file = receipt_papers.sent(photo)
    try:
        entry, unkept = papers.record_offline(
            actor=replace(actor, device=device), act=act, photo=file, key=key, now=now
        )
    except Refused as refused:
        faults = [{"label": "", "message": refused.message}]
        return JsonResponse({"code": refused.code, "faults": faults}, status=refused.status)
    posted = entry.slip or entry.receipt
    message = entry.message if posted is None else ""
    if unkept is not None:
        message = _("%(message)s The photo was not kept: %(why)s") % {
            "message": message,
            "why": unkept.message,
        }
    where = reverse("inventory:offline_entry", args=[entry.pk])
    if entry.slip:
        where = reverse("inventory:slip", args=[entry.slip.pk])
    elif entry.receipt:
        where = reverse("inventory:receipt", args=[entry.receipt.pk])
    number = (posted or entry).number
    return JsonResponse({"state": entry.state, "number": number, "url": where, "message": message.strip()})


def _refused(faults: list[dict[str, str]]) -> HttpResponse:
    return JsonResponse({"faults": faults}, status=422)
