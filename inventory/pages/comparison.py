from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from inventory.pages import showing
from inventory.queries import comparison as rows
from projects.access.permissions import Permission
from projects.pages import doors


@doors.signed_in
@require_safe
def sheet(request: HttpRequest, slab_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    found = rows.of_slab(actor, slab_id)
    slab, bill = found.slab.slab, found.slab.bill
    entries = [_entry(row, locale=actor.locale) for row in found.rows]
    context = {
        "slab": slab,
        "bill": bill,
        "finished": found.slab.finished,
        "place_id": found.slab.place_id,
        "next_pour": found.slab.next_pour,
        "entries": entries,
        "telling": [entry for entry in entries if entry["status"] != "enough"],
        "short_delivered": [entry for entry in entries if entry["row"].short_of],
        "over_minor": found.over_minor,
        "short_minor": found.short_minor,
        "money": actor.can(Permission.SEE_MONEY),
        "title_block": _title_block(slab, bill=bill),
    }
    return render(request, "inventory/comparison.html", context)


def _entry(row: Any, *, locale: str) -> dict[str, Any]:
    shown = showing.material(row.figures.material, pack=row.pack)
    status = str(row.judged.status)
    return {
        "row": row,
        "judged": row.judged,
        "facts": row.judged.facts,
        "figures": row.figures,
        "shown": shown,
        "status": status,
        "kind": {"enough": "enough", "short": "warning", "over": "stop", "under": "warning"}[status],
        "words": _words(row, status=status, shown=shown, locale=locale),
        "permitted": {"over": row.variation.over_bp / 100, "source": row.variation.source},
    }


def _words(row: Any, *, status: str, shown: showing.Shown, locale: str) -> str:
    def written(value: int) -> str:
        return showing.quantity(value, shown=shown, locale=locale)

    if status == "over":
        return _("over by %(quantity)s") % {"quantity": written(row.judged.overuse)}
    if status == "under":
        return _("under by %(quantity)s") % {"quantity": written(-row.judged.overuse)}
    if status == "enough":
        return _("enough")
    if row.need_date is None:
        return _("short by %(quantity)s") % {"quantity": written(row.judged.shortage)}
    params = {"quantity": written(row.judged.shortage), "day": showing.day(row.need_date)}
    return _("short by %(quantity)s on %(day)s") % params


def _title_block(slab: Any, *, bill: Any) -> dict[str, Any]:
    block = {"site": slab.site.name, "slab": slab.name}
    if bill is None:
        return block
    return block | {
        "drawing": bill.drawing_number,
        "revision": bill.drawing_revision,
        "edition": bill.edition,
    }
