from __future__ import annotations

from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from estimates.queries import designs, requirements, slabs, stripping
from estimates.queries.slabs import SlabSheet, State
from projects.access.actor import Actor
from projects.access.permissions import Permission
from projects.pages import doors

PPM_PER_PERCENT = 10_000

STATES = {
    State.NEW: ("none", gettext_lazy("no design yet")),
    State.IN_DESIGN: ("none", gettext_lazy("in design")),
    State.BILLED: ("enough", gettext_lazy("bill issued")),
    State.PLANNED: ("enough", gettext_lazy("pour planned")),
    State.POURED: ("enough", gettext_lazy("poured")),
    State.FINISHED: ("none", gettext_lazy("finished")),
}


@dataclass(frozen=True)
class Step:
    """What to do next: in words, and the page that does it where the actor may."""

    words: str
    url: str = ""
    link: str = ""


@doors.signed_in
@require_safe
def listing(request: HttpRequest) -> HttpResponse:
    actor = doors.actor_of(request)
    total = slabs.how_many(actor)
    start = _start(request, total=total)
    rows = slabs.listing(actor, start=start)
    later = start + slabs.PAGE
    context = {
        "rows": [(row, *STATES[row.state]) for row in rows],
        "money": actor.can(Permission.SEE_MONEY),
        "may_add": actor.can(Permission.EDIT_DESIGNS),
        "earlier": f"?from={max(start - slabs.PAGE, 0)}" if start else "",
        "later": f"?from={later}" if later < total else "",
        "words": _("Slabs %(first)s to %(last)s of %(total)s")
        % {"first": start + 1, "last": start + len(rows), "total": total},
        "title_block": {"document": _("Slabs")},
    }
    return render(request, "estimates/slabs.html", context)


@doors.signed_in
@require_safe
def one(request: HttpRequest, slab_id: int) -> HttpResponse:
    actor = doors.actor_of(request)
    sheet = slabs.one(actor, slab_id=slab_id)
    kind, words = STATES[sheet.state]
    drawn = _drawn(actor, sheet=sheet)
    context: dict[str, Any] = {
        "sheet": sheet,
        "pours": [(pour, pour.share_ppm / PPM_PER_PERCENT) for pour in sheet.pours],
        "drawn": drawn,
        "profile": drawn.profile if drawn else actor.profile,
        "joint_pours": _joint_pours(drawn),
        "strip": stripping.of_design(actor, sheet=drawn, pours=sheet.pours) if drawn else None,
        "needs": requirements.listing(actor, slab_id=slab_id),
        "today": timezone.localdate(),
        "state_kind": kind,
        "state_words": words,
        "step": _next_step(sheet, actor=actor),
        "money": actor.can(Permission.SEE_MONEY),
        "may_design": actor.can(Permission.EDIT_DESIGNS),
        "may_pour": actor.can(Permission.PLAN_POURS),
        "may_log": actor.can(Permission.LOG_POURS),
        "crumbs": [{"url": reverse("estimates:slabs"), "label": _("Slabs")}],
        "title_block": _title_block(sheet),
    }
    return render(request, "estimates/slab.html", context)


def _start(request: HttpRequest, *, total: int) -> int:
    """The first row asked for; anything that is no place in the list is its beginning."""
    asked = request.GET.get("from", "")
    start = int(asked) if asked.isascii() and asked.isdigit() and len(asked) < 9 else 0
    return start if start < total else 0


def _drawn(actor: Actor, *, sheet: SlabSheet) -> Any:
    if sheet.design is None:
        return None
    return designs.sheet_of(designs.one(actor, design_id=sheet.design.pk))


def _joint_pours(drawn: Any) -> list[tuple[Any, float, float, str]]:
    """The pours that the design's joints make, with their shares and what a form to plan one starts with."""
    if drawn is None:
        return []
    found = []
    for part in designs.pours_of(drawn):
        name = _("pour %(number)d") % {"number": part.number}
        start = urlencode({"name": name, "share": part.concrete_hundredths})
        found.append((part, part.concrete_hundredths / 100, part.formwork_hundredths / 100, start))
    return found


def _title_block(sheet: SlabSheet) -> dict[str, Any]:
    block: dict[str, Any] = {"site": sheet.slab.site.name, "slab": sheet.slab.name}
    if sheet.design is not None:
        drawing = sheet.design.drawing
        block |= {"drawing": drawing.number, "revision": drawing.revision}
    if sheet.bill is not None:
        block["edition"] = sheet.bill.edition
    return block


def _next_step(sheet: SlabSheet, *, actor: Actor) -> Step:
    """The next step in words; the link only for those who may take it."""
    pk = sheet.slab.pk
    if sheet.state == State.FINISHED:
        return Step(_("This slab is finished. Its record stays."))
    if sheet.design is None:
        step = Step(
            _("Enter the design from the engineer's drawing."),
            reverse("estimates:design_new", args=[pk]),
            _("Enter the design"),
        )
        return _allowed(step, actor=actor, permission=Permission.EDIT_DESIGNS)
    if sheet.bill is None or sheet.bill_is_behind:
        words = (
            _("Look through the take-off and issue the bill.")
            if sheet.bill is None
            else _(
                "The design is newer than the bill: issue the bill again, so that needs and budget follow."
            )
        )
        step = Step(words, reverse("estimates:design", args=[sheet.design.pk]), _("Open the take-off"))
        return _allowed(step, actor=actor, permission=Permission.ISSUE_BILLS)
    return _pouring_step(sheet, actor=actor)


def _pouring_step(sheet: SlabSheet, *, actor: Actor) -> Step:
    here = reverse("estimates:slab", args=[sheet.slab.pk])
    if not sheet.pours:
        url = reverse("projects:pour_new", args=[sheet.slab.pk])
        step = Step(
            _("Plan the pour; the dated needs follow from it."), f"{url}?next={here}", _("Plan a pour")
        )
        return _allowed(step, actor=actor, permission=Permission.PLAN_POURS)
    if sheet.state == State.POURED:
        return Step(_("Record returns and waste, close each pour, then finish the slab."))
    return Step(_("Order what is short, and receive and issue it before the pour."))


def _allowed(step: Step, *, actor: Actor, permission: Permission) -> Step:
    return step if actor.can(permission) else Step(step.words)
