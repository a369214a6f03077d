"""What was looked at, and what waits: checks, passing, holding and sending back, each on one page."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import stores, units
from inventory.pages.check_forms import ChecksForm, SendBackForm, WordForm
from inventory.queries import quarantine
from inventory.services import quarantine as service
from inventory.services.quarantine import ChecksAct, HoldAct, ReleaseAct, SendBackAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm


@doors.signed_in
@require_safe
def waiting(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    context = {
        "page": quarantine.waiting(actor, after=request.GET.get("after", "")),
        "may_decide": actor.can(Permission.RECORD_RECEIPTS),
        "crumbs": stores.crumbs(),
        "title_block": {"document": _("Held back")},
    }
    return render(request, "inventory/held.html", context)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def check(request: HttpRequest, line_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    line = quarantine.line(actor, line_id=line_id)

    def form(*args: Any, **kwargs: Any) -> ChecksForm:
        return ChecksForm(*args, material=line.material, locale=actor.locale, **kwargs)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        act = ChecksAct(line_id=line.pk, checks=typed["checks"])
        return service.check(actor=actor, act=act, **how)

    sheet = acting.Sheet(
        heading=_("Check %s") % line.material.name,
        lead=_("What does not pass is held back: no slip, plan or cutting takes it until it is released."),
        button=_("Record checks"),
        said=_("The checks are recorded."),
        back=_receipt(line),
        template="inventory/checks.html",
    )
    return acting.page(request, sheet=sheet, form=form, do=do)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def hold(request: HttpRequest, line_id: int) -> HttpResponse:
    def do(line: Any, typed: dict[str, Any], **how: Any) -> Any:
        return service.hold(act=HoldAct(line_id=line.pk, reason=typed["reason"]), **how)

    return _decide(
        request,
        line_id,
        do=do,
        heading=_("Hold %s back"),
        lead=_("What is left of this delivery in the store waits until it is released or sent back."),
        button=_("Hold it back"),
        said=_("It is held back."),
    )


@doors.with_permission(Permission.RECORD_RECEIPTS)
def release(request: HttpRequest, line_id: int) -> HttpResponse:
    def do(line: Any, typed: dict[str, Any], **how: Any) -> Any:
        return service.release(act=ReleaseAct(line_id=line.pk, reason=typed["reason"]), **how)

    return _decide(
        request,
        line_id,
        do=do,
        heading=_("Release %s"),
        lead=_(
            "Name the test that it passed, or who decided. Where strength hangs on it, the engineer decides."
        ),
        button=_("Release to the store"),
        said=_("It is released; the store has it."),
    )


@doors.with_permission(Permission.RECORD_RECEIPTS)
def send_back(request: HttpRequest, line_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    line = quarantine.line(actor, line_id=line_id)

    def form(*args: Any, **kwargs: Any) -> SendBackForm:
        return SendBackForm(*args, line=line, locale=actor.locale, **kwargs)

    def do(line: Any, typed: dict[str, Any], **how: Any) -> Any:
        amount = None if typed["amount"] is None else units.amount(typed["amount"])
        return service.send_back(act=SendBackAct(line.pk, typed["reason"], amount), **how)

    return _decide(
        request,
        line_id,
        do=do,
        form=form,
        heading=_("Send %s back"),
        lead=_("It counts as rejected, and its order is open for it again."),
        button=_("Send it back"),
        said=_("It is sent back; the shortage note says so."),
    )


def _decide(
    request: HttpRequest,
    line_id: int,
    *,
    do: Callable[..., Any],
    heading: str,
    form: Callable[..., ActForm] = WordForm,
    **words: Any,
) -> HttpResponse:
    actor = doors.actor_of(request)
    line = quarantine.line(actor, line_id=line_id)
    sheet = acting.Sheet(heading=heading % line.material.name, back=_receipt(line), **words)

    def act(typed: dict[str, Any], **how: Any) -> Any:
        return do(line, typed, actor=actor, **how)

    return acting.page(request, sheet=sheet, form=form, do=act)


def _receipt(line: Any) -> str:
    return reverse("inventory:receipt", args=[line.receipt_id])
