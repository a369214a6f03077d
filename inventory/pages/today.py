from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.queries import today as day
from projects.access.permissions import Permission
from projects.pages import doors


@doors.signed_in
@require_safe
def sheet(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    context = {
        "today": day.sheet(actor, today=timezone.localdate()),
        "decides": actor.can(Permission.PLAN_ORDERS),
        "receives": actor.can(Permission.RECORD_RECEIPTS),
        "moves": actor.can(Permission.MOVE_STOCK),
        "reads_spend": actor.can(Permission.SEE_MONEY),
        "on_site": actor.site_ids is not None,
        "title_block": {"document": _("Today")},
    }
    return render(request, "inventory/today.html", context)
