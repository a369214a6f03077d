"""A lot with its tests, and the form of a test: what over-age cement needs before a slip takes it."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from inventory.pages import stores
from inventory.pages.stock_forms import day_field
from inventory.queries import lot_tests
from inventory.services import lot_tests as service
from inventory.services.lot_tests import TestAct
from projects.access.permissions import Permission
from projects.pages import acting, doors
from projects.pages.forms import ActForm

RESULTS = (
    ("", gettext_lazy("choose")),
    ("passed", gettext_lazy("passed")),
    ("failed", gettext_lazy("failed")),
)


class LotTestForm(ActForm):
    """A test of a lot."""

    tested_date = day_field(gettext_lazy("Tested on"))
    tested_by = forms.CharField(label=gettext_lazy("Tested by"), max_length=120)
    result = forms.CharField(
        label=gettext_lazy("What was found"),
        max_length=200,
        help_text=gettext_lazy("As the report has it: strength at 3 and 7 days, setting time, and so on."),
    )
    verdict = forms.ChoiceField(label=gettext_lazy("It"), choices=RESULTS)
    usable_until = day_field(gettext_lazy("May be used until, if it passed"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["tested_date"].required = True


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, lot_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = lot_tests.lot(actor, lot_id=lot_id)
    context = {
        "lot": found,
        "may_test": actor.can(Permission.RECORD_RECEIPTS),
        "crumbs": stores.crumbs(),
        "title_block": {"document": _("Lot %s") % found.label},
    }
    return render(request, "inventory/lot.html", context)


@doors.with_permission(Permission.RECORD_RECEIPTS)
def test(request: HttpRequest, lot_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = lot_tests.lot(actor, lot_id=lot_id)

    def do(typed: dict[str, Any], **how: Any) -> Any:
        passed = typed.pop("verdict") == "passed"
        return service.record(actor=actor, act=TestAct(lot_id=found.pk, passed=passed, **typed), **how)

    what = acting.Sheet(
        heading=_("Test of lot %s") % found.label,
        lead=_(
            "The latest test says whether the lot is used, and until when. "
            "For structural work the engineer decides; old cement loses strength."
        ),
        button=_("Record the test"),
        said=_("The test is recorded."),
        back=reverse("inventory:lot", args=[found.pk]),
    )
    return acting.page(request, sheet=what, form=LotTestForm, do=do)
