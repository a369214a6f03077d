from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from estimates.documents import bill as bill_document
from estimates.pages import tables
from estimates.queries import bills as bill_rows
from estimates.queries import findings, lines, mark_changes, slabs, sources, standards, takeoffs
from estimates.queries.lines import LineRow
from estimates.services import bills
from estimates.services.bills import BillAct
from projects.access.permissions import Permission
from projects.errors import NotAllowed, NotFound, Refused
from projects.pages import doors
from projects.pages.forms import ActForm

KINDS = {findings.STOP: "stop", findings.WARN: "warning", findings.NOTE: "none"}


class IssueForm(ActForm):
    as_of = forms.DateField(
        label=gettext_lazy("Rates of"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text=gettext_lazy("Each line is priced at the rate that holds on this day."),
    )
    reason = forms.CharField(
        label=gettext_lazy("Reason, quoting the engineer"),
        required=False,
        max_length=2_000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("Needed when a check says stop: who decided, when, and in which words."),
    )


@doors.signed_in
def preview(request: HttpRequest, design_id: int) -> HttpResponse:
    """The take-off of a design, and the form that issues its bill."""
    actor = doors.actor_of(request)
    if request.method != "POST":
        form = IssueForm(initial={"as_of": timezone.localdate()})
        return _preview(request, design_id=design_id, form=form)
    form = IssueForm(request.POST)
    if not form.is_valid():
        return _preview(request, design_id=design_id, form=form, status=422)
    typed = form.cleaned_data
    act = BillAct(design_id=design_id, as_of=typed["as_of"], reason=typed["reason"])
    try:
        bill = bills.issue(actor=actor, act=act, key=str(typed["key"]), now=timezone.now())
    except (NotFound, NotAllowed):
        raise
    except Refused as refused:
        form.refuse(refused)
        return _preview(request, design_id=design_id, form=form, status=422)
    messages.success(
        request, _("The bill is issued and frozen: it is the slab's budget. Plan the pour next.")
    )
    return redirect("estimates:bill", bill.pk)


@doors.signed_in
@require_safe
def one(request: HttpRequest, bill_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    sheet = bill_rows.one(actor, bill_id=bill_id)
    bill = sheet.bill
    context = {
        "sheet": sheet,
        "bill": bill,
        "groups": _groups(sheet.rows),
        "money": actor.can(Permission.SEE_MONEY),
        "findings": _findings(findings.frozen(bill.findings)),
        "own_figures": _own_figures(bill.figures),
        "profile": bill.profile,
        "earlier": bill_rows.earlier(actor, bill=bill),
        "crumbs": _crumbs(bill.design.slab),
        "title_block": _title_block(bill.design, edition=bill.edition)
        | {"as_of": bill.issued_at, "document": _("Bill of quantities")},
    }
    return render(request, "estimates/bill.html", context)


@doors.signed_in
@require_safe
def difference(request: HttpRequest, bill_id: int) -> HttpResponse:
    """What this bill changed against the slab's bill before it."""
    actor = doors.actor_of(request)
    bill = bill_rows.one(actor, bill_id=bill_id).bill
    before = bill_rows.earlier(actor, bill=bill)
    rows = bill_rows.difference(actor, before_id=before.pk, after_id=bill.pk) if before else ()
    context = {
        "bill": bill,
        "before": before,
        "rows": rows,
        "marks": mark_changes.of_bill(actor, bill=bill),
        "change_minor": sum(row.amount_change for row in rows),
        "money": actor.can(Permission.SEE_MONEY),
        "crumbs": [
            *_crumbs(bill.design.slab),
            {"url": reverse("estimates:bill", args=[bill.pk]), "label": _("Bill %s") % bill.number},
        ],
        "title_block": _title_block(bill.design, edition=bill.edition),
    }
    return render(request, "estimates/bill_difference.html", context)


@doors.signed_in
@require_safe
def file(request: HttpRequest, bill_id: int, kind: str) -> HttpResponse:
    """The bill to keep: as PDF, as XLSX, or its lines as CSV."""
    actor = doors.actor_of(request)
    sheet = bill_rows.one(actor, bill_id=bill_id)
    return tables.file(f"bill-{bill_id}.{kind}", content=bill_document.file(actor, sheet=sheet, kind=kind))


def _preview(request: HttpRequest, *, design_id: int, form: IssueForm, status: int = 200) -> HttpResponse:
    actor = doors.actor_of(request)
    as_of = form.cleaned_data.get("as_of") if form.is_bound else None
    priced = takeoffs.priced(actor, design_id=design_id, as_of=as_of or timezone.localdate())
    rows = [lines.from_priced(row) for row in priced.lines]
    found = findings.of_sheet(priced.sheet, profile=priced.profile)
    latest = slabs.one(actor, slab_id=priced.design.slab_id).design
    context: dict[str, Any] = {
        "priced": priced,
        "design": priced.design,
        "drawn": priced.sheet,
        "drawn_lines": {f"steel.mark.{mark}" for rule in priced.sheet.spacing_rules for mark in rule.marks},
        "groups": _groups(rows),
        "findings": _findings(found),
        "own_figures": _own_figures(standards.frozen(priced.profile)),
        "profile": priced.profile.id,
        "stops": sum(1 for row in found if row.stops),
        "form": form,
        "money": actor.can(Permission.SEE_MONEY),
        "may_issue": actor.can(Permission.ISSUE_BILLS),
        "newer": latest if latest is not None and latest.pk != priced.design.pk else None,
        "crumbs": _crumbs(priced.design.slab),
        "title_block": _title_block(priced.design, edition=priced.takeoff.edition)
        | {"document": _("Take-off")},
    }
    return render(request, "estimates/design.html", context, status=status)


def _groups(rows: Sequence[LineRow]) -> list[tuple[Any, list[LineRow]]]:
    shown = [replace(row, working=sources.worked(row.working)) for row in rows]
    return [(bill_document.GROUPS[group], members) for group, members in lines.grouped(shown)]


def _findings(rows: Sequence[findings.FindingRow]) -> list[tuple[str, findings.FindingRow]]:
    return [(KINDS[row.severity], replace(row, source=sources.in_words(row.source))) for row in rows]


def _own_figures(rows: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    return [{**row, "source": sources.in_words(row["source"])} for row in rows]


def _crumbs(slab: Any) -> list[dict[str, str]]:
    return [
        {"url": reverse("estimates:slabs"), "label": _("Slabs")},
        {"url": reverse("estimates:slab", args=[slab.pk]), "label": slab.name},
    ]


def _title_block(design: Any, *, edition: str) -> dict[str, Any]:
    return {
        "site": design.slab.site.name,
        "slab": design.slab.name,
        "drawing": design.drawing.number,
        "revision": design.drawing.revision,
        "edition": edition,
    }
